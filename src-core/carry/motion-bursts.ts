/** Motion on the ground between two frames of a film: `fromSec` and `sec` are their starts, `grey` as `PictureMotion`. */
export type MotionSample = { readonly fromSec: number; readonly sec: number; readonly grey: number };

/** A stretch that moves as a play does, out of one that stands still. Seconds. */
export type Burst = {
  /** End of the stillness before it, as far as a smoothed motion tells. */
  readonly fromSec: number;
  /** Where it has let up. */
  readonly toSec: number;
  /** Its motion times its length, grey seconds. */
  readonly energy: number;
};

export type Onset = {
  /** The earlier frame of the first pair that moved: the last that stands still. */
  readonly sec: number;
  /** 0 to 1: motion before against motion after. */
  readonly stillness: number;
  /** 0 to 1: how quickly half the usual motion was reached. */
  readonly sharpness: number;
};

/** Samples this near are smoothed together, by their median. Seconds to either side. */
const smoothSec = 0.2;
/** Shares of the way from what moves at the least to the usual motion: below the one a film stands still, above the other it plays. */
const stillShare = 0.2;
const playShare = 0.5;
/** A camera held by hand never stands quite still; where the least is more of the usual motion than this, nothing does. */
const mostFloorShare = 0.35;
/** Motion out of stillness reaches that of a play within so long, or it is a walk. Seconds. */
const riseSec = 1.5;
/** Shorter than this is no play. Seconds. */
const leastBurstSec = 1.2;
/** A play has let up when for so long it moves less than this share of its own most. Seconds. */
const letUpSec = 0.8;
const letUpShare = 0.35;
/** No play lasts longer. Seconds. */
const mostBurstSec = 20;

/** The motion that a film has while it plays, greys: plays are a tenth of it at the least. */
export function usualLevel(greys: readonly number[]): number {
  const sorted = greys.toSorted((a, b) => a - b);
  return sorted.length === 0 ? 0 : sorted[Math.floor(0.93 * (sorted.length - 1))]!;
}

/** The motion around each sample, by the median. */
export function smoothed(motion: readonly MotionSample[]): number[] {
  let first = 0;
  return motion.map(({ sec }) => {
    while (motion[first]!.sec < sec - smoothSec) first++;
    const near: number[] = [];
    for (let i = first; i < motion.length && motion[i]!.sec <= sec + smoothSec; i++) near.push(motion[i]!.grey);
    near.sort((a, b) => a - b);
    return near[near.length >> 1]!;
  });
}

/** Where stillness ends and play begins, greys. */
type Lines = { readonly stillGrey: number; readonly playGrey: number };

function linesOf(smooth: readonly number[], level: number): Lines {
  const least = smooth.toSorted((a, b) => a - b)[Math.floor(0.1 * (smooth.length - 1))] ?? 0;
  const floor = least > mostFloorShare * level ? 0 : least;
  return { stillGrey: floor + stillShare * (level - floor), playGrey: floor + playShare * (level - floor) };
}

/** Stretches of `level` motion that break out of at least so long a stillness, in the order of time. */
export function burstsIn(motion: readonly MotionSample[], level: number, leastStillSec: number): Burst[] {
  if (!(level > 0)) return [];
  const smooth = smoothed(motion);
  const { stillGrey, playGrey } = linesOf(smooth, level);
  const isStill = (i: number) => smooth[i]! < stillGrey;
  const bursts: Burst[] = [];
  let stillFrom: number | null = null;
  for (let i = 0; i < motion.length; i++) {
    if (isStill(i)) {
      stillFrom ??= motion[i]!.fromSec;
      continue;
    }
    const brokeSec = motion[i]!.fromSec;
    const stoodSec = stillFrom === null ? 0 : brokeSec - stillFrom;
    stillFrom = null;
    if (stoodSec < leastStillSec || !risesFrom(motion, smooth, i, playGrey)) continue;
    const last = letUp(motion, smooth, i);
    const toSec = motion[last]!.sec;
    if (toSec - brokeSec < leastBurstSec) continue;
    let energy = 0;
    for (let k = i; k <= last; k++) energy += motion[k]!.grey * (motion[k]!.sec - motion[k]!.fromSec);
    bursts.push({ fromSec: brokeSec, toSec, energy });
    i = last;
  }
  return bursts;
}

function risesFrom(motion: readonly MotionSample[], smooth: readonly number[], at: number, playGrey: number): boolean {
  for (let i = at; i < motion.length && motion[i]!.sec <= motion[at]!.sec + riseSec; i++) {
    if (smooth[i]! >= playGrey) return true;
  }
  return false;
}

/** The last sample of what began at `at`: before it moves little for a while, against what it moved at first. */
function letUp(motion: readonly MotionSample[], smooth: readonly number[], at: number): number {
  const startSec = motion[at]!.fromSec;
  let most = 0;
  let lowFrom: number | null = null;
  for (let i = at; i < motion.length; i++) {
    const { sec } = motion[i]!;
    if (sec > startSec + mostBurstSec) return i;
    most = Math.max(most, smooth[i]!);
    if (sec < startSec + riseSec || smooth[i]! >= letUpShare * most) {
      lowFrom = null;
      continue;
    }
    lowFrom ??= i;
    if (sec - motion[lowFrom]!.fromSec >= letUpSec) return lowFrom;
  }
  return lowFrom ?? motion.length - 1;
}

/** Share of the usual motion that is motion at all, where a picture has no noise. */
const leastOnsetShare = 0.01;
/** And how many deviations of the stillness before, where it has. */
const noiseTimes = 5;
/** So much of the stillness before is looked at, and the burst may have begun so long before it was seen. Seconds. */
const lookBackSec = 1.5;
const seenLateSec = 0.5;
/** An onset goes on: of the samples after it these many move as well. */
const goesOn = 3;

/** The first pair of a burst that moved against the stillness before it; null where that is too short to tell. */
export function onsetIn(motion: readonly MotionSample[], burst: Burst, level: number): Onset | null {
  const searchSec = burst.fromSec - seenLateSec;
  const before = motion.filter(({ fromSec, sec }) => fromSec >= searchSec - lookBackSec && sec <= searchSec);
  if (before.length < goesOn) return null;
  const greys = before.map(({ grey }) => grey).toSorted((a, b) => a - b);
  const usual = greys[greys.length >> 1]!;
  const off = greys.map((grey) => Math.abs(grey - usual)).toSorted((a, b) => a - b);
  const noise = noiseTimes * 1.4826 * off[off.length >> 1]!;
  const rise = Math.max(0, playShare * level - usual);
  const limit = usual + Math.min(Math.max(leastOnsetShare * level, noise), rise / 2);
  const first = motion.findIndex(
    ({ fromSec }, i) =>
      fromSec >= searchSec &&
      i + goesOn <= motion.length &&
      motion.slice(i, i + goesOn).every(({ grey }) => grey > limit),
  );
  if (first < 0) return null;
  const onsetSec = motion[first]!.fromSec;
  const reached = motion.find(({ grey }, i) => i >= first && grey >= playShare * level)?.sec ?? onsetSec + riseSec;
  return {
    sec: onsetSec,
    stillness: Math.max(0, 1 - usual / (playShare * level)),
    sharpness: Math.min(1, Math.max(0, (riseSec - (reached - onsetSec)) / (riseSec - quickSec))),
  };
}

/** People need so long to come up to speed after the ball: nothing is quicker. Seconds. */
const quickSec = 0.6;
