import type { Measured } from "./finding.ts";

/**
 * When something changed that was so at one moment and not at the next: somewhere between the two, most likely where the
 * straight line between them has it. Seconds after the snap; a triangular distribution.
 */
export type ChangeTime = { readonly low: number; readonly mode: number; readonly high: number };

export function at(sec: number): ChangeTime {
  return { low: sec, mode: sec, high: sec };
}

export function meanOf({ low, mode, high }: ChangeTime): number {
  return (low + mode + high) / 3;
}

function quantile({ low, mode, high }: ChangeTime, share: number): number {
  const width = high - low;
  if (width <= 0) return low;
  const below = (mode - low) / width;
  return share < below
    ? low + Math.sqrt(share * width * (mode - low))
    : high - Math.sqrt((1 - share) * width * (high - mode));
}

const points = 48;

/** That the time from one change to another is longer than so many seconds; the two are taken as independent. */
export function probabilityLonger(from: ChangeTime, to: ChangeTime, allowedSec: number): number {
  let longer = 0;
  for (let i = 0; i < points; i++) {
    const start = quantile(from, (i + 0.5) / points);
    for (let j = 0; j < points; j++) {
      if (quantile(to, (j + 0.5) / points) - start > allowedSec) longer++;
    }
  }
  return longer / (points * points);
}

/** The time from one change to another: where the straight lines have it, and within what the spacing of moments leaves. */
export function lengthBetween(from: ChangeTime, to: ChangeTime): Measured {
  return { value: to.mode - from.mode, low: to.low - from.high, high: to.high - from.low };
}

/** Moments in a row at which something was probably so. */
export type Run = {
  /** Indices into the times asked about. */
  readonly first: number;
  readonly last: number;
  /** The greatest probability that it was so at one of them. */
  readonly probability: number;
  readonly start: ChangeTime;
  readonly end: ChangeTime;
};

const steps = 20;

/**
 * The runs of moments at which `isSo` is more likely than not. Between moments it is asked at instants, to find where it
 * changed; before the first moment it cannot have begun earlier than `earliestSec`, after the last nothing is known.
 */
export function runsOf(times: readonly number[], earliestSec: number, isSo: (sec: number) => number): Run[] {
  const values = times.map(isSo);
  const runs: Run[] = [];
  for (let first = 0; first < times.length; first++) {
    if (!((values[first] ?? 0) > 0.5)) continue;
    let last = first;
    while ((values[last + 1] ?? 0) > 0.5) last++;
    const begins = times[first] ?? 0;
    const ends = times[last] ?? 0;
    const before = Math.min(begins, times[first - 1] ?? earliestSec);
    const after = times[last + 1] ?? ends;
    runs.push({
      first,
      last,
      probability: Math.max(...values.slice(first, last + 1)),
      start: { low: before, mode: edge(begins, before, isSo), high: begins },
      end: { low: ends, mode: edge(ends, after, isSo), high: after },
    });
    first = last;
  }
  return runs;
}

/** How far toward another instant something stays so that is so at this one. */
export function edge(fromSec: number, towardSec: number, isSo: (sec: number) => number): number {
  let reached = fromSec;
  for (let i = 1; i < steps; i++) {
    const sec = fromSec + ((towardSec - fromSec) * i) / steps;
    if (!(isSo(sec) > 0.5)) break;
    reached = sec;
  }
  return reached;
}
