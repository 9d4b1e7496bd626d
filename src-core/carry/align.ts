import { type Homography, invertHomography, multiplyHomographies } from "../field/homography.ts";
import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import { type AnchorLevel, type AnchorPicture, tileColumns, tileRows } from "./anchor-picture.ts";
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

/**
 * Numbers solved for: eight of the map, a gain and a bias, and three of the shift of what stands behind the ground: such
 * a pixel, m above the ground's edge, is seen at x + m (e0, e1, e2) in homogeneous align coordinates.
 */
const unknowns = 13;
const square = unknowns * unknowns;
const tileCount = tileColumns * tileRows;
/** A smaller pivot, as a share of its diagonal, means that the picture leaves the map open. */
const leastPivot = 1e-13;
/** A hand's sway of two inches before a background some 60 yd off, in align units a unit above the edge. */
const shiftSigma = 0.003;
/** Tukey's constant for 95 % efficiency on normal errors. */
const tukey = 4.685;
/** Residuals are never thought smaller than this: a grey is a whole number. */
const leastSigmaGrey = 0.7;
/** Most frames settle in four; a hand-held one that must find the shift behind it takes more. */
const finestRounds = 30;
const coarserRounds = 8;
/** Rounds end when no pixel of the anchor's border moves by more than this share of a level's pixel. */
const settledPx = 0.01;
/** A solve on fewer pixels than this says nothing. */
const leastPixels = 60;

export type AlignWorkspace = {
  readonly normal: Float64Array;
  readonly right: Float64Array;
  readonly residual: Float64Array;
  readonly histogram: Uint32Array;
  readonly tileNormals: Float64Array;
  readonly tileScores: Float64Array;
};

export function createAlignWorkspace(anchor: AnchorPicture): AlignWorkspace {
  const most = Math.max(...anchor.levels.map((level) => level.count));
  return {
    normal: new Float64Array(unknowns * unknowns),
    right: new Float64Array(unknowns),
    residual: new Float64Array(most),
    histogram: new Uint32Array(1024),
    tileNormals: new Float64Array(tileCount * square),
    tileScores: new Float64Array(tileCount * unknowns),
  };
}

type State = {
  map: Homography;
  shift: readonly [number, number, number];
  gain: number;
  bias: number;
};

const outside = 1e9;

/** Differences of the frame to the anchor's pixels as `map` lays them over it; returns how many fall inside. */
function readResiduals(
  anchor: AnchorPicture,
  depth: number,
  image: GreyImage,
  { map, shift, gain, bias }: State,
  residual: Float64Array,
): number {
  const { count, x, y, grey, above } = anchor.levels[depth]!;
  const [e0, e1, e2] = shift;
  const { widthPx, heightPx, data } = image;
  const { unitPx, middleX, middleY } = anchor.frame;
  // Align coordinates to this level's pixels, less the half pixel by which centres lie off corners.
  const perUnit = unitPx / 2 ** depth;
  const offX = middleX / 2 ** depth - 0.5;
  const offY = middleY / 2 ** depth - 0.5;
  const [a, b, c, d, e, f, g, h, i] = map;
  const right = widthPx - 1;
  const bottom = heightPx - 1;
  let seen = 0;
  for (let k = 0; k < count; k++) {
    const m = above[k]!;
    let px = x[k]!;
    let py = y[k]!;
    if (m > 0) {
      const third = 1 + m * e2;
      px = (px + m * e0) / third;
      py = (py + m * e1) / third;
    }
    const w = g * px + h * py + i;
    const u = ((a * px + b * py + c) / w) * perUnit + offX;
    const v = ((d * px + e * py + f) / w) * perUnit + offY;
    if (!(w > 0 && u >= 0 && v >= 0 && u < right && v < bottom)) {
      residual[k] = outside;
      continue;
    }
    const column = u | 0;
    const row = v | 0;
    const fu = u - column;
    const fv = v - row;
    const at = row * widthPx + column;
    const upper = data[at]! + (data[at + 1]! - data[at]!) * fu;
    const lower = data[at + widthPx]! + (data[at + widthPx + 1]! - data[at + widthPx]!) * fu;
    residual[k] = upper + (lower - upper) * fv - gain * grey[k]! - bias;
    seen++;
  }
  return seen;
}

const binsPerGrey = 8;

