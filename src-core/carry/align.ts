import { type Homography, invertHomography, multiplyHomographies } from "../field/homography.ts";
import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import { jackknife, leastPivot, steepnessShare } from "./align-error.ts";
import {
  type AlignState,
  type AlignWorkspace,
  accumulate,
  leastSigmaGrey,
  readResiduals,
  robustSigma,
  shiftSigma,
  tukey,
  unknowns,
} from "./align-sums.ts";
import type { AnchorPicture } from "./anchor-picture.ts";
import type { GreyImage } from "./grey-image.ts";

/**
 * Where a frame lies against an anchor picture.
 *
 * Method: inverse-compositional alignment (Baker and Matthews, "Lucas-Kanade 20 years on", 2004) of a plane map over
 * an image pyramid, with a gain and a bias of brightness solved along, and Tukey's weights on the median absolute
 * deviation, so that people who move and the grass they bare drop out.
 */
export type Alignment = {
  /** Anchor to frame, in align coordinates. */
  readonly map: Homography;
  /**
   * Covariance of the map, 8 × 8 row by row, over the numbers p of a small map applied before it (the chart of
   * `AnchorLevel.slopes`).
   */
  readonly covariance: Float64Array;
  /** 1.4826 times the median absolute difference of grey after alignment. */
  readonly residualGrey: number;
  /** Share of the chosen pixels that fell inside the frame, and of those the share that fitted. */
  readonly seenShare: number;
  readonly fittingShare: number;
  /** Brightness of the frame over the anchor's. */
  readonly gain: number;
};

/** Most frames settle in four; a hand-held one that must find the shift behind it takes more. */
const finestRounds = 30;
const coarserRounds = 8;
/** Rounds end when no pixel of the anchor's border moves by more than this share of a level's pixel. */
const settledPx = 0.01;
/** A solve on fewer pixels than this says nothing. */
const leastPixels = 60;

/** The map of `AnchorLevel.slopes` for p. */
export function smallMap(p: ArrayLike<number>): Homography {
  return [1 + p[0]!, p[1]!, p[2]!, p[3]!, 1 + p[4]!, p[5]!, p[6]!, p[7]!, 1];
}

/** How badly the coarsest level fits at a map, greys; Infinity when too little of it is in the picture. */
export function coarseMisfit(
  anchor: AnchorPicture,
  pyramid: readonly GreyImage[],
  map: Homography,
  work: AlignWorkspace,
): number {
  const depth = anchor.levels.length - 1;
  const level = anchor.levels[depth]!;
  const state: AlignState = { map, shift: [0, 0, 0], gain: 1, bias: 0 };
  const seen = readResiduals(anchor, depth, pyramid[depth]!, state, work.residual);
  return seen < leastPixels ? Infinity : robustSigma(work.residual, level.count, seen, work.histogram);
}

/** Rough bound on how far, in align units, a small map moves the anchor's border. */
function reach(p: Float64Array): number {
  const across = Math.abs(p[0]!) + Math.abs(p[1]!) + Math.abs(p[2]!);
  const down = Math.abs(p[3]!) + Math.abs(p[4]!) + Math.abs(p[5]!);
  return Math.max(across, down) + Math.abs(p[6]!) + Math.abs(p[7]!);
}

/** Aligns a frame, given as its pyramid, starting from a map; null when too little of the anchor is left to solve. */
export function align(
  anchor: AnchorPicture,
  pyramid: readonly GreyImage[],
  start: Homography,
  work: AlignWorkspace,
): Alignment | null {
  const state: AlignState = { map: start, shift: [0, 0, 0], gain: 1, bias: 0 };
  for (let depth = anchor.levels.length - 1; depth >= 0; depth--) {
    const level = anchor.levels[depth]!;
    const image = pyramid[depth]!;
    const rounds = depth === 0 ? finestRounds : coarserRounds;
    const settled = (settledPx * 2 ** depth) / anchor.frame.unitPx;
    for (let round = 0; round < rounds; round++) {
      const seen = readResiduals(anchor, depth, image, state, work.residual);
      if (seen < leastPixels) return null;
      const sigma = Math.max(leastSigmaGrey, robustSigma(work.residual, level.count, seen, work.histogram));
      if (accumulate(level, tukey * sigma, work) < leastPixels) return null;
      addPrior(work, state, sigma, depth);
      if (factorCholesky(work.normal, unknowns) < leastPivot) return null;
      solveCholesky(work.normal, work.right, unknowns);
      apply(state, work.right);
      if (!state.map.every(Number.isFinite)) return null;
      if (reach(work.right) < settled) break;
    }
  }
  return measured(anchor, pyramid, state, work);
}

/** The shift is small until the picture says otherwise; coarse levels cannot tell and keep to what they have. */
function addPrior(work: AlignWorkspace, { shift }: AlignState, sigmaGrey: number, depth: number): void {
  const weight = (sigmaGrey / (depth < 2 ? shiftSigma : shiftSigma / 100)) ** 2;
  for (let i = 0; i < 3; i++) {
    work.normal[(10 + i) * (unknowns + 1)]! += weight;
    work.right[10 + i]! += weight * shift[i as 0];
  }
}

/** A solved step, which is of the anchor's side and therefore undone on it. */
function apply(state: AlignState, step: Float64Array): void {
  state.gain += step[8]! / 64;
  state.bias += step[9]! - (128 * step[8]!) / 64;
  for (let i = 0; i < 13; i++) if (i < 8 || i > 9) step[i]! /= state.gain;
  const moved = multiplyHomographies(state.map, invertHomography(smallMap(step)));
  state.map = moved.map((entry) => entry / moved[8]) as unknown as Homography;
  const [e0, e1, e2] = state.shift;
  state.shift = [e0 - step[10]!, e1 - step[11]!, e2 - step[12]!];
}

function measured(
  anchor: AnchorPicture,
  pyramid: readonly GreyImage[],
  state: AlignState,
  work: AlignWorkspace,
): Alignment | null {
  const level = anchor.levels[0]!;
  const seen = readResiduals(anchor, 0, pyramid[0]!, state, work.residual);
  if (seen < leastPixels) return null;
  const residualGrey = robustSigma(work.residual, level.count, seen, work.histogram);
  const sigma = Math.max(leastSigmaGrey, residualGrey);
  const error = jackknife(level, tukey * sigma, sigma, state.gain, work);
  if (error === null) return null;
  const { covariance, fitting } = error;
  const grow = 1 / steepnessShare(anchor, pyramid[0]!, state, tukey * sigma, work) ** 2;
  for (let i = 0; i < 64; i++) covariance[i]! *= grow;
  return {
    map: state.map,
    covariance,
    residualGrey,
    seenShare: seen / level.count,
    fittingShare: fitting / seen,
    gain: state.gain,
  };
}
