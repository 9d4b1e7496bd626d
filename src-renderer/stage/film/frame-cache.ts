import type { VideoSample } from "mediabunny";
import { frameWindow, planFill, type FillPlan, type Travel } from "./fill-plan.ts";
import type { FrameIndex } from "./frame-index.ts";
import type { DecodedFrame, DecodeRun, FrameSource } from "./frame-source.ts";

/**
 * What came of asking for a frame. A held sample is lent: draw it at once, do not close it. A failure is of this frame
 * alone, or of the film: its file cannot be read on, or its decoder broke, and other frames will hardly do better.
 */
export type LoadResult =
  | { readonly kind: "held"; readonly sample: VideoSample }
  | { readonly kind: "superseded" }
  | { readonly kind: "failed"; readonly of: "frame" | "film"; readonly message: string };

export type CacheStats = {
  readonly heldFrames: number;
  readonly heldBytes: number;
  readonly decodedFrames: number;
  readonly startedRuns: number;
};

/** Decoded frames around the playhead, within a budget of bytes. */
export type FrameCache = {
  /** Moves the playhead. Gives its frame when it is decoded, or "superseded" when the playhead moved on before that. */
  moveTo(frameIndex: number, travel: Travel): Promise<LoadResult>;
  /**
   * Frames that are likely to be asked for next, the likeliest first, though they may lie far away: decoded when those near the
   * playhead are, and kept while they are expected. Takes the place of what was expected before.
   */
  expect(frames: readonly number[]): void;
  /** The sample of a frame if it is held now, lent like that of `moveTo`. */
  peek(frameIndex: number): VideoSample | null;
  /** Stops decoding and keeps what is held, until the playhead moves again. */
  rest(): void;
  stats(): CacheStats;
  dispose(): void;
};

type ActiveRun = { readonly run: DecodeRun; next: number; last: number };
type Waiter = { readonly frameIndex: number; readonly settle: (result: LoadResult) => void };

/** Starting a decoder costs about as much as decoding this many frames. */
const restartFrames = 6;
const fewestFrames = 3;
/** Where a jump landed so many frames are decoded; the rest of the room is used once somebody goes on from there. */
const jumpedFrames = 41;
/** Then so many are kept, with those of the place before: never fewer than are decoded, or one would push the other out without end. */
const keptFrames = 82;
/** At most one in so many of the frames held is one that is only expected. */
const expectedShare = 8;
const absentFrame: LoadResult = { kind: "failed", of: "frame", message: "This frame cannot be decoded." };

