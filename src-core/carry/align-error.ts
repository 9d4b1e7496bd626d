import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import {
  type AlignState,
  type AlignWorkspace,
  addPixel,
  biasRow,
  shiftSigma,
  square,
  tileCount,
  unknowns,
} from "./align-sums.ts";
import type { AnchorLevel, AnchorPicture } from "./anchor-picture.ts";
import type { GreyImage } from "./grey-image.ts";

/** How well an aligned map is known, from the residuals that it leaves. */

/** A smaller pivot, as a share of its diagonal, means that the picture leaves the map open. */
export const leastPivot = 1e-13;

const leastSteepness = 0.2;

/**
 * How steep the frame is where the anchor is steep, as a share of it. Noise makes slopes of its own, and the steepest
 * pixels of an anchor are steep in part by their noise: counted at face value they would promise more than they hold.
 * The frame's noise is another, so its slopes along the anchor's tell what is real.
 */
export function steepnessShare(
  anchor: AnchorPicture,
  image: GreyImage,
  state: AlignState,
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
export function jackknife(
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
