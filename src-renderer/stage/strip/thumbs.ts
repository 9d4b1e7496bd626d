import type { ThumbHold, ThumbMessage, ThumbRequest } from "./thumb-messages.ts";
import { openShelf, type ThumbShelf } from "./thumb-shelf.ts";

/** The pictures of a film so far; replaced whole at every change. Addresses are for an image element. */
export type ThumbsState = {
  /** By the instant; null where no picture can be had. */
  readonly pictures: ReadonlyMap<number, string | null>;
  /** The very frame that is looked at. */
  readonly looked: { readonly timeSec: number; readonly address: string } | null;
  /** Of those for the whole film: how many are there, and how many there will be; `of` is 0 while nobody asked. */
  readonly whole: { readonly made: number; readonly of: number };
};

/** Small pictures of one film. Instants are seconds of it. `subscribe` and `getState` fit useSyncExternalStore. */
export type Thumbs = {
  /** Instants in the order they are wanted; what is there already is not made again. */
  want(timesSec: readonly number[]): void;
  /** Instants of the whole film, made when nothing else is wanted; none to give them up. */
  wantWhole(timesSec: readonly number[]): void;
  /** The very frame of an instant; null to let it go. */
  look(timeSec: number | null): void;
  /** A film that plays, or is stepped through, needs the machine. */
  hold(hold: ThumbHold): void;
  subscribe(listener: () => void): () => void;
  getState(): ThumbsState;
  /** Ends the worker at once and frees every picture; the shelf keeps its own. */
  dispose(): void;
};

/** So many pictures stay in memory, some 4 kB each; the shelf has the rest. */
const mostInMemory = 2000;
/** Pictures come one by one, and are told of together: a strip of a hundred need not be drawn a hundred times. */
const togetherMs = 60;

export function createThumbs(
  film: { readonly url: string; readonly fingerprint: string },
  shelf: Promise<ThumbShelf> = openShelf(),
): Thumbs {
  const worker = new Worker(new URL("./thumb-worker.ts", import.meta.url), { type: "module", name: "thumbs" });
  const ask = (request: ThumbRequest): void => worker.postMessage(request);
  const listeners = new Set<() => void>();
  const pictures = new Map<number, string | null>();
  let state: ThumbsState = { pictures: new Map(), looked: null, whole: { made: 0, of: 0 } };
  let inView: ReadonlySet<number> = new Set();
  let missingOfWhole = new Set<number>();
  let lookingAt: number | null = null;
  let disposed = false;
  let telling: ReturnType<typeof setTimeout> | null = null;
  let untold = { pictures: false, whole: false };
  let rounds = { want: 0, rest: 0 };
  ask({ kind: "open", url: film.url });

  const change = (part: Partial<ThumbsState>): void => {
    state = { ...state, ...part };
    for (const listener of listeners) listener();
  };
  const keep = (timeSec: number, picture: Blob | null): void => {
    if (disposed) return;
    const before = pictures.get(timeSec);
    if (typeof before === "string") URL.revokeObjectURL(before);
    pictures.set(timeSec, picture ? URL.createObjectURL(picture) : null);
    for (const [oldest, address] of pictures) {
      if (pictures.size <= mostInMemory) break;
      if (inView.has(oldest)) continue;
      if (address !== null) URL.revokeObjectURL(address);
      pictures.delete(oldest);
    }
    // What is made for later is counted, and shown only when it comes into view.
    const wasOfWhole = missingOfWhole.delete(timeSec);
    untold = { pictures: untold.pictures || inView.has(timeSec), whole: untold.whole || wasOfWhole };
    if (untold.pictures || untold.whole) telling ??= setTimeout(tell, togetherMs);
  };
  const tell = (): void => {
    telling = null;
    if (disposed) return;
    const made = state.whole.of - missingOfWhole.size;
    change({
      ...(untold.pictures ? { pictures: new Map(pictures) } : {}),
      ...(untold.whole ? { whole: { ...state.whole, made } } : {}),
    });
    untold = { pictures: false, whole: false };
  };
  const showLooked = (timeSec: number, picture: Blob | null): void => {
    if (state.looked) URL.revokeObjectURL(state.looked.address);
    change({ looked: picture && { timeSec, address: URL.createObjectURL(picture) } });
  };
  const keyOf = (timeSec: number) => `${film.fingerprint}/${timeSec.toFixed(3)}`;
  worker.addEventListener("message", ({ data }: MessageEvent<ThumbMessage>) => {
    if (disposed) return;
    if (data.kind === "looked") {
      if (data.timeSec === lookingAt) showLooked(data.timeSec, data.picture);
    } else if (data.kind === "none") {
      if (data.timeSec !== null) keep(data.timeSec, null);
    } else {
      keep(data.timeSec, data.picture);
      void shelf.then((kept) => kept.put(keyOf(data.timeSec), data.picture));
    }
  });

  /** From the shelf what it has, from the worker the others; a later wish takes this one's place. */
  const fetch = async (kind: "want" | "rest", timesSec: readonly number[]): Promise<void> => {
    const own = rounds[kind] + 1;
    rounds = { ...rounds, [kind]: own };
    const missing = timesSec.filter((timeSec) => !pictures.has(timeSec));
    const kept = missing.length === 0 ? [] : await (await shelf).get(missing.map(keyOf));
    if (disposed) return;
    for (const [at, picture] of kept.entries()) {
      const timeSec = missing[at]!;
      if (picture && !pictures.has(timeSec)) keep(timeSec, picture);
    }
    if (own === rounds[kind]) ask({ kind, timesSec: missing.filter((timeSec) => !pictures.has(timeSec)) });
  };

  return {
    want(timesSec) {
      inView = new Set(timesSec);
      // Made for the whole film before, and now in view.
      if (timesSec.some((timeSec) => pictures.has(timeSec) && !state.pictures.has(timeSec)))
        change({ pictures: new Map(pictures) });
      void fetch("want", timesSec);
    },
    wantWhole(timesSec) {
      missingOfWhole = new Set(timesSec.filter((timeSec) => !pictures.has(timeSec)));
      const of = timesSec.length;
      change({ whole: { made: of - missingOfWhole.size, of } });
      void fetch("rest", timesSec);
    },
    look(timeSec) {
      if (timeSec === lookingAt) return;
      lookingAt = timeSec;
      if (state.looked) showLooked(0, null);
      ask({ kind: "look", timeSec });
    },
    hold: (hold) => ask({ kind: "hold", hold }),
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    getState: () => state,
    dispose() {
      disposed = true;
      listeners.clear();
      worker.terminate();
      for (const address of pictures.values()) if (address !== null) URL.revokeObjectURL(address);
      if (state.looked) URL.revokeObjectURL(state.looked.address);
      void shelf.then((kept) => kept.close());
    },
  };
}
