import { useCallback, useRef } from "react";

/**
 * Work done one after the other. Keys and clicks come faster than the library answers: an edit planned in its turn starts
 * from what the one before it left. What one fails in does not hold up the next.
 */
export function useTurns(): (work: () => Promise<unknown>) => Promise<unknown> {
  const last = useRef<Promise<unknown>>(Promise.resolve());
  return useCallback((work) => {
    const done = last.current.then(work);
    last.current = done.catch(() => undefined);
    return done;
  }, []);
}
