import type { CameraEstimate } from "./camera.ts";
import { type ImageSize, centred } from "./focal-length.ts";
import type { Homography } from "./homography.ts";

/**
 * A camera with square pixels and its axis through the image's middle, as seven numbers: x, y and height in yards of the
 * field frame, pan, tilt and roll in radians (signs as in `CameraEstimate`), and the natural logarithm of the focal
 * length in pixels.
 */
export type Pose = Float64Array;

export const poseSize = 7;

type Axis = readonly [number, number, number];

/** The camera's right, down and forward in field axes; before the roll, right is `level` and down is `sunk`. */
type Axes = {
  readonly right: Axis;
  readonly down: Axis;
  readonly forward: Axis;
  readonly level: Axis;
  readonly sunk: Axis;
};

const combined = (p: number, a: Axis, q: number, b: Axis): Axis => [
  p * a[0] + q * b[0],
  p * a[1] + q * b[1],
  p * a[2] + q * b[2],
];

const dot = (a: Axis, b: Axis): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

function axesOf(pan: number, tilt: number, roll: number): Axes {
  const sp = Math.sin(pan);
  const cp = Math.cos(pan);
  const st = Math.sin(tilt);
  const ct = Math.cos(tilt);
  const sr = Math.sin(roll);
  const cr = Math.cos(roll);
  const level: Axis = [cp, -sp, 0];
  const sunk: Axis = [-sp * st, -cp * st, -ct];
  return {
    right: combined(cr, level, sr, sunk),
    down: combined(cr, sunk, -sr, level),
    forward: [sp * ct, cp * ct, -st],
    level,
    sunk,
  };
}

/** Field to image, with w the depth in yards: positive in front of the camera. */
export function mapOfPose(pose: Pose, image: ImageSize): Homography {
  const { right, down, forward } = axesOf(pose[3]!, pose[4]!, pose[5]!);
  const out = new Float64Array(9);
  placeRows(out, 1, 0, pose, image, right, down, forward, Math.exp(pose[6]!));
  return Array.from(out) as unknown as Homography;
}

/**
 * The map of the three given axes (which need not be at right angles) seen from the pose's place, written to `out` with
 * the given stride: K [a₁ a₂ −a·C] row by row. It is linear in the axes, so it serves their derivatives as well.
 */
function placeRows(
  out: Float64Array,
  stride: number,
  start: number,
  pose: Pose,
  { widthPx, heightPx }: ImageSize,
  right: Axis,
  down: Axis,
  forward: Axis,
  focalPx: number,
): void {
  const place: Axis = [pose[0]!, pose[1]!, pose[2]!];
  const r = [right[0], right[1], -dot(right, place)];
  const d = [down[0], down[1], -dot(down, place)];
  const f = [forward[0], forward[1], -dot(forward, place)];
  for (let j = 0; j < 3; j++) {
    out[start + j * stride] = focalPx * r[j]! + (widthPx / 2) * f[j]!;
    out[start + (3 + j) * stride] = focalPx * d[j]! + (heightPx / 2) * f[j]!;
    out[start + (6 + j) * stride] = f[j]!;
  }
}

const none: Axis = [0, 0, 0];

/** Derivatives of the nine entries of `mapOfPose`: entry i by number k of the pose at i * 7 + k. */
export function mapDerivatives(pose: Pose, image: ImageSize, out: Float64Array): void {
  const [tilt, roll] = [pose[4]!, pose[5]!];
  const { right, down, forward, level, sunk } = axesOf(pose[3]!, tilt, roll);
  const focalPx = Math.exp(pose[6]!);
  const [st, ct] = [Math.sin(tilt), Math.cos(tilt)];
  const [sr, cr] = [Math.sin(roll), Math.cos(roll)];
  for (let k = 0; k < 3; k++) {
    // Moving the camera changes only the third column, by −a·dC.
    for (let i = 0; i < 9; i++) out[i * poseSize + k] = 0;
    out[2 * poseSize + k] = -(focalPx * right[k]! + (image.widthPx / 2) * forward[k]!);
    out[5 * poseSize + k] = -(focalPx * down[k]! + (image.heightPx / 2) * forward[k]!);
    out[8 * poseSize + k] = -forward[k]!;
  }
  const turn = (k: number, dLevel: Axis, dSunk: Axis, dForward: Axis): void => {
    const dRight = combined(cr, dLevel, sr, dSunk);
    const dDown = combined(cr, dSunk, -sr, dLevel);
    placeRows(out, poseSize, k, pose, image, dRight, dDown, dForward, focalPx);
  };
  turn(3, combined(-ct, forward, st, sunk), combined(-st, level, 0, none), combined(ct, level, 0, none));
  turn(4, none, combined(-1, forward, 0, none), sunk);
  placeRows(out, poseSize, 5, pose, image, down, combined(-1, right, 0, none), none, focalPx);
  placeRows(out, poseSize, 6, pose, image, right, down, none, focalPx);
}

/**
 * The pose that comes nearest to a homography from a known place, in closed form; exact when the homography is that of a
 * pinhole there. With the place C known, H [e₁ e₂ −C]⁻¹ is K times the rotation, up to scale.
 */
export function poseFromPlace(h: Homography, image: ImageSize, place: Axis): Pose | null {
  const c = centred(h, image);
  const [x, y, height] = place;
  const row = (i: number): Axis => [
    c[3 * i]!,
    c[3 * i + 1]!,
    -(x * c[3 * i]! + y * c[3 * i + 1]! + c[3 * i + 2]!) / height,
  ];
  const [r, d, f] = [row(0), row(1), row(2)];
  const [lengthR, lengthD, lengthF] = [Math.sqrt(dot(r, r)), Math.sqrt(dot(d, d)), Math.sqrt(dot(f, f))];
  const focalPx = Math.sqrt(lengthR * lengthD) / lengthF;
  if (!(focalPx > 0) || !Number.isFinite(focalPx)) return null;
  const unit = (a: Axis, length: number): Axis => [a[0] / length, a[1] / length, a[2] / length];
  return poseOf(place, unit(r, lengthR), unit(d, lengthD), unit(f, lengthF), focalPx);
}

/** The pose at a place with the given axes, which may be at right angles only nearly. */
export function poseOf(place: Axis, right: Axis, down: Axis, forward: Axis, focalPx: number): Pose {
  const pan = Math.atan2(forward[0], forward[1]);
  const tilt = Math.asin(Math.max(-1, Math.min(1, -forward[2])));
  const { level, sunk } = axesOf(pan, tilt, 0);
  const roll = Math.atan2(dot(right, sunk) - dot(down, level), dot(right, level) + dot(down, sunk));
  return Float64Array.of(place[0], place[1], place[2], pan, tilt, roll, Math.log(focalPx));
}

export function estimateOfPose(pose: Pose, logFocalSd: number): CameraEstimate {
  const focalPx = Math.exp(pose[6]!);
  return {
    xYards: pose[0]!,
    yYards: pose[1]!,
    heightYards: pose[2]!,
    focalPx,
    focalSdPx: focalPx * logFocalSd,
    panRadians: pose[3]!,
    tiltRadians: pose[4]!,
    rollRadians: pose[5]!,
  };
}
