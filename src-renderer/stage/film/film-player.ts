import type { FilmReader } from "./film-reader.ts";
import type { ShowResult } from "./frame-shower.ts";
import { createNativePlay } from "./native-play.ts";
import { createShuttle } from "./shuttle.ts";
import { createSteppedPlay } from "./stepped-play.ts";

export const playRates = [0.25, 0.5, 0.75, 1, 1.5, 2] as const;

/** The rate before or after this one; the slowest and the fastest have none. */
export function nextRate(rate: number, by: 1 | -1): number {
  const at = playRates.findIndex((one) => one === rate);
  return playRates[Math.min(playRates.length - 1, Math.max(0, at + by))] ?? rate;
}

/** A stretch of film that plays over and over; `endSec` is past its last frame. */
export type FilmLoop = { readonly startSec: number; readonly endSec: number };

/** What the player is doing; replaced whole at every change. */
export type PlayerState = {
  readonly mode: "paused" | "playing";
  /** The frame that was asked for, or that plays. */
  readonly frameIndex: number;
  /** Start of that frame. */
  readonly timeSec: number;
  /** The frame whose pixels are on the canvas while paused; null before the first, and while playing. */
  readonly shownIndex: number | null;
  readonly rate: number;
  readonly loop: FilmLoop | null;
  /** A first frame is on the canvas. */
  readonly ready: boolean;
  /** Whether the browser's own player can play it; null until that was tried. Without it decoded frames are stepped. */
  readonly canPlayNatively: boolean | null;
  /** A sentence, or null. */
  readonly error: string | null;
};

/** A player that stands on a frame and has not shown it yet. */
export function pausedState(frameIndex: number, timeSec: number): PlayerState {
  return {
    mode: "paused",
    frameIndex,
    timeSec,
    shownIndex: null,
    rate: 1,
    loop: null,
    ready: false,
    canPlayNatively: null,
    error: null,
  };
}

/**
 * Plays an open film on two surfaces that lie exactly over each other: the canvas shows the decoded frame while paused,
 * the video element plays. The player alone sets which of the two is visible. `subscribe` and `getState` fit React's
 * useSyncExternalStore.
 */
export type FilmPlayer = {
  subscribe(listener: () => void): () => void;
  getState(): PlayerState;
  /** Resolves when the first picture moves, or could not. */
  play(): Promise<void>;
  /** Resolves when the decoded frame that stood on screen lies on the canvas. */
  pause(): Promise<void>;
  toggle(): Promise<void>;
  /** Goes to a frame; playing goes on from there. */
  seek(frameIndex: number): Promise<void>;
  seekTime(timeSec: number): Promise<void>;
  /** Pauses and moves by frames; held keys may call it as fast as they repeat. */
  step(frames: number): Promise<void>;
  /** Pauses and moves to the frame on screen this many seconds away; at least one frame. */
  stepTime(seconds: number): Promise<void>;
  /** Instants that one key would go to from here, the likeliest first: made ready while nothing else is to be done. */
  expect(timesSec: readonly number[]): void;
  setRate(rate: number): void;
  /** Runs by decoded frames at this rate from where it is, backward when negative, until it is given 0 or the film is moved. */
  shuttle(rate: number): Promise<void>;
  /** Null ends the loop. Playing outside it jumps to its start. */
  setLoop(loop: FilmLoop | null): void;
  /** Ends playing and lets go of the surfaces. The film stays open: it belongs to whoever opened it. */
  dispose(): void;
};

export type PlayerParts = {
  readonly film: FilmReader;
  readonly canvas: HTMLCanvasElement;
  readonly video: HTMLVideoElement;
  readonly startIndex?: number;
};

/** One way of playing. `start` reports `onFailure` when it cannot; `stop` gives the frame that stood on screen last. */
export type Play = {
  start(fromIndex: number): Promise<void>;
  stop(): Promise<number>;
  seek(frameIndex: number): void;
  /** Like `seek`, after the frame on screen had its time. */
  turnBack(frameIndex: number): void;
  setRate(rate: number): void;
  dispose(): void;
};

/** What a way of playing reports: each frame as it appears, the film's end, and that it cannot go on, in a sentence. */
export type PlayEvents = {
  onFrame(frameIndex: number): void;
  onEnd(): void;
  onFailure(message: string): void;
};

