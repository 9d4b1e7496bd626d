import type { Travel } from "./fill-plan.ts";
import { createFrameCache, type CacheStats } from "./frame-cache.ts";
import type { FrameIndex } from "./frame-index.ts";
import type { FrameSource } from "./frame-source.ts";

export type FilmCanvas = HTMLCanvasElement | OffscreenCanvas;

/**
 * What came of a request to show a frame.
 * - "shown": the frame asked for is on the canvas.
 * - "superseded": a later request, or `dispose`, took its place; the canvas was left alone.
 * - "failed": the frame, or anything of the film, cannot be decoded; the canvas was left alone.
 */
export type ShowResult =
  | { readonly kind: "shown"; readonly frameIndex: number }
  | { readonly kind: "superseded" }
  | {
      readonly kind: "failed";
      readonly of: "frame" | "film";
      readonly frameIndex: number;
      readonly message: string;
    };

export type FilmStats = CacheStats & {
  /** Requests answered from the cache, and those that had to wait for the decoder. */
  readonly hits: number;
  readonly misses: number;
};

/** Draws exact frames on a canvas, which it sets to the film's displayed size. */
export type FrameShower = {
  /**
   * Shows a frame; an index outside the film means its first or last frame. The latest request wins: one that waits for
   * the decoder is given up for a newer one, but while scrubbing one is let through every quarter of a second.
   */
  show(frameIndex: number, canvas: FilmCanvas): Promise<ShowResult>;
  /**
   * Shows the frame this many after the last one asked for. Steps are queued and each is shown, so a held key runs
   * through every frame; a step that finds two waiting is superseded, so that the run stops with the key.
   */
  step(frames: number, canvas: FilmCanvas): Promise<ShowResult>;
  /** Frames that one key would go to, the likeliest first: decoded when there is time, so that they are shown at once. */
  expect(frames: readonly number[]): void;
  /** Whether a frame is decoded, so that it is shown at once. */
  holds(frameIndex: number): boolean;
  /** The last frame asked for; "superseded" steps do not count. */
  askedIndex(): number;
  /** Stops decoding ahead while something else plays; the next request goes on. */
  rest(): void;
  stats(): FilmStats;
  dispose(): void;
};

export type ShowerParts = {
  readonly index: FrameIndex;
  readonly source: FrameSource;
  readonly budgetBytes: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly onDispose: () => void;
};

type Deferred = {
  readonly frameIndex: number;
  readonly canvas: FilmCanvas;
  readonly settle: (result: ShowResult | Promise<ShowResult>) => void;
};

/** While scrubbing, a frame that would be given up is let through when the picture has stood still for this long. */
const scrubPatienceMs = 250;
const queuedStepsLimit = 2;
/** A move of at most this many frames is travel in its direction, a longer one a jump. */
const travelFrames = 45;
const superseded: ShowResult = { kind: "superseded" };

export function createFrameShower({
  index,
  source,
  budgetBytes,
  widthPx,
  heightPx,
  onDispose,
}: ShowerParts): FrameShower {
  const cache = createFrameCache(source, index, budgetBytes);
  let asked = 0;
  let travel: Travel = 0;
  let hits = 0;
  let misses = 0;
  let disposed = false;
  /** Number of the newest request: an older one that finishes late draws nothing. */
  let newest = 0;
  let waitingCount = 0;
  let stillSinceMs = 0;
  let deferred: Deferred | null = null;
  let steps: Promise<unknown> = Promise.resolve();
  let queuedSteps = 0;
  /** Changes when a jump makes the queued steps pointless. */
  let queueNumber = 0;

  const ask = (frameIndex: number): number => {
    const clamped = Math.max(0, Math.min(index.frameCount - 1, Math.round(frameIndex)));
    const moved = clamped - asked;
    if (moved !== 0) travel = Math.abs(moved) <= travelFrames ? (Math.sign(moved) as Travel) : 0;
    asked = clamped;
    return clamped;
  };

  const dropDeferred = (): void => {
    deferred?.settle(superseded);
    deferred = null;
  };

  const present = async (frameIndex: number, canvas: FilmCanvas): Promise<ShowResult> => {
    if (disposed) return superseded;
    const request = ++newest;
    if (cache.peek(frameIndex) === null) misses++;
    else hits++;
    if (waitingCount++ === 0) stillSinceMs = performance.now();
    const loaded = await cache.moveTo(frameIndex, travel);
    waitingCount--;
    const isNewest = request === newest && !disposed;
    if (loaded.kind === "held" && isNewest) {
      if (canvas.width !== widthPx) canvas.width = widthPx;
      if (canvas.height !== heightPx) canvas.height = heightPx;
      loaded.sample.draw(contextOf(canvas), 0, 0, widthPx, heightPx);
      stillSinceMs = performance.now();
    }
    if (deferred !== null && waitingCount === 0) {
      const next = deferred;
      deferred = null;
      next.settle(present(next.frameIndex, next.canvas));
    }
    if (!isNewest || loaded.kind === "superseded") return superseded;
    return loaded.kind === "held" ? { kind: "shown", frameIndex } : { ...loaded, frameIndex };
  };

  return {
    show(wanted, canvas) {
      queueNumber++;
      queuedSteps = 0;
      dropDeferred();
      const frameIndex = ask(wanted);
      const mustWait = waitingCount > 0 && performance.now() - stillSinceMs > scrubPatienceMs;
      if (!mustWait) return present(frameIndex, canvas);
      return new Promise((settle) => {
        deferred = { frameIndex, canvas, settle };
      });
    },
    step(frames, canvas) {
      if (queuedSteps > queuedStepsLimit) return Promise.resolve(superseded);
      const queue = queueNumber;
      queuedSteps++;
      const result = steps.then(async () => {
        if (queue !== queueNumber) return superseded;
        dropDeferred();
        const shown = await present(ask(asked + frames), canvas);
        if (queue === queueNumber) queuedSteps--;
        return shown;
      });
      steps = result.catch(() => undefined);
      return result;
    },
    expect: (frames) => cache.expect(frames),
    holds: (frameIndex) => cache.peek(frameIndex) !== null,
    askedIndex: () => asked,
    rest: () => cache.rest(),
    stats: () => ({ ...cache.stats(), hits, misses }),
    dispose() {
      if (disposed) return;
      disposed = true;
      queueNumber++;
      dropDeferred();
      cache.dispose();
      onDispose();
    },
  };
}

function contextOf(canvas: FilmCanvas): CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D {
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw new Error("the film's canvas has no 2D context");
  return context;
}
