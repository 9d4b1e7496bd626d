import { type ReactNode, useEffect, useRef } from "react";

/** A dialog: the browser's own, so that focus stays inside, Escape closes it, and the rest is out of reach. */
export function Slip({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const ref = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = ref.current;
    if (dialog && !dialog.open) dialog.showModal();
    // The focus goes to the first control, which in a long slip may lie at its end: it still opens at its top.
    if (dialog) dialog.scrollTop = 0;
    return () => dialog?.close();
  }, []);
  return (
    <dialog
      ref={ref}
      className="slip"
      aria-label={title}
      onClose={onClose}
      onKeyDown={(event) => event.stopPropagation()}
    >
      <div className="body">
        <h2>{title}</h2>
        {children}
      </div>
    </dialog>
  );
}
