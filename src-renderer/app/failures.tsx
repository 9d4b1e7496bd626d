import { createContext, useCallback, useContext, useEffect, useMemo, useRef, useState, type ReactNode } from "react";
import { createPortal } from "react-dom";
import { Button } from "../parts/button.tsx";
import { CopyDetails, CopyText } from "./copy-details.tsx";

/** A failure as a person reads it. */
export type Notice = {
  readonly key: number;
  readonly code: string;
  readonly message: string;
  readonly command: string | null;
};

type Failures = {
  /** Runs work that may fail; a failure becomes a notice and the answer null. */
  readonly attempt: <T>(work: () => Promise<T>) => Promise<T | null>;
  readonly tell: (message: string, code?: string, command?: string | null) => void;
};

const FailuresContext = createContext<Failures | null>(null);

export function useFailures(): Failures {
  const failures = useContext(FailuresContext);
  if (!failures) throw new Error("useFailures outside of FailureBoard");
  return failures;
}

/** What crossed the contract as {code, message, data}; anything else is told plainly. */
export function readFailure(error: unknown): Omit<Notice, "key"> {
  if (error instanceof Error) {
    const { code, data } = error as { code?: unknown; data?: { command?: unknown } };
    return {
      code: typeof code === "string" ? code : "FAILED",
      message: error.message || "Something failed without saying why.",
      command: typeof data?.command === "string" ? data.command : null,
    };
  }
  return { code: "FAILED", message: String(error), command: null };
}

/** The dialog in front, outside of which nothing can be reached; null when none is open. */
const dialogInFront = (): HTMLDialogElement | null =>
  [...document.querySelectorAll<HTMLDialogElement>("dialog[open]")].at(-1) ?? null;

export function FailureBoard({ children }: { readonly children: ReactNode }) {
  const [notices, setNotices] = useState<readonly Notice[]>([]);
  const [dialog, setDialog] = useState<HTMLDialogElement | null>(null);
  useEffect(() => {
    if (dialog === null) return;
    // A dialog that closes leaves its notices to the window, or to the dialog behind it. One that is taken out says no more.
    const observer = new MutationObserver(() => {
      if (!dialog.isConnected || !dialog.open) setDialog(dialogInFront());
    });
    observer.observe(document.body, { childList: true, subtree: true, attributeFilter: ["open"] });
    return () => observer.disconnect();
  }, [dialog]);
  const nextKey = useRef(1);
  const tell = useCallback((message: string, code = "FAILED", command: string | null = null) => {
    const key = nextKey.current++;
    setDialog(dialogInFront());
    setNotices((shown) => [
      ...shown.filter((notice) => notice.message !== message).slice(-3),
      { key, code, message, command },
    ]);
  }, []);
  const attempt = useCallback(
    async <T,>(work: () => Promise<T>): Promise<T | null> => {
      try {
        return await work();
      } catch (error) {
        const failure = readFailure(error);
        tell(failure.message, failure.code, failure.command);
        return null;
      }
    },
    [tell],
  );
  const failures = useMemo(() => ({ attempt, tell }), [attempt, tell]);
  const dismiss = (key: number) => setNotices((shown) => shown.filter((notice) => notice.key !== key));
  const board = (
    <div className="notices" role="alert" aria-live="assertive">
      {notices.map((notice) => (
        <NoticeBox key={notice.key} notice={notice} onDismiss={() => dismiss(notice.key)} />
      ))}
    </div>
  );
  return (
    <FailuresContext.Provider value={failures}>
      {children}
      {dialog === null ? board : createPortal(board, dialog)}
    </FailuresContext.Provider>
  );
}

/** Failures of a dialog, shown where its own work is begun. Starting the next piece of work clears the last failure. */
export function useFailuresHere(): { readonly attempt: Failures["attempt"]; readonly notice: ReactNode } {
  const [failure, setFailure] = useState<Notice | null>(null);
  const attempt = useCallback(async <T,>(work: () => Promise<T>): Promise<T | null> => {
    setFailure(null);
    try {
      return await work();
    } catch (error) {
      setFailure({ key: 0, ...readFailure(error) });
      return null;
    }
  }, []);
  const notice = (
    <div role="alert" aria-live="assertive">
      {failure ? <NoticeBox notice={failure} onDismiss={() => setFailure(null)} /> : null}
    </div>
  );
  return { attempt, notice };
}

function NoticeBox({ notice, onDismiss }: { readonly notice: Notice; readonly onDismiss: () => void }) {
  return (
    <div className="notice">
      <p>{notice.message}</p>
      {notice.command === null ? null : <code>{notice.command}</code>}
      <div className="row">
        {notice.command === null ? null : <CopyText text={() => notice.command ?? ""} label="Copy command" />}
        <CopyDetails code={notice.code} message={notice.message} command={notice.command} />
        <Button onPress={onDismiss}>Dismiss</Button>
      </div>
    </div>
  );
}
