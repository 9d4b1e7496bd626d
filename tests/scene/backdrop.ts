import { createCanvas, type SKRSContext2D } from "@napi-rs/canvas";
import { bodyOf, looksFor, type Stance } from "./figures.ts";
import type { Kit } from "./kits.ts";
import { rayThrough, viewOf, type PinholeCamera, type View } from "./pinhole.ts";
import { addGroundRow, bankYards, conePositions } from "./pitch.ts";
import { coneBody } from "./props.ts";
import { drawBody } from "./ray-casting.ts";
import { paintScenery } from "./scenery.ts";
import { noiseTile, readNoise, seededDraw } from "./seeded.ts";
import { castShadow } from "./shadows.ts";
import type { Body, Picture } from "./solids.ts";

/**
 * Everything that does not move, ray-cast once. A tripod camera keeps its centre, so the still world is painted on one
 * plane parallel to the sidelines (an image of a level camera looking straight across) and each frame reads it through
 * its own pan, tilt and zoom: exact for every direction, and cheap.
 */
export type Backdrop = {
  /** The level camera whose picture this is; its principal point need not lie in the middle. */
  readonly view: View;
  readonly rgb: Uint8Array<SharedArrayBuffer>;
  /**
   * How far beyond the centre, along y, what each pixel shows stands; for cameras held by hand, whose centres lie a few
   * centimetres about the backdrop's. Null when all cameras have its centre.
   */
  readonly depthYards: Float32Array | null;
};

/** Farther than anything that stands. */
const skyYards = 1e6;
/** A hand's sway is inches; reading the backdrop from farther off would show holes behind what stands in front. */
const farthestOffYards = 0.2;

const oversample = 1.45;
const rowSamples = 4;

/** @param cameras every camera that will look at the backdrop: all of one centre, or held by hand close about it. */
export function paintBackdrop(cameras: readonly PinholeCamera[]): Backdrop {
  const start = cameras[0];
  if (!start) throw new Error("a backdrop needs a camera");
  const held = cameras.some(
    ({ xYards, yYards, zYards }) => xYards !== start.xYards || yYards !== start.yYards || zYards !== start.zYards,
  );
  const first = held ? middleOf(cameras) : start;
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const camera of cameras) {
    const off = Math.hypot(camera.xYards - first.xYards, camera.yYards - first.yYards, camera.zYards - first.zYards);
    if (off > farthestOffYards) throw new Error("one backdrop serves one camera centre");
    const view = viewOf(camera);
    for (const u of [0, camera.widthPx / 2, camera.widthPx]) {
      for (const v of [0, camera.heightPx]) {
        const ray = rayThrough(view, u, v);
        if (ray[1] <= 0.05) throw new Error("the camera looks along the field, where the backdrop plane ends");
        left = Math.min(left, ray[0] / ray[1]);
        right = Math.max(right, ray[0] / ray[1]);
        low = Math.min(low, ray[2] / ray[1]);
        high = Math.max(high, ray[2] / ray[1]);
      }
    }
  }
  const focalPx = oversample * Math.max(...cameras.map((camera) => camera.focalPx));
  const margin = held ? 24 : 4;
  const widthPx = Math.ceil((right - left) * focalPx) + 2 * margin;
  const heightPx = Math.ceil((high - low) * focalPx) + 2 * margin;
  const view: View = {
    centre: [first.xYards, first.yYards, first.zYards],
    right: [1, 0, 0],
    up: [0, 0, 1],
    forward: [0, 1, 0],
    focalPx,
    principalUPx: margin - left * focalPx,
    principalVPx: margin + high * focalPx,
    widthPx,
    heightPx,
  };
  const canvas = createCanvas(widthPx, heightPx);
  const context = canvas.getContext("2d");
  const image = context.createImageData(widthPx, heightPx);
  const depthYards = held ? new Float32Array(widthPx * heightPx) : null;
  paintGroundAndSky(view, image.data, depthYards);
  context.putImageData(image, 0, 0);
  if (depthYards === null) paintScenery((yYards, paint) => onPlane(context, view, yYards, paint));
  else paintSceneryWithDepth(context, view, depthYards);
  const painted = context.getImageData(0, 0, widthPx, heightPx).data;
  const rgb = new Uint8Array(new SharedArrayBuffer(widthPx * heightPx * 3));
  for (let i = 0; i < widthPx * heightPx; i++) {
    rgb[3 * i] = painted[4 * i]!;
    rgb[3 * i + 1] = painted[4 * i + 1]!;
    rgb[3 * i + 2] = painted[4 * i + 2]!;
  }
  const picture: Picture = { widthPx, heightPx, rgb };
  const still = [
    ...benches(),
    ...conePositions.filter((cone) => cone.yYards > 20).map((cone) => coneBody("", cone.xYards, cone.yYards)),
  ];
  still.sort((a, b) => b.solids[0]!.a[1] - a.solids[0]!.a[1]);
  for (const body of still) castShadow(picture, view, body);
  for (const body of still) {
    const before = depthYards === null ? null : rgb.slice();
    drawBody(picture, view, body);
    if (depthYards === null || before === null) continue;
    const depth = body.solids[0]!.a[1] - view.centre[1];
    for (let i = 0; i < rgb.length; i++) if (rgb[i] !== before[i]) depthYards[Math.floor(i / 3)] = depth;
  }
  return { view, rgb, depthYards };
}

