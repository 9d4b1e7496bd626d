import { type FieldPoint, type ImagePoint, fieldPoint, imagePoint } from "./units.ts";

/**
 * A plane map from field yards to image pixels, nine numbers row by row.
 *
 * Sign convention: with (a, b, w) = H · (x, y, 1), w is positive for every field point in front of the camera, and
 * the image point is (a / w, b / w). The inverse of such a map has a positive third component for every image point
 * on the ground side of the horizon. A camera above the ground has a negative determinant, because v points down.
 */
export type Homography = readonly [number, number, number, number, number, number, number, number, number];

/** Relative size below which w counts as zero: the point is on the line that the camera sees at infinity. */
const tinyW = 1e-12;

/** Null when the field point is behind the camera or in the plane of its lens. */
export function projectToImage(h: Homography, point: FieldPoint): ImagePoint | null {
  const { xYards: x, yYards: y } = point;
  const w = h[6] * x + h[7] * y + h[8];
  if (!(w > tinyW * (Math.abs(h[6] * x) + Math.abs(h[7] * y) + Math.abs(h[8])))) return null;
  return imagePoint((h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w);
}

/** As `projectToField`, through an inverse that is already known. */
export function projectThroughInverse(inverse: Homography, point: ImagePoint): FieldPoint | null {
  const { uPx: u, vPx: v } = point;
  const s = inverse[6] * u + inverse[7] * v + inverse[8];
  if (!(s > tinyW * (Math.abs(inverse[6] * u) + Math.abs(inverse[7] * v) + Math.abs(inverse[8])))) return null;
  return fieldPoint(
    (inverse[0] * u + inverse[1] * v + inverse[2]) / s,
    (inverse[3] * u + inverse[4] * v + inverse[5]) / s,
  );
}

/** Where a click meets the ground; null when it is at or above the horizon. */
export function projectToField(h: Homography, point: ImagePoint): FieldPoint | null {
  return projectThroughInverse(invertHomography(h), point);
}

export function determinant(h: Homography): number {
  return h[0] * (h[4] * h[8] - h[5] * h[7]) - h[1] * (h[3] * h[8] - h[5] * h[6]) + h[2] * (h[3] * h[7] - h[4] * h[6]);
}

/** The true inverse, not only up to scale: its sign carries the convention over. Throws when h has no inverse. */
export function invertHomography(h: Homography): Homography {
  const d = determinant(h);
  if (d === 0 || !Number.isFinite(d)) throw new Error("a homography without an inverse reached invertHomography");
  const s = 1 / d;
  return [
    (h[4] * h[8] - h[5] * h[7]) * s,
    (h[2] * h[7] - h[1] * h[8]) * s,
    (h[1] * h[5] - h[2] * h[4]) * s,
    (h[5] * h[6] - h[3] * h[8]) * s,
    (h[0] * h[8] - h[2] * h[6]) * s,
    (h[2] * h[3] - h[0] * h[5]) * s,
    (h[3] * h[7] - h[4] * h[6]) * s,
    (h[1] * h[6] - h[0] * h[7]) * s,
    (h[0] * h[4] - h[1] * h[3]) * s,
  ];
}

export function multiplyHomographies(a: Homography, b: Homography): Homography {
  const entry = (row: number, column: number): number =>
    a[row * 3]! * b[column]! + a[row * 3 + 1]! * b[3 + column]! + a[row * 3 + 2]! * b[6 + column]!;
  return [
    entry(0, 0),
    entry(0, 1),
    entry(0, 2),
    entry(1, 0),
    entry(1, 1),
    entry(1, 2),
    entry(2, 0),
    entry(2, 1),
    entry(2, 2),
  ];
}

/** Derivatives of a plane map at a point: rows are the outputs, columns the inputs. */
export type Jacobian = { readonly xx: number; readonly xy: number; readonly yx: number; readonly yy: number };

function jacobianAt(m: Homography, x: number, y: number): Jacobian {
  const w = m[6] * x + m[7] * y + m[8];
  const a = (m[0] * x + m[1] * y + m[2]) / w;
  const b = (m[3] * x + m[4] * y + m[5]) / w;
  return {
    xx: (m[0] - a * m[6]) / w,
    xy: (m[1] - a * m[7]) / w,
    yx: (m[3] - b * m[6]) / w,
    yy: (m[4] - b * m[7]) / w,
  };
}

/** Pixels per yard at a field point: d(u, v) / d(x, y). */
export function imagePerField(h: Homography, at: FieldPoint): Jacobian {
  return jacobianAt(h, at.xYards, at.yYards);
}

/** Yards per pixel at an image point: d(x, y) / d(u, v), from the inverse map. */
export function fieldPerImage(inverse: Homography, at: ImagePoint): Jacobian {
  return jacobianAt(inverse, at.uPx, at.vPx);
}
