import { fQuantile, fUpperTail } from "./distributions.ts";
import { type Interval, usualLevel } from "./intervals.ts";

/** Mean squares of a complete table of targets by judges. */
export type MeanSquares = {
  readonly targets: number;
  readonly judges: number;
  readonly between: number;
  readonly within: number;
  readonly ofJudges: number;
  readonly error: number;
};

export type IntraclassForm = "ICC(1,1)" | "ICC(2,1)" | "ICC(3,1)" | "ICC(1,k)" | "ICC(2,k)" | "ICC(3,k)";

export type IntraclassCorrelation = {
  readonly form: IntraclassForm;
  readonly icc: number;
  /** Null where no error is left, so that F has no value. */
  readonly interval: Interval | null;
  /** Against no difference between targets; null as above. */
  readonly test: { readonly f: number; readonly above: number; readonly below: number; readonly p: number } | null;
};

/** Rows are targets, columns judges. Null with fewer than two of either, or rows of different length. */
export function meanSquares(table: readonly (readonly number[])[]): MeanSquares | null {
  const targets = table.length;
  const judges = table[0]?.length ?? 0;
  if (targets < 2 || judges < 2 || table.some((row) => row.length !== judges)) return null;
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const ofTarget = table.map((row) => mean(row));
  const ofJudge = table[0]!.map((_, judge) => mean(table.map((row) => row[judge]!)));
  const all = mean(ofTarget);
  const squares = (values: readonly number[]) => values.reduce((sum, value) => sum + (value - all) ** 2, 0);
  let within = 0;
  let error = 0;
  for (const [i, row] of table.entries())
    for (const [j, value] of row.entries()) {
      within += (value - ofTarget[i]!) ** 2;
      error += (value - ofTarget[i]! - ofJudge[j]! + all) ** 2;
    }
  return {
    targets,
    judges,
    between: (judges * squares(ofTarget)) / (targets - 1),
    within: within / (targets * (judges - 1)),
    ofJudges: (targets * squares(ofJudge)) / (judges - 1),
    error: error / ((targets - 1) * (judges - 1)),
  };
}

/** Variances of the two-way random model by the balanced analysis of variance; a negative one is not cut off. */
export function varianceComponents({ targets, judges, between, ofJudges, error }: MeanSquares): {
  readonly target: number;
  readonly judge: number;
  readonly residual: number;
} {
  return { target: (between - error) / judges, judge: (ofJudges - error) / targets, residual: error };
}

/**
 * The six intraclass correlations of Shrout and Fleiss (1979, Psychol. Bull. 86:420-428), with their intervals and F
 * tests. 1: each target has judges of its own; 2: the same judges for all, a sample of judges; 3: these judges and no
 * others. `k`: of the mean of all judges. Null when nothing varies.
 */
export function intraclassCorrelation(
  squares: MeanSquares,
  form: IntraclassForm,
  level: number = usualLevel,
): IntraclassCorrelation | null {
  const { targets: n, judges: k, between, within, ofJudges, error } = squares;
  const isMean = form.endsWith("k)");
  const isOneWay = form.startsWith("ICC(1");
  const isRandom = form.startsWith("ICC(2");
  const noise = isOneWay ? within : error;
  const spreadOfJudges = isRandom ? (k * (ofJudges - error)) / n : 0;
  const single = between + (k - 1) * noise + spreadOfJudges;
  if (!(between + noise + ofJudges > 0) || !(single > 0)) return null;
  const one = (between - noise) / single;
  const overMean = isRandom ? between + (ofJudges - error) / n : between;
  const icc = isMean ? (between - noise) / overMean : one;
  const above = n - 1;
  const below = isOneWay ? n * (k - 1) : (n - 1) * (k - 1);
  const f = between / noise;
  if (!Number.isFinite(f) || !Number.isFinite(icc))
    return Number.isFinite(icc) ? { form, icc, interval: null, test: null } : null;
  const share = 0.5 + level / 2;
  const ofMean = (value: number) => (k * value) / (1 + (k - 1) * value);
  let interval: Interval;
  if (isRandom) {
    const perJudge = ofJudges / error;
    const rest = n * (1 + (k - 1) * one) - k * one;
    const degrees =
      (below * (k * one * perJudge + rest) ** 2) / ((n - 1) * k ** 2 * one ** 2 * perJudge ** 2 + rest ** 2);
    const high = fQuantile(share, n - 1, degrees);
    const low = fQuantile(share, degrees, n - 1);
    const noises = k * ofJudges + (k * n - k - n) * error;
    const ends = {
      low: (n * (between - high * error)) / (high * noises + n * between),
      high: (n * (low * between - error)) / (noises + n * low * between),
    };
    interval = isMean ? { low: ofMean(ends.low), high: ofMean(ends.high) } : ends;
  } else {
    const low = f / fQuantile(share, above, below);
    const high = f * fQuantile(share, below, above);
    const end = (ratio: number) => (isMean ? 1 - 1 / ratio : (ratio - 1) / (ratio + k - 1));
    interval = { low: end(low), high: end(high) };
  }
  return { form, icc, interval, test: { f, above, below, p: fUpperTail(f, above, below) } };
}
