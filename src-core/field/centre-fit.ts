import { type ImageSize, estimateCamera } from "./camera.ts";
import { type Pose, mapDerivatives, mapOfPose, poseFromPlace, poseSize } from "./pinhole-pose.ts";
import { factorCholesky, invertCholesky, solveCholesky } from "./small-linear-algebra.ts";
import type { Survey } from "./survey.ts";

/**
 * One camera place for several surveys, by least squares over {place; pan, tilt, roll, focal length of each survey}.
 *
 * Each survey's map is taken as a measurement of eight numbers δ (the chart of its covariance) with that covariance. A
 * camera's map is carried into the same chart, so the residual is in standard deviations of the survey and no survey's
 * own camera estimate, which a narrow view makes long and lopsided along the line of sight, is ever averaged.
 */
export type MeasuredMap = {
  readonly survey: Survey;
  readonly image: ImageSize;
  /** 8 × 9, row by row: whitening times the chart's inverse; a map h is at (matrix · h) / (along · h). */
  readonly matrix: Float64Array;
  readonly along: Float64Array;
};

/**
 * `variance` is by how much the survey's covariance is taken larger than stated. Null when that covariance is not one of
 * eight independent numbers, so that the survey measures nothing.
 */
export function measuredMap(survey: Survey, variance = 1): MeasuredMap | null {
  const { basis, matrix } = survey.covariance;
  const chart = new Float64Array(81);
  for (let i = 0; i < 9; i++) {
    for (let k = 0; k < 8; k++) chart[i * 9 + k] = basis[i * 8 + k]!;
    chart[i * 9 + 8] = survey.homography[i]!;
  }
  const inverse = invertMatrix(chart, 9);
  const factor = Float64Array.from(matrix, (entry) => entry * variance);
  if (inverse === null || factorCholesky(factor, 8) <= 1e-14) return null;
  const white = new Float64Array(72);
  for (let j = 0; j < 9; j++) {
    for (let i = 0; i < 8; i++) {
      let sum = inverse[i * 9 + j]!;
      for (let k = 0; k < i; k++) sum -= factor[i * 8 + k]! * white[k * 9 + j]!;
      white[i * 9 + j] = sum / factor[i * 8 + i]!;
    }
  }
  return { survey, image: survey.image, matrix: white, along: inverse.slice(72) };
}

/** Gauss and Jordan with rows and columns brought to like size first; null when the matrix is singular. */
function invertMatrix(matrix: Float64Array, size: number): Float64Array | null {
  const a = Float64Array.from(matrix);
  const rowScale = new Float64Array(size);
  const columnScale = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) rowScale[i] = Math.max(rowScale[i]!, Math.abs(a[i * size + j]!));
    for (let j = 0; j < size; j++) a[i * size + j]! /= rowScale[i]!;
  }
  for (let j = 0; j < size; j++) {
    for (let i = 0; i < size; i++) columnScale[j] = Math.max(columnScale[j]!, Math.abs(a[i * size + j]!));
    for (let i = 0; i < size; i++) a[i * size + j]! /= columnScale[j]!;
  }
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++) out[i * size + i] = 1;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let i = column + 1; i < size; i++) {
      if (Math.abs(a[i * size + column]!) > Math.abs(a[pivot * size + column]!)) pivot = i;
    }
    const head = a[pivot * size + column]!;
    if (!(Math.abs(head) > 1e-14)) return null;
    for (let j = 0; j < size; j++) {
      for (const m of [a, out]) {
        const kept = m[column * size + j]!;
        m[column * size + j] = m[pivot * size + j]! / head;
        if (pivot !== column) m[pivot * size + j] = kept;
      }
    }
    for (let i = 0; i < size; i++) {
      const share = a[i * size + column]!;
      if (i === column || share === 0) continue;
      for (let j = 0; j < size; j++) {
        a[i * size + j]! -= share * a[column * size + j]!;
        out[i * size + j]! -= share * out[column * size + j]!;
      }
    }
  }
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) out[i * size + j]! /= columnScale[i]! * rowScale[j]!;
  }
  return out;
}

