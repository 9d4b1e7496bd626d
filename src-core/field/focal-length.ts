import type { Homography } from "./homography.ts";
import type { HomographyCovariance } from "./uncertainty.ts";

export type ImageSize = { readonly widthPx: number; readonly heightPx: number };

/** A homography with the image's middle for origin, row by row. */
export function centred(h: Homography, image: ImageSize): Homography {
  const cu = image.widthPx / 2;
  const cv = image.heightPx / 2;
  return [
    h[0] - cu * h[6],
    h[1] - cu * h[7],
    h[2] - cu * h[8],
    h[3] - cv * h[6],
    h[4] - cv * h[7],
    h[5] - cv * h[8],
    h[6],
    h[7],
    h[8],
  ];
}

export type FocalFit = {
  /** 1/f² in 1/px²; not positive when no lens fits. */
  readonly inverseSquare: number;
  /** Standard deviation of 1/f² as a share of it; null when no covariance was given, or it tells nothing. */
  readonly share: number | null;
  /**
   * χ² with one degree of freedom of "this is a camera with square pixels, its axis in the middle of the image and a
   * focal length that lenses have"; 0 when it cannot be tested. It tests even four stakes, which have no residual.
   */
  readonly misfit: number;
};

/** Focal lengths, in image widths, that cameras on a sideline have: from a wide phone lens to the longest zooms. */
const shortestWidths = 0.3;
const longestWidths = 20;

/**
 * The focal length behind a centred homography.
 *
 * The first two columns of K⁻¹H must be at right angles and of equal length (Zhang's two constraints on the image of
 * the absolute conic); both are linear in 1/f²: slope · s + offset = 0. They are weighted by the homography's
 * covariance, since either can be empty: a level camera aimed square across the field says nothing through the first.
 *
 * Null when neither says anything (a camera that looks straight down).
 */
export function focalOf(c: Homography, image: ImageSize, covariance: HomographyCovariance | null): FocalFit | null {
  const [a0, a1, , b0, b1, , c0, c1] = c;
  const slope1 = a0 * a1 + b0 * b1;
  const offset1 = c0 * c1;
  const slope2 = a0 * a0 + b0 * b0 - a1 * a1 - b1 * b1;
  const offset2 = c0 * c0 - c1 * c1;
  const square = slope1 * slope1 + slope2 * slope2;
  if (!(square > 0)) return null;
  let s = -(slope1 * offset1 + slope2 * offset2) / square;
  if (covariance === null) return { inverseSquare: s, share: null, misfit: 0 };

  let share: number | null = null;
  for (let pass = 0; pass < 3; pass++) {
    const v = constraintCovariance(c, image, covariance, s);
    const det = v.v11 * v.v22 - v.v12 * v.v12;
    if (!(det > 1e-12 * v.v11 * v.v22)) return { inverseSquare: s, share, misfit: 0 };
    const w1 = v.v22 * slope1 - v.v12 * slope2;
    const w2 = v.v11 * slope2 - v.v12 * slope1;
    const information = w1 * slope1 + w2 * slope2;
    if (!(information > 0)) return { inverseSquare: s, share, misfit: 0 };
    s = -(w1 * offset1 + w2 * offset2) / information;
    share = Math.sqrt(det / information) / Math.abs(s);
  }
  const least = (longestWidths * image.widthPx) ** -2;
  const most = (shortestWidths * image.widthPx) ** -2;
  const lens = Math.min(most, Math.max(least, s));
  const v = constraintCovariance(c, image, covariance, lens);
  const e1 = slope1 * lens + offset1;
  const e2 = slope2 * lens + offset2;
  const det = v.v11 * v.v22 - v.v12 * v.v12;
  const misfit = det > 0 ? (v.v22 * e1 * e1 - 2 * v.v12 * e1 * e2 + v.v11 * e2 * e2) / det : 0;
  return { inverseSquare: s, share, misfit };
}

/** Covariance of the two constraints at a given 1/f², from that of the homography, first order. */
function constraintCovariance(
  c: Homography,
  image: ImageSize,
  { basis, matrix }: HomographyCovariance,
  s: number,
): { readonly v11: number; readonly v12: number; readonly v22: number } {
  const [a0, a1, , b0, b1, , c0, c1] = c;
  const cu = image.widthPx / 2;
  const cv = image.heightPx / 2;
  const gradient1 = new Float64Array(8);
  const gradient2 = new Float64Array(8);
  for (let k = 0; k < 8; k++) {
    const dc0 = basis[48 + k]!;
    const dc1 = basis[56 + k]!;
    const da0 = basis[k]! - cu * dc0;
    const da1 = basis[8 + k]! - cu * dc1;
    const db0 = basis[24 + k]! - cv * dc0;
    const db1 = basis[32 + k]! - cv * dc1;
    gradient1[k] = s * (da0 * a1 + a0 * da1 + db0 * b1 + b0 * db1) + dc0 * c1 + c0 * dc1;
    gradient2[k] = 2 * (s * (a0 * da0 + b0 * db0 - a1 * da1 - b1 * db1) + c0 * dc0 - c1 * dc1);
  }
  let v11 = 0;
  let v12 = 0;
  let v22 = 0;
  for (let i = 0; i < 8; i++) {
    let s1 = 0;
    let s2 = 0;
    for (let j = 0; j < 8; j++) {
      const entry = matrix[i * 8 + j]!;
      s1 += entry * gradient1[j]!;
      s2 += entry * gradient2[j]!;
    }
    v11 += gradient1[i]! * s1;
    v12 += gradient1[i]! * s2;
    v22 += gradient2[i]! * s2;
  }
  return { v11, v12, v22 };
}