function middleOf(cameras: readonly PinholeCamera[]): { xYards: number; yYards: number; zYards: number } {
  const mean = (of: (camera: PinholeCamera) => number): number =>
    cameras.reduce((sum, camera) => sum + of(camera), 0) / cameras.length;
  return {
    xYards: mean((camera) => camera.xYards),
    yYards: mean((camera) => camera.yYards),
    zYards: mean((camera) => camera.zYards),
  };
}

/** As painted straight on, but layer by layer, so that each layer's own depth is known where it covers. */
function paintSceneryWithDepth(context: SKRSContext2D, view: View, depthYards: Float32Array): void {
  const { widthPx, heightPx } = view;
  const layer = createCanvas(widthPx, heightPx);
  const onLayer = layer.getContext("2d");
  paintScenery((yYards, paint) => {
    onLayer.clearRect(0, 0, widthPx, heightPx);
    onPlane(onLayer, view, yYards, paint);
    context.drawImage(layer, 0, 0);
    const { data } = onLayer.getImageData(0, 0, widthPx, heightPx);
    for (let i = 0; i < depthYards.length; i++) if (data[4 * i + 3]! > 127) depthYards[i] = yYards - view.centre[1];
  });
}

function onPlane(context: SKRSContext2D, view: View, yYards: number, paint: (context: SKRSContext2D) => void): void {
  const scale = view.focalPx / (yYards - view.centre[1]);
  context.setTransform(
    scale,
    0,
    0,
    -scale,
    view.principalUPx - view.centre[0] * scale,
    view.principalVPx + view.centre[2] * scale,
  );
  paint(context);
  context.setTransform(1, 0, 0, 1, 0, 0);
}