/** Knowledge of the place from elsewhere: mean and inverse covariance (3 × 3, row by row, per square yard). */
export type PlacePrior = { readonly place: Float64Array; readonly information: Float64Array };

export type CentreFit = {
  readonly place: Float64Array;
  /** 3 × 3, square yards, row by row. */
  readonly covariance: Float64Array;
  readonly poses: readonly Pose[];
  /** Standard deviation of each survey's roll, radians. */
  readonly rollSds: readonly number[];
  readonly chiSquare: number;
  /** Eight numbers a survey, less four a survey and three for the place (which a prior gives back). */
  readonly dof: number;
};

function residualOf(map: MeasuredMap, pose: Pose, out: Float64Array): number {
  const h = mapOfPose(pose, map.image);
  let scale = 0;
  for (let j = 0; j < 9; j++) scale += map.along[j]! * h[j]!;
  // A map turned away from the survey's own has its chart coordinate at or past infinity.
  if (!(scale > 0)) return Infinity;
  let cost = 0;
  for (let i = 0; i < 8; i++) {
    let sum = 0;
    for (let j = 0; j < 9; j++) sum += map.matrix[i * 9 + j]! * h[j]!;
    out[i] = sum / scale;
    cost += out[i]! ** 2;
  }
  return cost;
}

/** Jacobian of `residualOf` over the pose, 8 × 7 row by row. */
function jacobianOf(map: MeasuredMap, pose: Pose, residual: Float64Array, out: Float64Array): void {
  const h = mapOfPose(pose, map.image);
  const derivatives = new Float64Array(9 * poseSize);
  mapDerivatives(pose, map.image, derivatives);
  let scale = 0;
  for (let j = 0; j < 9; j++) scale += map.along[j]! * h[j]!;
  for (let k = 0; k < poseSize; k++) {
    let along = 0;
    for (let j = 0; j < 9; j++) along += map.along[j]! * derivatives[j * poseSize + k]!;
    for (let i = 0; i < 8; i++) {
      let sum = 0;
      for (let j = 0; j < 9; j++) sum += map.matrix[i * 9 + j]! * derivatives[j * poseSize + k]!;
      out[i * poseSize + k] = (sum - residual[i]! * along) / scale;
    }
  }
}

type Blocks = {
  /** Over the place: information and gradient, prior and surveys together, the poses not yet eliminated. */
  readonly information: Float64Array;
  readonly gradient: Float64Array;
  /** For each survey: the 4 × 4 normal matrix of its turn and zoom, its gradient, and the 3 × 4 coupling. */
  readonly own: { readonly normal: Float64Array; readonly gradient: Float64Array; readonly coupling: Float64Array }[];
};

function linearise(
  maps: readonly MeasuredMap[],
  place: Float64Array,
  poses: readonly Pose[],
  prior: PlacePrior | null,
) {
  const information = new Float64Array(9);
  const gradient = new Float64Array(3);
  if (prior !== null) {
    information.set(prior.information);
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) gradient[i]! += information[i * 3 + j]! * (place[j]! - prior.place[j]!);
    }
  }
  const residual = new Float64Array(8);
  const jacobian = new Float64Array(8 * poseSize);
  const own = maps.map((map, s) => {
    residualOf(map, poses[s]!, residual);
    jacobianOf(map, poses[s]!, residual, jacobian);
    const normal = new Float64Array(16);
    const turned = new Float64Array(4);
    const coupling = new Float64Array(12);
    for (let i = 0; i < 8; i++) {
      const row = jacobian.subarray(i * poseSize, (i + 1) * poseSize);
      const r = residual[i]!;
      for (let a = 0; a < 3; a++) {
        gradient[a]! += row[a]! * r;
        for (let b = 0; b < 3; b++) information[a * 3 + b]! += row[a]! * row[b]!;
        for (let b = 0; b < 4; b++) coupling[a * 4 + b]! += row[a]! * row[3 + b]!;
      }
      for (let a = 0; a < 4; a++) {
        turned[a]! += row[3 + a]! * r;
        for (let b = 0; b < 4; b++) normal[a * 4 + b]! += row[3 + a]! * row[3 + b]!;
      }
    }
    return { normal, gradient: turned, coupling };
  });
  return { information, gradient, own } satisfies Blocks;
}

