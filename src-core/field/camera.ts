import type { Homography } from "./homography.ts";
import type { HomographyCovariance } from "./uncertainty.ts";

/**
 * Where the camera stood and where it looked, from one homography.
 *
 * Pan is the heading of the lens axis on the ground: 0 looking across the field away from the near side, positive to
 * the right. Tilt is positive looking down. Roll is positive when the camera leans clockwise as its operator sees it.
 */
export type CameraEstimate = {
  readonly xYards: number;
  readonly yYards: number;
  readonly heightYards: number;
  readonly focalPx: number;
  /** One standard deviation of the focal length, px; null when the survey's covariance was not given. */
  readonly focalSdPx: number | null;
  readonly panRadians: number;
  readonly tiltRadians: number;
  readonly rollRadians: number;
};

export type ImageSize = { readonly widthPx: number; readonly heightPx: number };

/** Above this share of itself, the standard deviation of 1/f² says that the stakes do not tell the focal length. */
const uselessShare = 1;

/**
 * The camera behind a homography, for square pixels and the lens axis through the image's middle.
 *
 * The first two columns of K⁻¹H must be at right angles and of equal length (Zhang's two constraints on the image of
 * the absolute conic); both are linear in 1/f². They are weighted by the homography's covariance, since either can be
 * empty: a level camera aimed square across the field says nothing through the first.
 *
 * Null when neither tells the focal length (straight down, or too weak a survey) or no camera above ground fits.
 */
export function estimateCamera(
  h: Homography,
  image: ImageSize,
  covariance: HomographyCovariance | null,
): CameraEstimate | null {
  const cu = image.widthPx / 2;
  const cv = image.heightPx / 2;
  const a0 = h[0] - cu * h[6];
  const a1 = h[1] - cu * h[7];
  const a2 = h[2] - cu * h[8];
  const b0 = h[3] - cv * h[6];
  const b1 = h[4] - cv * h[7];
  const b2 = h[5] - cv * h[8];
  const [, , , , , , c0, c1, c2] = h;

  const slope1 = a0 * a1 + b0 * b1;
  const offset1 = c0 * c1;
  const slope2 = a0 * a0 + b0 * b0 - a1 * a1 - b1 * b1;
  const offset2 = c0 * c0 - c1 * c1;
  const square = slope1 * slope1 + slope2 * slope2;
  if (!(square > 0)) return null;
  let s = -(slope1 * offset1 + slope2 * offset2) / square;
  let focalShare: number | null = null;
  if (covariance !== null) {
    for (let pass = 0; pass < 3; pass++) {
      const gradient1 = new Float64Array(8);
      const gradient2 = new Float64Array(8);
      for (let k = 0; k < 8; k++) {
        const { basis } = covariance;
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
          const entry = covariance.matrix[i * 8 + j]!;
          s1 += entry * gradient1[j]!;
          s2 += entry * gradient2[j]!;
        }
        v11 += gradient1[i]! * s1;
        v12 += gradient1[i]! * s2;
        v22 += gradient2[i]! * s2;
      }
      const det = v11 * v22 - v12 * v12;
      if (!(det > 1e-12 * v11 * v22)) break;
      const w1 = v22 * slope1 - v12 * slope2;
      const w2 = v11 * slope2 - v12 * slope1;
      const information = w1 * slope1 + w2 * slope2;
      if (!(information > 0)) break;
      s = -(w1 * offset1 + w2 * offset2) / information;
      focalShare = Math.sqrt(det / information) / Math.abs(s);
    }
  }
  if (!(s > 0) || (focalShare !== null && focalShare > uselessShare)) return null;
  const focalPx = 1 / Math.sqrt(s);

  const length1 = Math.hypot(a0 / focalPx, b0 / focalPx, c0);
  const length2 = Math.hypot(a1 / focalPx, b1 / focalPx, c1);
  const scale = 2 / (length1 + length2);
  const r1 = unit([a0 / focalPx, b0 / focalPx, c0]);
  const r2 = unit([a1 / focalPx, b1 / focalPx, c1]);
  // Symmetric orthogonalisation: the bisectors of two unit vectors are at right angles exactly.
  const sum = unit([r1[0] + r2[0], r1[1] + r2[1], r1[2] + r2[2]]);
  const difference = unit([r1[0] - r2[0], r1[1] - r2[1], r1[2] - r2[2]]);
  const x: Vector = [
    (sum[0] + difference[0]) * Math.SQRT1_2,
    (sum[1] + difference[1]) * Math.SQRT1_2,
    (sum[2] + difference[2]) * Math.SQRT1_2,
  ];
  const y: Vector = [
    (sum[0] - difference[0]) * Math.SQRT1_2,
    (sum[1] - difference[1]) * Math.SQRT1_2,
    (sum[2] - difference[2]) * Math.SQRT1_2,
  ];
  const z: Vector = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
  const t: Vector = [(a2 / focalPx) * scale, (b2 / focalPx) * scale, c2 * scale];
  const heightYards = -dot(z, t);
  if (!(heightYards > 0) || !Number.isFinite(heightYards)) return null;
  // The rows of the rotation are the camera's right, down and forward in field axes.
  const forward: Vector = [x[2], y[2], z[2]];
  return {
    xYards: -dot(x, t),
    yYards: -dot(y, t),
    heightYards,
    focalPx,
    focalSdPx: focalShare === null ? null : (focalPx * focalShare) / 2,
    panRadians: Math.atan2(forward[0], forward[1]),
    tiltRadians: Math.asin(Math.max(-1, Math.min(1, -forward[2]))),
    rollRadians: Math.atan2(-z[0], -z[1]),
  };
}

type Vector = readonly [number, number, number];

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function unit(a: Vector): Vector {
  const length = Math.sqrt(dot(a, a));
  return [a[0] / length, a[1] / length, a[2] / length];
}
