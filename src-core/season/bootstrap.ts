import { seededRandom } from "../field/random.ts";
import { normalCdf, normalQuantile } from "./distributions.ts";
import { type Interval, usualLevel } from "./intervals.ts";

/** A statistic of the cases whose numbers are given, with repeats; null where it has no value. */
export type Statistic = (cases: Int32Array) => number | null;

export type BootstrapDraws = {
  readonly seed: number;
  readonly draws: number;
  readonly level?: number;
};

export type BootstrapInterval = Interval & {
  /** Standard deviation of the draws. */
  readonly standardError: number;
  /** Draws in which the statistic had a value: the interval is of those. */
  readonly draws: number;
};

/** A quantile of sorted numbers, between neighbours in proportion (Hyndman and Fan 1996, definition 7). */
function quantileOf(sorted: Float64Array, share: number): number {
  const at = Math.min(1, Math.max(0, share)) * (sorted.length - 1);
  const below = Math.floor(at);
  const above = Math.min(sorted.length - 1, below + 1);
  return sorted[below]! + (at - below) * (sorted[above]! - sorted[below]!);
}

function drawn(cases: number, statistic: Statistic, { seed, draws }: BootstrapDraws): Float64Array {
  const random = seededRandom(seed);
  const values: number[] = [];
  const sample = new Int32Array(cases);
  for (let draw = 0; draw < draws; draw++) {
    for (let i = 0; i < cases; i++) sample[i] = random.below(cases);
    const value = statistic(sample);
    if (value !== null) values.push(value);
  }
  return Float64Array.from(values).sort();
}

function deviation(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

/** Percentile interval by resampling whole cases (Efron 1979). Null with fewer than two draws that have a value. */
export function percentileBootstrap(
  cases: number,
  statistic: Statistic,
  options: BootstrapDraws,
): BootstrapInterval | null {
  const values = drawn(cases, statistic, options);
  if (values.length < 2) return null;
  const tail = (1 - (options.level ?? usualLevel)) / 2;
  return {
    low: quantileOf(values, tail),
    high: quantileOf(values, 1 - tail),
    standardError: deviation(values),
    draws: values.length,
  };
}

export type Jackknife = {
  readonly standardError: number;
  readonly bias: number;
  /** How fast the standard error changes with the statistic, for `bcaBootstrap`. */
  readonly acceleration: number;
};

/** Leaves out one case at a time (Efron and Tibshirani 1993, chapters 11 and 14). Null where a value is missing. */
export function jackknife(cases: number, statistic: Statistic): Jackknife | null {
  const all = Int32Array.from({ length: cases }, (_, i) => i);
  const whole = statistic(all);
  const without = Array.from(all, (left) => statistic(all.filter((i) => i !== left)));
  if (whole === null || without.length < 2) return null;
  let sum = 0;
  for (const value of without) {
    if (value === null) return null;
    sum += value;
  }
  const mean = sum / cases;
  let squares = 0;
  let cubes = 0;
  for (const value of without) {
    squares += (mean - value!) ** 2;
    cubes += (mean - value!) ** 3;
  }
  return {
    standardError: Math.sqrt(((cases - 1) / cases) * squares),
    bias: (cases - 1) * (mean - whole),
    acceleration: squares > 0 ? cubes / (6 * squares ** 1.5) : 0,
  };
}

/**
 * Bias-corrected and accelerated interval (Efron 1987, J. Am. Stat. Assoc. 82:171-185). Null where the statistic or one of
 * its jackknife values is missing, or all draws lie on one side of it.
 */
export function bcaBootstrap(cases: number, statistic: Statistic, options: BootstrapDraws): BootstrapInterval | null {
  const whole = statistic(Int32Array.from({ length: cases }, (_, i) => i));
  const left = jackknife(cases, statistic);
  const values = drawn(cases, statistic, options);
  if (whole === null || left === null || values.length < 2) return null;
  // Draws that equal the statistic count half: on a coarse scale there are many.
  const below = values.reduce((sum, value) => sum + (value < whole ? 1 : value === whole ? 0.5 : 0), 0);
  const bias = normalQuantile(below / values.length);
  if (!Number.isFinite(bias)) return null;
  const tail = normalQuantile((1 - (options.level ?? usualLevel)) / 2);
  const share = (z: number) => normalCdf(bias + (bias + z) / (1 - left.acceleration * (bias + z)));
  return {
    low: quantileOf(values, share(tail)),
    high: quantileOf(values, share(-tail)),
    standardError: deviation(values),
    draws: values.length,
  };
}
