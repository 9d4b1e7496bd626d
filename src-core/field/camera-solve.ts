import type { ImageSize } from "./camera.ts";
import { startingPoses } from "./camera-start.ts";
import type { PlacePrior } from "./centre-fit.ts";
import { type Homography, invertHomography, projectThroughInverse, projectToImage } from "./homography.ts";
import { type Observations, type Sighting, observe } from "./observations.ts";
import { type Pose, mapDerivatives, mapOfPose, poseSize } from "./pinhole-pose.ts";
import { type Workspace, costOf, createWorkspace, keepAll, linearise, reflectorOf } from "./refine.ts";
import { factorCholesky, invertCholesky, solveCholesky } from "./small-linear-algebra.ts";
import { denormalise } from "./solve.ts";
import type { HomographyCovariance } from "./uncertainty.ts";

/** What is known of the camera before a stake is placed. */
export type CameraPrior = {
  readonly place: PlacePrior;
  readonly roll: { readonly meanRadians: number; readonly spreadRadians: number };
};

/**
 * The camera that a remembered place, an expected roll and the stakes of a frame make likeliest: least squares over the
 * seven numbers of the pose, on the clicks' residuals over their sigmas and on the prior's over its own.
 */
export type PoseFit = {
  readonly pose: Pose;
  /** 7 × 7, row by row, of the pose's numbers in their own units; not scaled by the fit. */
  readonly covariance: Float64Array;
  /** Of clicks and prior. */
  readonly chiSquare: number;
  /** Click residuals and four of the prior (place and roll), less the seven numbers of the pose. */
  readonly dof: number;
  readonly observations: Observations;
};

/** Nine entries of H by `stride` columns to the solver's normalised coordinates, in place: T H S⁻¹. */
function normalise(o: Observations, m: Float64Array, stride: number): void {
  const { scale: s, x, y } = o.field;
  const { scale: t, x: cu, y: cv } = o.image;
  for (let k = 0; k < stride; k++) {
    const at = (row: number, column: number): number => (3 * row + column) * stride + k;
    for (let row = 0; row < 3; row++) {
      m[at(row, 2)]! += x * m[at(row, 0)]! + y * m[at(row, 1)]!;
      m[at(row, 0)]! /= s;
      m[at(row, 1)]! /= s;
    }
    for (let column = 0; column < 3; column++) {
      m[at(0, column)] = t * (m[at(0, column)]! - cu * m[at(2, column)]!);
      m[at(1, column)] = t * (m[at(1, column)]! - cv * m[at(2, column)]!);
    }
  }
}

function normalisedMap(o: Observations, pose: Pose, image: ImageSize): Float64Array {
  const h = Float64Array.from(mapOfPose(pose, image));
  normalise(o, h, 1);
  return h;
}

function normalisedDerivatives(o: Observations, pose: Pose, image: ImageSize): Float64Array {
  const derivatives = new Float64Array(9 * poseSize);
  mapDerivatives(pose, image, derivatives);
  normalise(o, derivatives, poseSize);
  return derivatives;
}

function priorCost(pose: Pose, { place, roll }: CameraPrior): number {
  let cost = ((pose[5]! - roll.meanRadians) / roll.spreadRadians) ** 2;
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      cost += (pose[i]! - place.place[i]!) * place.information[i * 3 + j]! * (pose[j]! - place.place[j]!);
    }
  }
  return cost;
}

type Problem = {
  readonly o: Observations;
  readonly image: ImageSize;
  readonly prior: CameraPrior;
  readonly leftOut: number;
  readonly work: Workspace;
};

function costAt({ o, image, prior, leftOut }: Problem, pose: Pose): number {
  if (!(pose[2]! > 0)) return Infinity;
  return costOf(o, normalisedMap(o, pose, image), leftOut) + priorCost(pose, prior);
}

