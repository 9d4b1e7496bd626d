import type { ThumbMessage, ThumbRequest } from "./thumb-messages.ts";
import { openShelf, type ThumbShelf } from "./thumb-shelf.ts";

/** Small pictures of one film as addresses an image can show. `subscribe` and `getState` fit useSyncExternalStore. */
export type Thumbs = {
  /** Instants in the order they are wanted; what is there already is not made again. Seconds of the film. */
  want(timesSec: readonly number[]): void;
  /** A film that plays needs the machine. */
  pause(paused: boolean): void;
  subscribe(listener: () => void): () => void;
  /** By the instant; null where no picture can be had. */
  getState(): ReadonlyMap<number, string | null>;
  dispose(): void;
};

/** So many pictures stay in memory, some 4 kB each; the shelf has the rest. */
const mostInMemory = 2000;

export function createThumbs(
  film: { readonly url: string; readonly fingerprint: string },
  shelf: Promise<ThumbShelf> = openShelf(),
): Thumbs {
  const worker = new Worker(new URL("./thumb-worker.ts", import.meta.url), { type: "module", name: "thumbs" });
  const ask = (request: ThumbRequest): void => worker.postMessage(request);
  const listeners = new Set<() => void>();
  let made: ReadonlyMap<number, string | null> = new Map();
  let disposed = false;
  let round = 0;
  ask({ kind: "open", url: film.url });

  const keep = (timeSec: number, picture: Blob | null): void => {
    if (disposed) return;
    const next = new Map(made);
    next.set(timeSec, picture ? URL.createObjectURL(picture) : null);
    for (const [oldest, address] of next) {
      if (next.size <= mostInMemory) break;
      if (address !== null) URL.revokeObjectURL(address);
      next.delete(oldest);
    }
    made = next;
    for (const listener of listeners) listener();
  };
  const keyOf = (timeSec: number) => `${film.fingerprint}/${timeSec.toFixed(3)}`;
  worker.addEventListener("message", ({ data }: MessageEvent<ThumbMessage>) => {
    if (data.kind === "none") {
      if (data.timeSec !== null) keep(data.timeSec, null);
      return;
    }
    keep(data.timeSec, data.picture);
    void shelf.then((kept) => kept.put(keyOf(data.timeSec), data.picture));
  });

  return {
    want(timesSec) {
      round += 1;
      const own = round;
      const missing = timesSec.filter((timeSec) => !made.has(timeSec));
      void shelf.then(async (kept) => {
        const found = await Promise.all(missing.map((timeSec) => kept.get(keyOf(timeSec))));
        if (disposed) return;
        for (const [index, picture] of found.entries()) {
          const timeSec = missing[index]!;
          if (picture && !made.has(timeSec)) keep(timeSec, picture);
        }
        // A later wish has taken this one's place.
        if (own === round) ask({ kind: "want", timesSec: missing.filter((_, index) => found[index] === null) });
      });
    },
    pause: (paused) => ask({ kind: "pause", paused }),
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    getState: () => made,
    dispose() {
      disposed = true;
      worker.terminate();
      for (const address of made.values()) if (address !== null) URL.revokeObjectURL(address);
      listeners.clear();
    },
  };
}
