import { cutsInChanges } from "./cuts.ts";
import { burstsIn, type MotionSample, type Onset, onsetIn, usualLevel } from "./motion-bursts.ts";

/** What a film was seen to do, from its first frame to its last. Frames and samples in the order of time. */
export type FilmSignals = {
  /** Start of each frame, seconds. */
  readonly frameSec: ArrayLike<number>;
  /** Change of each frame to the one before it at `cutGrey` size, greys; the first one's 0. */
  readonly changeGrey: ArrayLike<number>;
  readonly motion: readonly MotionSample[];
  /** End of the last frame, seconds. */
  readonly endSec: number;
};

/** A stretch of film that looks like a play. Seconds of the film. */
export type PlayProposal = {
  readonly startSec: number;
  readonly endSec: number;
  /** Where it begins to move out of stillness: a hint, to be looked at. Null where nothing stands still before. */
  readonly snap: SnapHint | null;
  /** Between two cuts of the film, or out of a film that ran on. */
  readonly found: "between-cuts" | "by-motion";
};

export type SnapHint = {
  readonly sec: number;
  /**
   * 0 to 1: how still it was before against how it moves after, and how quickly it came. It orders hints; it is no share
   * of hints that are right.
   */
  readonly confidence: number;
};

/** A shorter clip is a slip of the cutting, or a title. Seconds. */
const leastClipSec = 2.5;
/** A longer clip holds more than a play, or ran on before and after it. Seconds. */
const mostClipSec = 30;
/** A clip whose motion never comes near the film's usual is a board or a title. */
const leastShareOfUsual = 0.1;
/**
 * A formation stands still so long before its snap. The rules have all of the offence stand for a second after a shift;
 * a clip may be cut closer than that.
 */
const stillSec = { clip: 0.5, running: 1 } as const;
/** Where a film ran on, a play is taken from so long before its snap. Seconds. */
const leadSec = 3;
/** And to so long after it let up. */
const afterSec = 1.5;

/**
 * Plays that a film seems to show. Each clip between two cuts is a play, if a person cut them out; a clip too long for
 * that is looked through for stillness that breaks into motion, as a snap does.
 */
export function proposePlays(signals: FilmSignals): PlayProposal[] {
  const { frameSec, changeGrey, endSec } = signals;
  const begins = [0, ...cutsInChanges(changeGrey)].map((frame) => frameSec[frame] ?? 0);
  const clips = begins.map((from, i) => ({ from, to: begins[i + 1] ?? endSec }));
  // The pair across a cut says nothing of motion.
  const motion = signals.motion.filter(({ fromSec, sec }) => !begins.some((cut) => fromSec < cut && cut <= sec));
  const usual = usualLevel(motion.map(({ grey }) => grey));
  return clips.flatMap(({ from, to }) => {
    const inside = motion.filter(({ fromSec, sec }) => fromSec >= from && sec <= to);
    if (to - from < leastClipSec || inside.length === 0) return [];
    return to - from <= mostClipSec ? clipPlay(from, to, inside, usual) : playsByMotion(from, to, inside);
  });
}

function clipPlay(from: number, to: number, motion: readonly MotionSample[], filmLevel: number): PlayProposal[] {
  const level = usualLevel(motion.map(({ grey }) => grey));
  if (level <= leastShareOfUsual * filmLevel) return [];
  const bursts = burstsIn(motion, level, stillSec.clip);
  // A shift before the snap is a burst as well, and a smaller one.
  const strongest = bursts.toSorted((a, b) => b.energy - a.energy)[0];
  const others = bursts.reduce((sum, { energy }) => sum + energy, 0) - (strongest?.energy ?? 0);
  const alone = strongest ? strongest.energy / (strongest.energy + others) : 0;
  const snap = strongest ? hintOf(onsetIn(motion, strongest, level), alone) : null;
  return [{ startSec: from, endSec: to, snap, found: "between-cuts" }];
}

function playsByMotion(from: number, to: number, motion: readonly MotionSample[]): PlayProposal[] {
  const level = usualLevel(motion.map(({ grey }) => grey));
  const proposals: PlayProposal[] = [];
  const bursts = burstsIn(motion, level, stillSec.running);
  for (const [i, burst] of bursts.entries()) {
    const onset = onsetIn(motion, burst, level);
    if (!onset) continue;
    const startSec = Math.max(from, onset.sec - leadSec, proposals.at(-1)?.endSec ?? from);
    const next = bursts[i + 1];
    const endSec = Math.min(to, burst.toSec + afterSec, next?.fromSec ?? to);
    proposals.push({ startSec, endSec, snap: hintOf(onset, 1), found: "by-motion" });
  }
  return proposals;
}

function hintOf(onset: Onset | null, alone: number): SnapHint | null {
  return onset && { sec: onset.sec, confidence: onset.sharpness * onset.stillness * alone };
}