type Eliminated = {
  readonly factor: Float64Array;
  readonly right: Float64Array;
  readonly own: readonly { readonly factor: Float64Array; readonly carried: Float64Array }[];
};

/** Each survey's turn and zoom eliminated from the normal equations; null when they are not positive definite. */
function eliminate(blocks: Blocks, lambda: number): Eliminated | null {
  const factor = Float64Array.from(blocks.information);
  const right = Float64Array.from(blocks.gradient);
  for (let a = 0; a < 3; a++) factor[a * 4]! *= 1 + lambda;
  const own: { factor: Float64Array; carried: Float64Array }[] = [];
  for (const block of blocks.own) {
    const inner = Float64Array.from(block.normal);
    for (let a = 0; a < 4; a++) inner[a * 5]! *= 1 + lambda;
    if (factorCholesky(inner, 4) === 0) return null;
    const carried = new Float64Array(12);
    for (let a = 0; a < 3; a++) {
      const row = block.coupling.slice(a * 4, a * 4 + 4);
      solveCholesky(inner, row, 4);
      carried.set(row, a * 4);
      for (let b = 0; b < 4; b++) right[a]! -= row[b]! * block.gradient[b]!;
      for (let c = 0; c < 3; c++) {
        for (let b = 0; b < 4; b++) factor[a * 3 + c]! -= row[b]! * block.coupling[c * 4 + b]!;
      }
    }
    own.push({ factor: inner, carried });
  }
  return factorCholesky(factor, 3) === 0 ? null : { factor, right, own };
}

function priorCost(place: Float64Array, prior: PlacePrior | null): number {
  if (prior === null) return 0;
  let cost = 0;
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      cost += (place[i]! - prior.place[i]!) * prior.information[i * 3 + j]! * (place[j]! - prior.place[j]!);
    }
  }
  return cost;
}

