import { betaQuantile, normalQuantile, studentQuantile } from "./distributions.ts";

export type Interval = { readonly low: number; readonly high: number };

/** The level of every interval that is not told another. */
export const usualLevel = 0.95;

/** How many standard errors a two-sided normal interval reaches. */
export function normalReach(level: number = usualLevel): number {
  return normalQuantile(0.5 + level / 2);
}

/** An estimate give or take its standard error, by the normal distribution. */
export function normalInterval(estimate: number, standardError: number, level: number = usualLevel): Interval {
  const reach = normalReach(level) * standardError;
  return { low: estimate - reach, high: estimate + reach };
}

/** The same by Student's t, where the standard error itself is an estimate. */
export function studentInterval(
  estimate: number,
  standardError: number,
  degrees: number,
  level: number = usualLevel,
): Interval {
  const reach = studentQuantile(0.5 + level / 2, degrees) * standardError;
  return { low: estimate - reach, high: estimate + reach };
}

/**
 * Wilson's score interval of a share of `of`, 0 to 1 (Wilson 1927, J. Am. Stat. Assoc. 22:209-212; Newcombe 1998,
 * Statistics in Medicine 17:857-872, method 3). Null when there were none.
 */
export function wilsonInterval(count: number, of: number, level: number = usualLevel): Interval | null {
  if (of === 0) return null;
  const z = normalReach(level);
  const middle = 2 * count + z * z;
  const reach = z * Math.sqrt(z * z + (4 * count * (of - count)) / of);
  const over = 2 * (of + z * z);
  return { low: count === 0 ? 0 : (middle - reach) / over, high: count === of ? 1 : (middle + reach) / over };
}

/** The same with continuity correction (Newcombe 1998, method 4): never narrower. */
export function wilsonIntervalCorrected(count: number, of: number, level: number = usualLevel): Interval | null {
  if (of === 0) return null;
  const z = normalReach(level);
  const share = count / of;
  const middle = 2 * count + z * z;
  const reach = (sign: -1 | 1) => z * Math.sqrt(z * z + sign * 2 - 1 / of + 4 * share * (of - count - sign));
  const over = 2 * (of + z * z);
  return {
    low: count === 0 ? 0 : Math.max(0, (middle - 1 - reach(-1)) / over),
    high: count === of ? 1 : Math.min(1, (middle + 1 + reach(1)) / over),
  };
}

/** The interval of Clopper and Pearson (1934, Biometrika 26:404-413): covers at least `level` whatever the true share. */
export function clopperPearsonInterval(count: number, of: number, level: number = usualLevel): Interval | null {
  if (of === 0) return null;
  const tail = (1 - level) / 2;
  return {
    low: count === 0 ? 0 : betaQuantile(tail, count, of - count + 1),
    high: count === of ? 1 : betaQuantile(1 - tail, count + 1, of - count),
  };
}
