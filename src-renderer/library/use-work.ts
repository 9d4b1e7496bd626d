import { useCallback, useEffect, useRef, useState } from "react";
import { readFailure } from "../app/failures.tsx";

type WorkEvent<T> =
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly result: T };

export type WorkState<T> =
  | { readonly kind: "idle" }
  | { readonly kind: "running"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly result: T }
  | { readonly kind: "cancelled" }
  | { readonly kind: "failed"; readonly code: string; readonly message: string };

/** Long work of the service: how far it is, a way out, and its end. Leaving the page gives it up. */
export function useWork<T>() {
  const [state, setState] = useState<WorkState<T>>({ kind: "idle" });
  const stop = useRef<AbortController | null>(null);
  useEffect(() => () => stop.current?.abort(), []);

  const run = useCallback(
    async (begin: (signal: AbortSignal) => Promise<AsyncIterable<WorkEvent<T>>>): Promise<T | null> => {
      stop.current?.abort();
      const own = new AbortController();
      stop.current = own;
      const tell = (next: WorkState<T>) => {
        if (stop.current === own) setState(next);
      };
      tell({ kind: "running", done: 0, total: 1 });
      try {
        for await (const event of await begin(own.signal)) {
          if (own.signal.aborted) break;
          if (event.kind === "done") {
            tell(event);
            return event.result;
          }
          tell({ kind: "running", done: event.done, total: event.total });
        }
        tell({ kind: "cancelled" });
      } catch (error) {
        tell(own.signal.aborted ? { kind: "cancelled" } : { kind: "failed", ...readFailure(error) });
      }
      return null;
    },
    [],
  );
  const cancel = useCallback(() => {
    stop.current?.abort();
    setState({ kind: "cancelled" });
  }, []);
  return { state, run, cancel };
}
