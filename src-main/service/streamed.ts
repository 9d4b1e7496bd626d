import type { Watching } from "../store/copy-library.ts";

export type WorkEvent<T> =
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly result: T };

/** Long work as a stream: how far it is, the latest word only where the reader is slower, and its result at the end. */
export async function* streamed<T>(
  work: (watching: Watching) => Promise<T>,
  signal: AbortSignal | undefined,
): AsyncGenerator<WorkEvent<T>, void> {
  let progress: WorkEvent<T> | null = null;
  let wake = (): void => {};
  const stop = new AbortController();
  const either = signal === undefined ? stop.signal : AbortSignal.any([stop.signal, signal]);
  const working = work({
    signal: either,
    progress: (done, total) => {
      progress = { kind: "progress", done, total };
      wake();
    },
  });
  let ended = false;
  void working
    .catch(() => {})
    .finally(() => {
      ended = true;
      wake();
    });
  try {
    while (!ended) {
      const { promise, resolve } = Promise.withResolvers<void>();
      wake = resolve;
      if (progress === null) await promise;
      const said: WorkEvent<T> | null = progress;
      progress = null;
      if (said !== null) yield said;
    }
    yield { kind: "done", result: await working };
  } finally {
    // The reader went away: nobody waits for the rest.
    stop.abort();
  }
}
