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
