import type { Backdrop } from "./backdrop.ts";
import { viewOf, type View } from "./pinhole.ts";
import type { Scene } from "./scene.ts";
import { gaussian, seededDraw, seedOf } from "./seeded.ts";
import { drawBody, emptyOwners, type Owners } from "./ray-casting.ts";
import { castShadow } from "./shadows.ts";
import type { Picture } from "./solids.ts";

/** One frame of film: the still world through this frame's camera, shadows, people far to near, then the sensor. */

export function renderFrame(scene: Scene, backdrop: Backdrop, frameIndex: number): Picture {
  const { camera } = scene.truthAt(frameIndex);
  const view = viewOf(camera);
  const picture: Picture = {
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    rgb: new Uint8ClampedArray(camera.widthPx * camera.heightPx * 3),
  };
  lookThrough(backdrop, view, picture);
  const bodies = nearestLast(scene, frameIndex, view);
  for (const body of bodies) castShadow(picture, view, body);
  for (const body of bodies) drawBody(picture, view, body);
  expose(picture, seedOf(scene.film.name, "grain", frameIndex));
  return picture;
}

/** Who owns each sample of the frame, for finding feet; draws the people only. */
export function ownersAt(scene: Scene, frameIndex: number): { owners: Owners; view: View } {
  const { camera } = scene.truthAt(frameIndex);
  const view = viewOf(camera);
  const scratch: Picture = {
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    rgb: new Uint8ClampedArray(camera.widthPx * camera.heightPx * 3),
  };
  const owners = emptyOwners(view);
  for (const body of nearestLast(scene, frameIndex, view)) drawBody(scratch, view, body, owners);
  return { owners, view };
}

function nearestLast(scene: Scene, frameIndex: number, view: View) {
  const away = (point: readonly [number, number, number]) =>
    Math.hypot(point[0] - view.centre[0], point[1] - view.centre[1]);
  return [...scene.bodiesAt(frameIndex)].sort((a, b) => away(b.solids[0]!.a) - away(a.solids[0]!.a));
}

function lookThrough(backdrop: Backdrop, view: View, picture: Picture): void {
  const { rgb: still, view: plane, depthYards } = backdrop;
  // Where this camera stands off the backdrop's own centre.
  const offX = view.centre[0] - plane.centre[0];
  const offY = view.centre[1] - plane.centre[1];
  const offZ = view.centre[2] - plane.centre[2];
  const { rgb, widthPx, heightPx } = picture;
  const { right, up, forward } = view;
  const stillColumns = plane.widthPx;
  const most = plane.widthPx - 2;
  const lowest = plane.heightPx - 2;
  for (let row = 0; row < heightPx; row++) {
    const above = (view.principalVPx - row - 0.5) / view.focalPx;
    const x = forward[0] + above * up[0];
    const y = forward[1] + above * up[1];
    const z = forward[2] + above * up[2];
    for (let column = 0; column < widthPx; column++) {
      const across = (column + 0.5 - view.principalUPx) / view.focalPx;
      const scale = plane.focalPx / (y + across * right[1]);
      let toRight = (x + across * right[0]) * scale;
      let toUp = (z + across * right[2]) * scale;
      if (depthYards !== null) {
        // A point seen from off the centre: its depth is read where it would be, and once more where it then is.
        const [alongX, alongZ] = [toRight, toUp];
        for (let round = 0; round < 3; round++) {
          const column0 = Math.round(Math.min(most, Math.max(0, plane.principalUPx + toRight - 0.5)));
          const row0 = Math.round(Math.min(lowest, Math.max(0, plane.principalVPx - toUp - 0.5)));
          const depth = depthYards[row0 * stillColumns + column0]!;
          toRight = (offX * plane.focalPx + alongX * (depth - offY)) / depth;
          toUp = (offZ * plane.focalPx + alongZ * (depth - offY)) / depth;
        }
      }
      // The plane's samples sit at pixel centres, hence the half.
      const u = Math.min(most, Math.max(0, plane.principalUPx + toRight - 0.5));
      const v = Math.min(lowest, Math.max(0, plane.principalVPx - toUp - 0.5));
      const uFloor = Math.floor(u);
      const vFloor = Math.floor(v);
      const uPart = u - uFloor;
      const vPart = v - vFloor;
      const from = 3 * (vFloor * stillColumns + uFloor);
      const below = from + 3 * stillColumns;
      const w00 = (1 - uPart) * (1 - vPart);
      const w10 = uPart * (1 - vPart);
      const w01 = (1 - uPart) * vPart;
      const w11 = uPart * vPart;
      const to = 3 * (row * widthPx + column);
      rgb[to] = still[from]! * w00 + still[from + 3]! * w10 + still[below]! * w01 + still[below + 3]! * w11;
      rgb[to + 1] = still[from + 1]! * w00 + still[from + 4]! * w10 + still[below + 1]! * w01 + still[below + 4]! * w11;
      rgb[to + 2] = still[from + 2]! * w00 + still[from + 5]! * w10 + still[below + 2]! * w01 + still[below + 5]! * w11;
    }
  }
}

const grainLength = 1 << 16;
let grainTable: Float32Array | null = null;
function grainOf(): Float32Array {
  if (!grainTable) {
    const draw = seededDraw(1999);
    grainTable = Float32Array.from({ length: grainLength }, () => gaussian(draw));
  }
  return grainTable;
}

const grainSigma = 1.5;

/** A little fall-off toward the corners and the noise of a small sensor. */
function expose(picture: Picture, seed: number): void {
  const { rgb, widthPx, heightPx } = picture;
  const grain = grainOf();
  const draw = seededDraw(seed);
  const halfDiagonalSquared = (widthPx * widthPx + heightPx * heightPx) / 4;
  for (let row = 0; row < heightPx; row++) {
    let at = Math.floor(draw() * grainLength);
    const vSquared = (row - heightPx / 2) ** 2;
    for (let column = 0; column < widthPx; column++) {
      const radius = ((column - widthPx / 2) ** 2 + vSquared) / halfDiagonalSquared;
      const gain = 1.015 - 0.1 * radius * radius - 0.03 * radius;
      at = (at + 1) & (grainLength - 1);
      const noise = grainSigma * grain[at]!;
      const to = 3 * (row * widthPx + column);
      rgb[to] = rgb[to]! * gain + noise + 1;
      rgb[to + 1] = rgb[to + 1]! * gain + noise * 0.9;
      rgb[to + 2] = rgb[to + 2]! * gain + noise;
    }
  }
}