/** 1.4826 × the median of |residual|, to an eighth of a grey. */
function robustSigma(residual: Float64Array, count: number, seen: number, histogram: Uint32Array): number {
  histogram.fill(0);
  const last = histogram.length - 1;
  for (let k = 0; k < count; k++) {
    const r = residual[k]!;
    if (r === outside) continue;
    const bin = (Math.abs(r) * binsPerGrey) | 0;
    histogram[bin < last ? bin : last]!++;
  }
  let below = 0;
  let bin = 0;
  while (bin < last && below + histogram[bin]! < seen / 2) below += histogram[bin++]!;
  const inBin = histogram[bin]! > 0 ? (seen / 2 - below) / histogram[bin]! : 0.5;
  return (1.4826 * (bin + inBin)) / binsPerGrey;
}

/** Σ w JᵀJ (lower triangle) and Σ w J r over the pixels that fit; returns how many do. */
function accumulate(level: AnchorLevel, limit: number, work: AlignWorkspace): number {
  const { count } = level;
  const { normal, right, residual } = work;
  normal.fill(0);
  right.fill(0);
  const overSquare = 1 / (limit * limit);
  let fitting = 0;
  for (let k = 0; k < count; k++) {
    const r = residual[k]!;
    const share = 1 - r * r * overSquare;
    if (share <= 0) continue;
    fitting++;
    addPixel(level, k, share * share, r, normal, 0, right, 0);
  }
  return fitting;
}

/** One pixel's part of the sums, added from `base` on in `normal` and from `rightBase` on in `right`. */
function addPixel(
  level: AnchorLevel,
  k: number,
  weight: number,
  r: number,
  normal: Float64Array,
  base: number,
  right: Float64Array,
  rightBase: number,
): void {
  const { slopes, above } = level;
  const at = 8 * k;
  const t = greyColumn(level.grey[k]!);
  const wt = weight * t;
  for (let i = 0; i < 8; i++) {
    const slope = slopes[at + i]!;
    const wi = weight * slope;
    const row = base + i * unknowns;
    for (let j = 0; j <= i; j++) normal[row + j]! += wi * slopes[at + j]!;
    normal[base + gainRow + i]! += wt * slope;
    normal[base + biasRow + i]! += wi;
    right[rightBase + i]! += wi * r;
  }
  normal[base + gainRow + 8]! += wt * t;
  normal[base + biasRow + 8]! += wt;
  normal[base + biasRow + 9]! += weight;
  right[rightBase + 8]! += wt * r;
  right[rightBase + 9]! += weight * r;
  const m = above[k]!;
  if (m === 0) return;
  for (let i = 0; i < 3; i++) {
    const wi = weight * m * shiftSlope(level, k, i);
    const row = base + (10 + i) * unknowns;
    for (let j = 0; j < 8; j++) normal[row + j]! += wi * slopes[at + j]!;
    normal[row + 8]! += wi * t;
    normal[row + 9]! += wi;
    for (let j = 0; j <= i; j++) normal[row + 10 + j]! += wi * m * shiftSlope(level, k, j);
    right[rightBase + 10 + i]! += wi * r;
  }
}

const gainRow = 8 * unknowns;
const biasRow = 9 * unknowns;

/** Change of the grey by e0, e1, e2 a unit above the edge: along x, along y, and toward the middle. */
function shiftSlope(level: AnchorLevel, k: number, i: number): number {
  const { slopes, x, y } = level;
  if (i === 0) return slopes[8 * k + 2]!;
  if (i === 1) return slopes[8 * k + 5]!;
  return -(slopes[8 * k + 2]! * x[k]! + slopes[8 * k + 5]! * y[k]!);
}

/** The column of the gain, of the order of one. */
function greyColumn(grey: number): number {
  return (grey - 128) / 64;
}

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
  const state: State = { map, shift: [0, 0, 0], gain: 1, bias: 0 };
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
  const state: State = { map: start, shift: [0, 0, 0], gain: 1, bias: 0 };
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
function addPrior(work: AlignWorkspace, { shift }: State, sigmaGrey: number, depth: number): void {
  const weight = (sigmaGrey / (depth < 2 ? shiftSigma : shiftSigma / 100)) ** 2;
  for (let i = 0; i < 3; i++) {
    work.normal[(10 + i) * (unknowns + 1)]! += weight;
    work.right[10 + i]! += weight * shift[i as 0];
  }
}

