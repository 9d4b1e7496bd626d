import { type AnchorLevel, type AnchorPicture, tileColumns, tileRows } from "./anchor-picture.ts";
import type { GreyImage } from "./grey-image.ts";
import type { Homography } from "../field/homography.ts";

/**
 * Numbers solved for: eight of the map, a gain and a bias, and three of the shift of what stands behind the ground: such
 * a pixel, m above the ground's edge, is seen at x + m (e0, e1, e2) in homogeneous align coordinates.
 */
export const unknowns = 13;
/** Entries of the sums' matrix. */
export const square = unknowns * unknowns;
export const tileCount = tileColumns * tileRows;
/** A hand's sway of two inches before a background some 60 yd off, in align units a unit above the edge. */
export const shiftSigma = 0.003;
/** Tukey's constant for 95 % efficiency on normal errors. */
export const tukey = 4.685;
/** Residuals are never thought smaller than this: a grey is a whole number. */
export const leastSigmaGrey = 0.7;

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

/** Where an alignment stands: anchor to frame, the shift of what stands behind the ground, and the brightness. */
export type AlignState = {
  map: Homography;
  shift: readonly [number, number, number];
  gain: number;
  bias: number;
};

/** The residual of a pixel that falls outside the frame. */
export const outside = 1e9;

/** Differences of the frame to the anchor's pixels as `map` lays them over it; returns how many fall inside. */
export function readResiduals(
  anchor: AnchorPicture,
  depth: number,
  image: GreyImage,
  { map, shift, gain, bias }: AlignState,
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
export function robustSigma(residual: Float64Array, count: number, seen: number, histogram: Uint32Array): number {
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
export function accumulate(level: AnchorLevel, limit: number, work: AlignWorkspace): number {
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
export function addPixel(
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
export const biasRow = 9 * unknowns;

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