export function createFilmPlayer({ film, canvas, video, startIndex = 0 }: PlayerParts): FilmPlayer {
  const listeners = new Set<() => void>();
  let state = pausedState(startIndex, film.timeOf(startIndex));
  let disposed = false;
  let playing: Play | null = null;
  // While the player stops, which takes a paint or two: whoever moves the film meanwhile moves it from where it comes to stand.
  let stopping: Promise<number> | null = null;

  const change = (part: Partial<PlayerState>): void => {
    if (disposed) return;
    state = { ...state, ...part };
    for (const listener of listeners) listener();
  };

  /** Read afresh after an await: the compiler would keep what it knew before. */
  const mode = (): PlayerState["mode"] => state.mode;

  const isPlaying = (): boolean => state.mode === "playing" && !disposed;

  const at = (frameIndex: number): Pick<PlayerState, "frameIndex" | "timeSec"> => {
    const clamped = Math.max(0, Math.min(film.frameCount - 1, Math.round(frameIndex)));
    return { frameIndex: clamped, timeSec: film.timeOf(clamped) };
  };

  const showVideo = (isVideo: boolean): void => {
    video.style.visibility = isVideo ? "visible" : "hidden";
    canvas.style.visibility = isVideo ? "hidden" : "visible";
  };

  const landed = (result: ShowResult): void => {
    if (result.kind === "superseded" || isPlaying()) return;
    if (result.kind === "failed") change({ error: result.message });
    else change({ shownIndex: result.frameIndex, ready: true, error: null });
  };

  const loopIndices = (): { readonly first: number; readonly last: number } | null => {
    if (state.loop === null) return null;
    const first = film.frameAt(state.loop.startSec);
    // The end is exclusive: the frame that starts there is not part of the loop.
    const ending = film.frameAt(state.loop.endSec);
    const last = film.timeOf(ending) < state.loop.endSec - 1e-6 ? ending : ending - 1;
    return { first, last: Math.max(first, last) };
  };

  const events: PlayEvents = {
    onFrame(frameIndex) {
      if (!isPlaying()) return;
      change({ ...at(frameIndex), shownIndex: null });
      const loop = loopIndices();
      if (loop !== null && (frameIndex >= loop.last || frameIndex < loop.first)) playing?.turnBack(loop.first);
    },
    onEnd() {
      const loop = loopIndices();
      if (loop !== null && isPlaying()) {
        void playing?.start(loop.first);
        return;
      }
      void player.pause();
    },
    onFailure(message) {
      // Whether it played or not: the decoded frames may still be had, and say what is wrong when they cannot.
      if (playing !== stepped) change({ canPlayNatively: false });
      if (!isPlaying() || playing === null) return;
      if (playing === stepped) {
        playing = null;
        change({ mode: "paused", error: message });
        return;
      }
      void native.stop();
      showVideo(false);
      playing = stepped;
      stepped.setRate(state.rate);
      void stepped.start(state.frameIndex);
    },
  };

  const native = createNativePlay({ film, video, events, onPicture: () => showVideo(true) });
  const stepped = createSteppedPlay({ film, canvas, events });

  // The paused picture comes first: the browser's player is tried only when it is on screen.
  const nativeTried = film
    .show(startIndex, canvas)
    .then(landed)
    .then(() => native.tryOut())
    .then((can) => change({ canPlayNatively: can }));

  const player: FilmPlayer = {
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    getState: () => state,
    async play() {
      if (disposed || isPlaying()) return;
      const loop = loopIndices();
      const isOutside = loop !== null && (state.frameIndex < loop.first || state.frameIndex > loop.last);
      const isAtEnd = loop === null && state.frameIndex === film.frameCount - 1;
      if (isOutside || isAtEnd) change(at(loop?.first ?? 0));
      change({ mode: "playing", error: null });
      await nativeTried;
      if (mode() !== "playing" || disposed) return;
      film.rest();
      playing = state.canPlayNatively === true ? native : stepped;
      playing.setRate(state.rate);
      await playing.start(state.frameIndex);
    },
    async pause() {
      if (!isPlaying()) return;
      const stopped = playing;
      playing = null;
      change({ mode: "paused" });
      if (stopped !== null) {
        stopping = stopped.stop();
        change(at(await stopping));
        stopping = null;
      }
      if (disposed || mode() !== "paused") return;
      const shown = await film.show(state.frameIndex, canvas);
      if (mode() === "paused") showVideo(false);
      landed(shown);
    },
    toggle: () => (isPlaying() ? player.pause() : player.play()),
    async seek(frameIndex) {
      if (stopping !== null) await stopping;
      const there = at(frameIndex);
      // What is decoded is told of when it is shown: whoever draws the window need not draw it twice.
      if (!isPlaying() && film.holds(there.frameIndex)) state = { ...state, ...there };
      else change(there);
      if (isPlaying()) {
        playing?.seek(state.frameIndex);
        return;
      }
      landed(await film.show(state.frameIndex, canvas));
    },
    seekTime: (timeSec) => player.seek(film.frameAt(timeSec)),
    async step(frames) {
      if (isPlaying()) await player.pause();
      if (stopping !== null) await stopping;
      const shown = await film.step(frames, canvas);
      if (shown.kind !== "superseded" && !isPlaying()) change(at(shown.frameIndex));
      landed(shown);
    },
    async stepTime(seconds) {
      if (isPlaying()) await player.pause();
      if (stopping !== null) await stopping;
      const there = film.frameAt(state.timeSec + seconds);
      const leastFrames = Math.sign(seconds);
      await player.seek(there === state.frameIndex ? there + leastFrames : there);
    },
    expect: (timesSec) => film.expect(timesSec.map((timeSec) => film.frameAt(timeSec))),
    setRate(rate) {
      change({ rate });
      playing?.setRate(rate);
    },
    setLoop(loop) {
      change({ loop });
      const indices = loopIndices();
      if (indices === null || !isPlaying()) return;
      if (state.frameIndex < indices.first || state.frameIndex > indices.last) void player.seek(indices.first);
    },
    shuttle: (rate) => shuttle.run(rate),
    dispose() {
      disposed = true;
      shuttle.stop();
      listeners.clear();
      native.dispose();
      stepped.dispose();
    },
  };
  const shuttle = createShuttle(film, player);
  showVideo(false);
  return player;
}