/** A solved step, which is of the anchor's side and therefore undone on it. */
function apply(state: State, step: Float64Array): void {
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
  state: State,
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

const leastSteepness = 0.2;

/**
 * How steep the frame is where the anchor is steep, as a share of it. Noise makes slopes of its own, and the steepest
 * pixels of an anchor are steep in part by their noise: counted at face value they would promise more than they hold.
 * The frame's noise is another, so its slopes along the anchor's tell what is real.
 */
function steepnessShare(
  anchor: AnchorPicture,
  image: GreyImage,
  state: State,
  limit: number,
  { residual }: AlignWorkspace,
): number {
  const { count, x, y, slopes } = anchor.levels[0]!;
  const { unitPx, middleX, middleY } = anchor.frame;
  const { widthPx, heightPx, data } = image;
  const [a, b, c, d, e, f, g, h, i] = state.map;
  const read = (px: number, py: number): number => {
    const w = g * px + h * py + i;
    const u = ((a * px + b * py + c) / w) * unitPx + middleX - 0.5;
    const v = ((d * px + e * py + f) / w) * unitPx + middleY - 0.5;
    const column = Math.min(widthPx - 2, Math.max(0, Math.floor(u)));
    const row = Math.min(heightPx - 2, Math.max(0, Math.floor(v)));
    const at = row * widthPx + column;
    const upper = data[at]! + (data[at + 1]! - data[at]!) * (u - column);
    const lower = data[at + widthPx]! + (data[at + widthPx + 1]! - data[at + widthPx]!) * (u - column);
    return upper + (lower - upper) * (v - row);
  };
  let both = 0;
  let own = 0;
  for (let k = 0; k < count; k++) {
    if (!(Math.abs(residual[k]!) < limit)) continue;
    const gx = slopes[8 * k + 2]!;
    const gy = slopes[8 * k + 5]!;
    const steep = Math.hypot(gx, gy);
    // One pixel to either side, along the anchor's slope.
    const [stepX, stepY] = [gx / steep / unitPx, gy / steep / unitPx];
    const there = read(x[k]! + stepX, y[k]! + stepY) - read(x[k]! - stepX, y[k]! - stepY);
    both += (steep * there * unitPx) / 2;
    own += steep * steep;
  }
  return Math.min(1, Math.max(leastSteepness, both / own / state.gain));
}

/**
 * Covariance by leaving out one tile of the picture after the other (the jackknife: Tukey 1958; for clusters, Bell and
 * McCaffrey 2002). What the solution would have been without a tile says how much it leans on it, so pixels of one tile
 * may share their errors in any way (compression, a shadow, what moves), and a map that hangs on one corner of the
 * picture says so. `fitting` is how many pixels fit; null when without some tile nothing is determined.
 */
function jackknife(
  level: AnchorLevel,
  limit: number,
  sigmaGrey: number,
  gain: number,
  work: AlignWorkspace,
): { readonly covariance: Float64Array; readonly fitting: number } | null {
  const { count, tile } = level;
  const { normal, right, residual, tileNormals, tileScores } = work;
  tileNormals.fill(0);
  tileScores.fill(0);
  let fitting = 0;
  for (let k = 0; k < count; k++) {
    const r = residual[k]!;
    const share = 1 - (r / limit) ** 2;
    if (share <= 0) continue;
    fitting++;
    addPixel(level, k, share * share, r, tileNormals, tile[k]! * square, tileScores, tile[k]! * unknowns);
  }
  const whole = new Float64Array(square);
  for (let at = 0; at < tileNormals.length; at += square) {
    for (let i = 0; i < square; i++) whole[i]! += tileNormals[at + i]!;
  }
  const prior = (sigmaGrey / shiftSigma) ** 2;
  for (let i = 10; i < unknowns; i++) whole[i * (unknowns + 1)]! += prior;
  const covariance = new Float64Array(64);
  let tiles = 0;
  for (let t = 0; t < tileCount; t++) {
    if (tileNormals[t * square + biasRow + 9] === 0) continue;
    tiles++;
    for (let i = 0; i < square; i++) normal[i] = whole[i]! - tileNormals[t * square + i]!;
    if (factorCholesky(normal, unknowns) < leastPivot) return null;
    for (let i = 0; i < unknowns; i++) right[i] = tileScores[t * unknowns + i]!;
    solveCholesky(normal, right, unknowns);
    for (let i = 0; i < 8; i++) {
      for (let j = 0; j < 8; j++) covariance[8 * i + j]! += right[i]! * right[j]!;
    }
  }
  const scale = (tiles - 1) / tiles / (gain * gain);
  for (let i = 0; i < 64; i++) covariance[i]! *= scale;
  return { covariance, fitting };
}