/** Levenberg and Marquardt from a place; each survey's turn and zoom start in closed form from there. */
function fitFrom(maps: readonly MeasuredMap[], start: ArrayLike<number>, prior: PlacePrior | null): CentreFit | null {
  let place = Float64Array.from({ length: 3 }, (_, i) => start[i]!);
  let poses: Pose[] = [];
  for (const map of maps) {
    const pose = poseFromPlace(map.survey.homography, map.image, [place[0]!, place[1]!, place[2]!]);
    if (pose === null) return null;
    poses.push(pose);
  }
  const scratch = new Float64Array(8);
  const costAt = (at: Float64Array, turned: readonly Pose[]): number =>
    at[2]! > 0
      ? maps.reduce((sum, map, s) => sum + residualOf(map, turned[s]!, scratch), priorCost(at, prior))
      : Infinity;
  let cost = costAt(place, poses);
  if (!Number.isFinite(cost)) return null;
  let lambda = 1e-3;
  let blocks = linearise(maps, place, poses, prior);
  for (let iteration = 0; iteration < 100; iteration++) {
    const solved = eliminate(blocks, lambda);
    if (solved === null) {
      lambda = Math.max(1e-4, lambda * 10);
      if (lambda > 1e12) return null;
      continue;
    }
    const step = Float64Array.from(solved.right, (x) => -x);
    solveCholesky(solved.factor, step, 3);
    const moved = place.map((x, i) => x + step[i]!);
    let turnedBy = 0;
    const turned = poses.map((pose, s) => {
      const { factor, carried } = solved.own[s]!;
      const own = Float64Array.from(blocks.own[s]!.gradient, (x) => -x);
      solveCholesky(factor, own, 4);
      const next = Float64Array.from(pose);
      next.set(moved);
      for (let b = 0; b < 4; b++) {
        let change = own[b]!;
        for (let a = 0; a < 3; a++) change -= carried[a * 4 + b]! * step[a]!;
        next[3 + b]! += change;
        turnedBy = Math.max(turnedBy, Math.abs(change));
      }
      return next;
    });
    const trial = costAt(moved, turned);
    const small = Math.hypot(step[0]!, step[1]!, step[2]!) < 1e-9 && turnedBy < 1e-11;
    if (trial <= cost) {
      place = moved;
      poses = turned;
      const settled = small || cost - trial <= 1e-13 * cost;
      cost = trial;
      lambda = lambda < 1e-7 ? 0 : lambda * 0.1;
      blocks = linearise(maps, place, poses, prior);
      if (settled) break;
    } else {
      if (small || trial - cost <= 1e-12 * cost) break;
      lambda = Math.max(1e-4, lambda * 10);
      if (lambda > 1e12) break;
    }
  }
  const final = eliminate(blocks, 0);
  if (final === null) return null;
  const covariance = invertCholesky(final.factor, 3);
  const rollSds = final.own.map(({ factor, carried }) => {
    let variance = invertCholesky(factor, 4)[2 * 4 + 2]!;
    for (let a = 0; a < 3; a++) {
      for (let c = 0; c < 3; c++) variance += carried[a * 4 + 2]! * covariance[a * 3 + c]! * carried[c * 4 + 2]!;
    }
    return Math.sqrt(variance);
  });
  const dof = 4 * maps.length - (prior === null ? 3 : 0);
  return { place, covariance, poses, rollSds, chiSquare: cost, dof };
}

/**
 * The place that fits the surveys best, with its covariance (first order at the minimum). Started from the mean of the
 * surveys' own places, weighted by their information, and from the best known of them; the better answer is kept.
 *
 * Null when no survey tells a camera above the ground.
 */
export function fitCentre(maps: readonly MeasuredMap[], prior: PlacePrior | null): CentreFit | null {
  const starts: Float64Array[] = prior === null ? [] : [prior.place];
  const singles: CentreFit[] = [];
  for (const map of maps) {
    const camera = estimateCamera(map.survey.homography, map.image, map.survey.covariance);
    if (camera === null) continue;
    const own = Float64Array.of(camera.xYards, camera.yYards, camera.heightYards);
    if (maps.length === 1) starts.push(own);
    else {
      const single = fitFrom([map], own, null);
      if (single !== null) singles.push(single);
    }
  }
  const known = singles.map(({ covariance }) => covariance[0]! + covariance[4]! + covariance[8]!);
  const best = known.indexOf(Math.min(...known));
  if (best >= 0) starts.push(singles[best]!.place);
  const mean = weightedMean(singles);
  if (mean !== null) starts.push(mean);
  let found: CentreFit | null = null;
  for (const start of starts) {
    const fit = fitFrom(maps, start, prior);
    if (fit !== null && (found === null || fit.chiSquare < found.chiSquare)) found = fit;
  }
  return found;
}

/** Inverse of a 3 × 3 covariance; null when it is not one. */
export function informationOf(covariance: ArrayLike<number>): Float64Array | null {
  const factor = Float64Array.from(covariance);
  return factorCholesky(factor, 3) === 0 ? null : invertCholesky(factor, 3);
}

function weightedMean(fits: readonly CentreFit[]): Float64Array | null {
  const total = new Float64Array(9);
  const mean = new Float64Array(3);
  for (const { place, covariance } of fits) {
    const information = informationOf(covariance);
    if (information === null) continue;
    for (let i = 0; i < 9; i++) total[i]! += information[i]!;
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) mean[i]! += information[i * 3 + j]! * place[j]!;
  }
  if (factorCholesky(total, 3) === 0) return null;
  solveCholesky(total, mean, 3);
  return mean[2]! > 0 ? mean : null;
}