function paintGroundAndSky(view: View, data: Uint8ClampedArray, depthYards: Float32Array | null): void {
  const { widthPx, heightPx, focalPx, centre } = view;
  const sum = new Float32Array(widthPx * 3);
  const cover = new Float32Array(widthPx);
  const clouds = [noiseTile(501), noiseTile(502)] as const;
  const slope = bankYards.topZYards / (bankYards.to - bankYards.from);
  for (let row = 0; row < heightPx; row++) {
    sum.fill(0);
    for (let sub = 0; sub < rowSamples; sub++) {
      const rise = (view.principalVPx - row - (sub + 0.5) / rowSamples) / focalPx;
      let along = rise < -1e-4 ? -centre[2] / rise : Infinity;
      if (centre[1] + along > bankYards.from) {
        along = (slope * (centre[1] - bankYards.from) - centre[2]) / (rise - slope);
        if (rise >= slope || along < 0 || centre[1] + along > bankYards.to) {
          along = rise < -1e-4 ? (bankYards.topZYards - centre[2]) / rise : Infinity;
        }
      }
      if (sub === rowSamples / 2) {
        const depth = Math.min(along, skyYards);
        depthYards?.fill(depth, row * widthPx, (row + 1) * widthPx);
      }
      if (along > 700) {
        addSkyRow(sum, view, rise, clouds, 1 / rowSamples);
        continue;
      }
      const footY = (along * along) / (Math.max(1, centre[2]) * focalPx) / rowSamples;
      const x0 = centre[0] + (along * (0.5 - view.principalUPx)) / focalPx;
      addGroundRow(sum, 1 / rowSamples, x0, along / focalPx, centre[1] + along, footY, cover);
    }
    for (let column = 0; column < widthPx; column++) {
      const at = 4 * (row * widthPx + column);
      data[at] = sum[3 * column]!;
      data[at + 1] = sum[3 * column + 1]!;
      data[at + 2] = sum[3 * column + 2]!;
      data[at + 3] = 255;
    }
  }
}

/** Pale at the horizon, bluer above, with flat-bottomed fair-weather cloud. */
function addSkyRow(
  sum: Float32Array,
  view: View,
  rise: number,
  clouds: readonly [Float32Array, Float32Array],
  weight: number,
): void {
  const height = Math.min(1, Math.max(0, rise) / 0.32);
  const shade = height ** 0.7;
  for (let column = 0; column < view.widthPx; column++) {
    const across = (column + 0.5 - view.principalUPx) / view.focalPx;
    const far = 1 / (Math.max(0, rise) + 0.09);
    const x = across * far * 2.1;
    const y = far * 2.6;
    let billow = 0;
    let size = 1;
    for (let octave = 0; octave < 5; octave++) {
      billow +=
        size *
        readNoise(clouds[octave % 2 === 0 ? 0 : 1], x * (0.34 / size) + 31 * octave, y * (0.34 / size) + 17 * octave);
      size *= 0.55;
    }
    const cloud = Math.min(1, Math.max(0, (billow - 0.12) * 1.15)) * Math.min(1, 0.25 + height * 2.2);
    const lit = 0.92 + 0.08 * Math.min(1, Math.max(0, billow - 0.4));
    const red = 214 - 92 * shade;
    const green = 226 - 58 * shade;
    const blue = 230 - 14 * shade;
    sum[3 * column] = sum[3 * column]! + weight * (red + (253 * lit - red) * cloud);
    sum[3 * column + 1] = sum[3 * column + 1]! + weight * (green + (251 * lit - green) * cloud);
    sum[3 * column + 2] = sum[3 * column + 2]! + weight * (blue + (247 * lit - blue) * cloud);
  }
}

/** Substitutes and coaches of both teams along the far side, behind the officials' lane. */
function benches(): Body[] {
  const draw = seededDraw(606);
  const stances: Stance[] = ["stand", "hips", "folded", "stand", "knees", "folded"];
  const groups: { kit: Kit; from: number; count: number }[] = [
    { kit: "herons", from: 13.5, count: 5 },
    { kit: "lanterns", from: 79.5, count: 5 },
  ];
  return groups.flatMap(({ kit, from, count }) =>
    Array.from({ length: count + 1 }, (_, i) =>
      bodyOf(`bench-${kit}-${i}`, looksFor(i === 2 ? "coach" : kit, i === 2 ? null : 40 + i, "bench", i), {
        xYards: from + i * 1.9 + 0.7 * draw(),
        yYards: 44 + 1.1 * draw(),
        facingRadians: -Math.PI / 2 + (draw() - 0.5) * 0.9,
        speedYardsPerSec: 0,
        travelRadians: 0,
        gaitCycles: 0,
        stance: stances[i % stances.length]!,
        clockSec: i,
      }),
    ),
  );
}