/** JᵀJ and Jᵀr over the pose, by the chain rule from those over the entries of H. */
function normalEquations(
  { o, image, prior, leftOut, work }: Problem,
  pose: Pose,
  n: Float64Array,
  g: Float64Array,
): void {
  linearise(o, normalisedMap(o, pose, image), leftOut, work);
  const d = normalisedDerivatives(o, pose, image);
  const { normal9, gradient9 } = work;
  const half = new Float64Array(9 * poseSize);
  for (let i = 0; i < 9; i++) {
    for (let k = 0; k < poseSize; k++) {
      let sum = 0;
      for (let j = 0; j < 9; j++) sum += normal9[i >= j ? i * 9 + j : j * 9 + i]! * d[j * poseSize + k]!;
      half[i * poseSize + k] = sum;
    }
  }
  for (let k = 0; k < poseSize; k++) {
    let gradient = 0;
    for (let i = 0; i < 9; i++) gradient += d[i * poseSize + k]! * gradient9[i]!;
    g[k] = gradient;
    for (let l = 0; l < poseSize; l++) {
      let sum = 0;
      for (let i = 0; i < 9; i++) sum += d[i * poseSize + k]! * half[i * poseSize + l]!;
      n[k * poseSize + l] = sum;
    }
  }
  const { place, roll } = prior;
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      n[i * poseSize + j]! += place.information[i * 3 + j]!;
      g[i]! += place.information[i * 3 + j]! * (pose[j]! - place.place[j]!);
    }
  }
  const weight = 1 / roll.spreadRadians ** 2;
  n[5 * poseSize + 5]! += weight;
  g[5]! += weight * (pose[5]! - roll.meanRadians);
}

type Descent = { readonly pose: Pose; readonly cost: number; readonly covariance: Float64Array };

function descend(problem: Problem, start: Pose): Descent | null {
  let pose = Float64Array.from(start);
  let cost = costAt(problem, pose);
  if (!Number.isFinite(cost)) return null;
  const normal = new Float64Array(poseSize * poseSize);
  const gradient = new Float64Array(poseSize);
  normalEquations(problem, pose, normal, gradient);
  let lambda = 1e-3;
  for (let iteration = 0; iteration < 80; iteration++) {
    const factor = Float64Array.from(normal);
    for (let k = 0; k < poseSize; k++) factor[k * (poseSize + 1)]! *= 1 + lambda;
    if (factorCholesky(factor, poseSize) === 0) {
      lambda = Math.max(1e-4, lambda * 10);
      if (lambda > 1e12) return null;
      continue;
    }
    const step = Float64Array.from(gradient, (x) => -x);
    solveCholesky(factor, step, poseSize);
    const trial = pose.map((x, k) => x + step[k]!);
    const trialCost = costAt(problem, trial);
    const small = Math.max(...step.map(Math.abs)) < 1e-11;
    if (trialCost <= cost) {
      const settled = small || cost - trialCost <= 1e-15 * cost;
      pose = trial;
      cost = trialCost;
      lambda = lambda < 1e-7 ? 0 : lambda * 0.1;
      normalEquations(problem, pose, normal, gradient);
      if (settled) break;
    } else {
      if (small || trialCost - cost <= 1e-14 * cost) break;
      lambda = Math.max(1e-4, lambda * 10);
      if (lambda > 1e12) break;
    }
  }
  if (factorCholesky(normal, poseSize) === 0) return null;
  return { pose, cost, covariance: invertCholesky(normal, poseSize) };
}

/** Every click on the ground side of the horizon, and every landmark in front of the camera. */
function seesAll(sightings: readonly Sighting[], h: Homography): boolean {
  const inverse = invertHomography(h);
  return sightings.every((sighting) =>
    sighting.kind === "point"
      ? projectToImage(h, sighting.at) !== null
      : sighting.clicks.every((click) => projectThroughInverse(inverse, click) !== null),
  );
}

/** The best starts are refined, this many of them, since the nearest is not always in the right valley. */
const refinedStarts = 8;
/** Focal lengths, in image widths, outside which no camera on a sideline films. */
const shortestWidths = 0.3;
const longestWidths = 20;

export type PoseFailure = "behind" | "no-pose";

export function solvePose(
  sightings: readonly Sighting[],
  image: ImageSize,
  prior: CameraPrior,
): { readonly ok: true; readonly fit: PoseFit } | { readonly ok: false; readonly failure: PoseFailure } {
  const o = observe(sightings);
  const problem: Problem = { o, image, prior, leftOut: keepAll, work: createWorkspace() };
  const [x, y, height] = prior.place.place as unknown as [number, number, number];
  const filmed = (pose: Pose): boolean => {
    const widths = Math.exp(pose[6]!) / image.widthPx;
    return widths >= shortestWidths && widths <= longestWidths;
  };
  const starts = startingPoses(sightings, [x, y, height], image)
    .filter(filmed)
    .map((pose) => ({ pose, cost: costAt(problem, pose) }))
    .sort((a, b) => a.cost - b.cost);
  let best: Descent | null = null;
  let behind = false;
  for (const { pose } of starts.slice(0, refinedStarts)) {
    const found = descend(problem, pose);
    if (found === null || !filmed(found.pose) || (best !== null && found.cost >= best.cost)) continue;
    if (seesAll(sightings, mapOfPose(found.pose, image))) best = found;
    else behind = true;
  }
  if (best === null) return { ok: false, failure: behind ? "behind" : "no-pose" };
  let residuals = 0;
  for (let i = 0; i < o.stakeCount; i++) residuals += o.residualsOf[i]!;
  const { pose, cost, covariance } = best;
  return { ok: true, fit: { pose, covariance, chiSquare: cost, dof: residuals + 4 - poseSize, observations: o } };
}

