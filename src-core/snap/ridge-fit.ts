/** A straight line through ridge points, across = offset + slope · along, and which points are on it. */
export type Ridge = {
  readonly offset: number;
  readonly slope: number;
  readonly kept: readonly boolean[];
  /** How many are kept. */
  readonly points: number;
  /** Standard deviation of the kept points about the line. */
  readonly scatter: number;
  /** One standard deviation of the line at along = 0. */
  readonly offsetSigma: number;
  readonly slopeSigma: number;
};

const leastPoints = 8;
/** Paint's own ridge points lie well within this of their line; a leg or a digit beside it does not. */
const pairTolerance = 0.7;
const pairPoints = 14;
/** Tukey's biweight, in standard deviations: 95 % efficiency for normal errors (Huber, Robust Statistics, table). */
const tukey = 4.685;
const leastScale = 0.06;
const fitRounds = 5;
/** Afterwards the scale is held, and the weights settle. */
const scaleRounds = 2;
/** Median absolute deviation to standard deviation, for normal errors. */
const madToSigma = 1.4826;
/**
 * Neighbouring ridge points share pixels, grain of the grass and blocks of the codec, so that so many of them say as
 * much as one that stands alone.
 */
const pointsAsOne = 4;
/** What no averaging takes away: blocks of the codec along the whole line. */
const floorPx = 0.035;

/**
 * Robust straight line: the pair of points that most others agree with, then iteratively reweighted least squares. The
 * points lie in a frame that has been turned to the line, where least squares across it is total least squares.
 */
export function fitRidge(along: readonly number[], across: readonly number[]): Ridge | null {
  const count = along.length;
  if (count < leastPoints) return null;
  let { offset, slope } = bestPair(along, across);
  const residual = (i: number): number => across[i]! - offset - slope * along[i]!;
  let scale = pairTolerance;
  let sums = weighted(along, across, () => 1);
  const sizes = new Float64Array(count);
  for (let round = 0; round < fitRounds; round++) {
    if (round < scaleRounds) {
      let near = 0;
      for (let i = 0; i < count; i++) {
        const size = Math.abs(residual(i));
        if (size < 3 * pairTolerance) sizes[near++] = size;
      }
      if (near < leastPoints) return null;
      scale = Math.max(leastScale, madToSigma * sizes.subarray(0, near).sort()[near >> 1]!);
    }
    const cut = tukey * scale;
    sums = weighted(along, across, (i) => {
      const share = residual(i) / cut;
      return Math.abs(share) < 1 ? (1 - share * share) ** 2 : 0;
    });
    const determinant = sums.w * sums.tt - sums.t * sums.t;
    if (!(determinant > 1e-9)) return null;
    offset = (sums.tt * sums.o - sums.t * sums.to) / determinant;
    slope = (sums.w * sums.to - sums.t * sums.o) / determinant;
  }
  const kept = along.map((_, i) => Math.abs(residual(i)) < tukey * scale);
  const points = kept.filter(Boolean).length;
  if (points < leastPoints) return null;
  let squares = 0;
  kept.forEach((is, i) => {
    if (is) squares += residual(i) ** 2;
  });
  const scatter = Math.sqrt(squares / (points - 2));
  const determinant = sums.w * sums.tt - sums.t * sums.t;
  const variance = pointsAsOne * scatter * scatter;
  return {
    offset,
    slope,
    kept,
    points,
    scatter,
    offsetSigma: Math.sqrt((variance * sums.tt) / determinant + floorPx * floorPx),
    slopeSigma: Math.sqrt((variance * sums.w) / determinant),
  };
}

function weighted(along: readonly number[], across: readonly number[], weight: (i: number) => number) {
  const sums = { w: 0, t: 0, tt: 0, o: 0, to: 0 };
  for (let i = 0; i < along.length; i++) {
    const w = weight(i);
    sums.w += w;
    sums.t += w * along[i]!;
    sums.tt += w * along[i]! * along[i]!;
    sums.o += w * across[i]!;
    sums.to += w * along[i]! * across[i]!;
  }
  return sums;
}

function bestPair(along: readonly number[], across: readonly number[]): { offset: number; slope: number } {
  const count = along.length;
  const step = Math.max(1, count / pairPoints);
  let best = { offset: 0, slope: 0 };
  let most = -1;
  for (let a = 0; a < count; a += step) {
    for (let b = a + step; b < count; b += step) {
      const [i, j] = [Math.floor(a), Math.floor(b)];
      const run = along[j]! - along[i]!;
      if (run < 6) continue;
      const slope = (across[j]! - across[i]!) / run;
      const offset = across[i]! - slope * along[i]!;
      let agree = 0;
      for (let k = 0; k < count; k++) {
        if (Math.abs(across[k]! - offset - slope * along[k]!) < pairTolerance) agree++;
      }
      if (agree > most) {
        most = agree;
        best = { offset, slope };
      }
    }
  }
  return best;
}