export function createFrameCache(source: FrameSource, index: FrameIndex, budgetBytes: number): FrameCache {
  const held = new Map<number, VideoSample>();
  /** Frames that the index has and the decoder does not give. */
  const absent = new Set<number>();
  let expected: readonly number[] = [];
  let frameBytes = 0;
  let playhead = 0;
  let travel: Travel = 0;
  let active: ActiveRun | null = null;
  let waiter: Waiter | null = null;
  let pumping = false;
  let resting = true;
  let disposed = false;
  let decodedFrames = 0;
  let startedRuns = 0;

  const has = (frameIndex: number): boolean => held.has(frameIndex) || absent.has(frameIndex);

  const capacity = (): number => {
    // Before the first frame is decoded its size is unknown: start with little.
    const fitting = frameBytes === 0 ? 8 : Math.floor(budgetBytes / frameBytes);
    return Math.max(fewestFrames, Math.min(fitting, source.heldFramesLimit));
  };

  /** As many of the expected frames as there is room for beside the window. */
  const expectedNow = (): readonly number[] => expected.slice(0, Math.floor(capacity() / expectedShare));

  /** What is worth holding around the playhead; what is expected takes its room from it. */
  const windowNow = () => {
    const room = capacity() - expectedNow().length;
    return frameWindow(playhead, travel, travel === 0 ? Math.min(room, jumpedFrames) : room, index.frameCount);
  };

  const stopRun = (): void => {
    active?.run.stop();
    active = null;
  };

  const settle = (result: LoadResult): void => {
    const settled = waiter;
    waiter = null;
    settled?.settle(result);
  };

  const settleIfThere = (): void => {
    if (waiter === null) return;
    const sample = held.get(waiter.frameIndex);
    if (sample !== undefined) settle({ kind: "held", sample });
    else if (absent.has(waiter.frameIndex)) settle(absentFrame);
  };

  /** True when decoding on reaches the plan's first frame about as soon as a start at its key frame would. */
  const serves = (run: ActiveRun, plan: FillPlan): boolean =>
    plan.first >= run.next && run.next >= index.keyBefore(plan.first) - restartFrames;

  /** Points the active run at what is worth decoding now. False: nothing is. */
  const steer = (): boolean => {
    if (resting || disposed) return false;
    const window = windowNow();
    const plan = planFill(playhead, travel, window, { has, keyBefore: index.keyBefore }, expectedNow());
    if (active !== null) {
      if (plan !== null && serves(active, plan)) {
        active.last = Math.max(active.last, plan.last);
        return true;
      }
      if (plan?.urgent !== true) {
        // A run at the front of the window goes on when the playhead follows, though nothing is short yet.
        const atFront = active.next > active.last && active.next > playhead && !has(active.next);
        if (atFront) active.last = window.last;
        const isUseful = active.next <= Math.min(active.last, window.last) && active.last >= window.first;
        if (isUseful) return true;
        if (plan === null) return false;
      }
      stopRun();
    }
    if (plan === null) return false;
    active = { run: source.run(plan.first), next: plan.first, last: plan.last };
    startedRuns++;
    return true;
  };

  const evict = (): void => {
    const kept = Math.max(keptFrames, jumpedFrames + expectedNow().length);
    const limit = travel === 0 ? Math.min(capacity(), kept) : capacity();
    if (held.size <= limit) return;
    const { ahead, behind } = windowNow();
    // How far out a frame lies, in window sides: frames in the window are at most 1.
    const remoteness = (frameIndex: number): number =>
      frameIndex >= playhead ? (frameIndex - playhead) / (ahead + 0.5) : (playhead - frameIndex) / (behind + 0.5);
    const spared = new Set(expectedNow());
    while (held.size > limit) {
      let farthest = playhead;
      for (const frameIndex of held.keys()) {
        if (!spared.has(frameIndex) && remoteness(frameIndex) > remoteness(farthest)) farthest = frameIndex;
      }
      held.get(farthest)?.close();
      held.delete(farthest);
    }
  };

  const keep = ({ frameIndex, sample }: DecodedFrame): void => {
    decodedFrames++;
    if (held.has(frameIndex)) {
      sample.close();
      return;
    }
    held.set(frameIndex, sample);
    absent.delete(frameIndex);
    frameBytes = Math.max(frameBytes, sampleBytes(sample));
    evict();
  };

  const markAbsent = (first: number, last: number): void => {
    for (let missing = first; missing <= last; missing++) if (!held.has(missing)) absent.add(missing);
  };

  const pump = async (): Promise<void> => {
    if (pumping) return;
    pumping = true;
    try {
      while (!disposed && steer() && active !== null) {
        const current: ActiveRun = active;
        const frame = await current.run.next();
        if (active !== current) {
          frame?.sample.close();
          continue;
        }
        if (frame === null) {
          markAbsent(current.next, current.last);
          stopRun();
        } else {
          // A decoder that cannot give the run's first frame gives one before it instead.
          markAbsent(current.next, Math.max(current.next, frame.frameIndex) - 1);
          if (frame.frameIndex < current.next) markAbsent(current.next, current.next);
          current.next = Math.max(current.next, frame.frameIndex) + 1;
          keep(frame);
        }
        settleIfThere();
      }
    } catch (error) {
      stopRun();
      resting = true;
      settle({ kind: "failed", of: "film", message: error instanceof Error ? error.message : String(error) });
    } finally {
      pumping = false;
    }
  };

  return {
    moveTo(frameIndex, nextTravel) {
      if (waiter !== null && waiter.frameIndex !== frameIndex) settle({ kind: "superseded" });
      playhead = frameIndex;
      travel = nextTravel;
      resting = false;
      // Steering at once stops a run that a jump made useless, while its next frame is still being waited for.
      steer();
      void pump();
      const sample = held.get(frameIndex);
      if (sample !== undefined) return Promise.resolve({ kind: "held", sample });
      return new Promise((resolve) => {
        const earlier = waiter?.settle;
        waiter = {
          frameIndex,
          settle: (result) => {
            earlier?.(result);
            resolve(result);
          },
        };
        settleIfThere();
      });
    },
    expect(frames) {
      expected = frames.filter((frameIndex) => frameIndex >= 0 && frameIndex < index.frameCount);
      void pump();
    },
    peek: (frameIndex) => held.get(frameIndex) ?? null,
    rest() {
      resting = true;
      stopRun();
      settle({ kind: "superseded" });
    },
    stats: () => ({ heldFrames: held.size, heldBytes: held.size * frameBytes, decodedFrames, startedRuns }),
    dispose() {
      disposed = true;
      stopRun();
      settle({ kind: "superseded" });
      for (const sample of held.values()) sample.close();
      held.clear();
    },
  };
}

/** Memory a decoded frame takes. Frames of an opaque format (kept by a graphics card) count as 4 bytes a pixel. */
function sampleBytes(sample: VideoSample): number {
  return sample.format === null ? sample.codedWidth * sample.codedHeight * 4 : sample.allocationSize();
}