/** Distance of a stake's clicks to where the pose puts it, px: root mean square over the clicks. */
export function stakeErrorPx(fit: PoseFit, pose: Pose, image: ImageSize, stake: number, sigmaPx: number): number {
  const { observations: o } = fit;
  let clicks = 0;
  for (let i = 0; i < o.count; i++) if (o.stakeOf[i] === stake) clicks++;
  return Math.sqrt(costOf(o, normalisedMap(o, pose, image), stake, true) / clicks) * sigmaPx;
}

/** Standard deviation of the zoom, as a share of it (of ln f). */
export function zoomSd(covariance: Float64Array): number {
  return Math.sqrt(covariance[poseSize * poseSize - 1]!);
}

/** The likeliest pose without one stake, started from the full answer; null when it comes to no end. */
export function poseWithout(
  fit: PoseFit,
  image: ImageSize,
  prior: CameraPrior,
  stake: number,
): { readonly pose: Pose; readonly covariance: Float64Array } | null {
  return descend({ o: fit.observations, image, prior, leftOut: stake, work: createWorkspace() }, fit.pose);
}

/** Pixels of a real sensor are square to about this, as a share: it keeps the eighth number of H from being exact. */
const aspectShare = 2e-4;

/**
 * The map and its covariance in the same chart that a free solve states its own in. A pinhole has only seven numbers;
 * the eighth direction, the pixels' aspect, gets a small error of its own so that the matrix can be inverted.
 */
export function mapOfFit(
  { pose, covariance, observations: o }: PoseFit,
  image: ImageSize,
  variance: number,
): { readonly homography: Homography; readonly covariance: HomographyCovariance } {
  const h = normalisedMap(o, pose, image);
  const derivatives = normalisedDerivatives(o, pose, image);
  // Rows u − cu of H, stretched: the derivative over the logarithm of the aspect.
  const stretched = Float64Array.from(mapOfPose(pose, image));
  for (let j = 0; j < 3; j++) {
    stretched[j] = stretched[j]! - (image.widthPx / 2) * stretched[6 + j]!;
    stretched[3 + j] = 0;
    stretched[6 + j] = 0;
  }
  normalise(o, stretched, 1);
  // `normalise` takes the image's shift off the last row, which is zero here, so a difference stays a difference.
  let square = 0;
  for (let i = 0; i < 9; i++) square += h[i]! ** 2;
  const length = Math.sqrt(square);
  for (let i = 0; i < 9; i++) h[i]! /= length;
  const reflector = new Float64Array(9);
  reflectorOf(h, reflector);
  /** A change of H, as its eight numbers across the unit vector h. */
  const across = (change: (i: number) => number): Float64Array => {
    let along = 0;
    for (let i = 0; i < 9; i++) along += reflector[i]! * change(i);
    return Float64Array.from({ length: 8 }, (_, k) => (change(k) - along * reflector[k]!) / length);
  };
  const columns = Array.from({ length: poseSize }, (_, k) => across((i) => derivatives[i * poseSize + k]!));
  const aspect = across((i) => stretched[i]!);
  const matrix: number[] = [];
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      let sum = aspect[a]! * aspect[b]! * aspectShare ** 2;
      for (let k = 0; k < poseSize; k++) {
        for (let l = 0; l < poseSize; l++) {
          sum += columns[k]![a]! * covariance[k * poseSize + l]! * columns[l]![b]! * variance;
        }
      }
      matrix.push(sum);
    }
  }
  const scale = h[8]! > 1e-3 ? 1 / h[8]! : 1;
  const basis: number[] = Array.from({ length: 72 }, () => 0);
  const direction = new Float64Array(9);
  for (let k = 0; k < 8; k++) {
    for (let i = 0; i < 9; i++) direction[i] = (i === k ? 1 : 0) - reflector[i]! * reflector[k]!;
    const column = denormalise(o, direction, scale);
    for (let i = 0; i < 9; i++) basis[i * 8 + k] = column[i]!;
  }
  return { homography: denormalise(o, h, scale), covariance: { basis, matrix } };
}
