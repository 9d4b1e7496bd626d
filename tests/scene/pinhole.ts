/**
 * The scene's own camera: an ideal pinhole with square pixels. Nothing here comes from the program under test, so that
 * what it projects may stand as the outside truth for it.
 *
 * World: yards, x along the field, y across it (away from the press box), z up. Image: pixels, origin at the top left
 * corner of the top left pixel (its centre is 0.5, 0.5), u right, v down.
 */

export type Vector3 = readonly [number, number, number];

export type PinholeCamera = {
  readonly xYards: number;
  readonly yYards: number;
  readonly zYards: number;
  /** 0 looks straight across the field (along +y); positive turns toward +x. */
  readonly panRadians: number;
  /** 0 is level; negative looks down. */
  readonly tiltRadians: number;
  /** Positive leans clockwise as the operator sees it; left out by a camera that stands level. */
  readonly rollRadians?: number;
  readonly focalPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
};

/** A camera reduced to what projection needs: a centre, three orthonormal axes, and the principal point. */
export type View = {
  readonly centre: Vector3;
  readonly right: Vector3;
  readonly up: Vector3;
  readonly forward: Vector3;
  readonly focalPx: number;
  readonly principalUPx: number;
  readonly principalVPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
};

export type Pixel = { readonly uPx: number; readonly vPx: number };
/** Row-major 3 × 3, field (x, y, 1) to image (u·w, v·w, w). */
export type Matrix3 = readonly [number, number, number, number, number, number, number, number, number];

export function dot(a: Vector3, b: Vector3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function viewOf(camera: PinholeCamera): View {
  const sinPan = Math.sin(camera.panRadians);
  const cosPan = Math.cos(camera.panRadians);
  const sinTilt = Math.sin(camera.tiltRadians);
  const cosTilt = Math.cos(camera.tiltRadians);
  const { right, up } = rolled(
    [cosPan, -sinPan, 0],
    [-sinPan * sinTilt, -cosPan * sinTilt, cosTilt],
    camera.rollRadians ?? 0,
  );
  return {
    centre: [camera.xYards, camera.yYards, camera.zYards],
    right,
    up,
    forward: [sinPan * cosTilt, cosPan * cosTilt, sinTilt],
    focalPx: camera.focalPx,
    principalUPx: camera.widthPx / 2,
    principalVPx: camera.heightPx / 2,
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
  };
}

/** Level axes turned about the lens: a camera that leans clockwise sees its own right side dip. */
function rolled(right: Vector3, up: Vector3, radians: number): { readonly right: Vector3; readonly up: Vector3 } {
  if (radians === 0) return { right, up };
  const [c, s] = [Math.cos(radians), Math.sin(radians)];
  const mix = (a: Vector3, b: Vector3, p: number, q: number): Vector3 => [
    p * a[0] + q * b[0],
    p * a[1] + q * b[1],
    p * a[2] + q * b[2],
  ];
  return { right: mix(right, up, c, -s), up: mix(up, right, c, s) };
}

/** Image of a world point, yards to pixels; null behind the camera. */
export function project(view: View, point: Vector3): (Pixel & { readonly depthYards: number }) | null {
  const offset: Vector3 = [point[0] - view.centre[0], point[1] - view.centre[1], point[2] - view.centre[2]];
  const depthYards = dot(offset, view.forward);
  if (depthYards <= 1e-6) return null;
  return {
    uPx: view.principalUPx + (view.focalPx * dot(offset, view.right)) / depthYards,
    vPx: view.principalVPx - (view.focalPx * dot(offset, view.up)) / depthYards,
    depthYards,
  };
}

/** Direction (not normalised) in which an image point looks. */
export function rayThrough(view: View, uPx: number, vPx: number): Vector3 {
  const across = (uPx - view.principalUPx) / view.focalPx;
  const above = (view.principalVPx - vPx) / view.focalPx;
  const { right, up, forward } = view;
  return [
    forward[0] + across * right[0] + above * up[0],
    forward[1] + across * right[1] + above * up[1],
    forward[2] + across * right[2] + above * up[2],
  ];
}

/** The field point under an image point; null at or above the horizon. */
export function groundUnder(view: View, uPx: number, vPx: number): { xYards: number; yYards: number } | null {
  const ray = rayThrough(view, uPx, vPx);
  if (ray[2] >= -1e-9) return null;
  const along = -view.centre[2] / ray[2];
  return { xYards: view.centre[0] + along * ray[0], yYards: view.centre[1] + along * ray[1] };
}

/** The plane z = 0 to the image, as a homography. */
export function fieldToImage(view: View): Matrix3 {
  const { centre, right, up, forward, focalPx, principalUPx, principalVPx } = view;
  const row = (axis: Vector3): Vector3 => [axis[0], axis[1], -dot(axis, centre)];
  const r = row(right);
  const a = row(up);
  const f = row(forward);
  return [
    focalPx * r[0] + principalUPx * f[0],
    focalPx * r[1] + principalUPx * f[1],
    focalPx * r[2] + principalUPx * f[2],
    principalVPx * f[0] - focalPx * a[0],
    principalVPx * f[1] - focalPx * a[1],
    principalVPx * f[2] - focalPx * a[2],
    f[0],
    f[1],
    f[2],
  ];
}
