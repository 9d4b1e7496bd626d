import type { Homography } from "./homography.ts";
import { type ImageSize, centred, focalOf } from "./focal-length.ts";
import type { HomographyCovariance } from "./uncertainty.ts";

export type { ImageSize };

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

/** Above this share of itself, the standard deviation of 1/f² says that the stakes do not tell the focal length. */
const uselessShare = 1;

/**
 * The camera behind a homography, for square pixels and the lens axis through the image's middle.
 *
 * Null when the homography does not tell the focal length (straight down, or too weak a survey) or no camera above the
 * ground fits. Without a covariance the two constraints on the focal length count alike.
 */
export function estimateCamera(
  h: Homography,
  image: ImageSize,
  covariance: HomographyCovariance | null,
): CameraEstimate | null {
  const c = centred(h, image);
  const found = focalOf(c, image, covariance);
  if (found === null) return null;
  const { inverseSquare, share } = found;
  if (!(inverseSquare > 0) || (share !== null && share > uselessShare)) return null;
  const focalPx = 1 / Math.sqrt(inverseSquare);
  const [a0, a1, a2, b0, b1, b2, c0, c1, c2] = c;

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
    focalSdPx: share === null ? null : (focalPx * share) / 2,
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
