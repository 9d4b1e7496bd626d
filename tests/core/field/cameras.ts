import type { ImageSize } from "#core/field/camera";
import { type Homography, projectToImage } from "#core/field/homography";
import type { Sighting } from "#core/field/observations";
import type { Random } from "#core/field/random";
import type { Stake } from "#core/field/stake";
import { type FieldLayout, type FieldLine, layOut, templateById } from "#core/field/template";
import { type FieldPoint, type ImagePoint, fieldPoint, imageDistancePx, imagePoint } from "#core/field/units";

/** A pinhole with square pixels over the field, built from its place and aim: the truth that the solver is held against. */
export type TestCamera = {
  readonly name: string;
  readonly h: Homography;
  readonly image: ImageSize;
  readonly at: readonly [xYards: number, yYards: number, heightYards: number];
  readonly focalPx: number;
};

type Vector = readonly [number, number, number];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const unit = (a: Vector): Vector => {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
};

export function aimedCamera(
  name: string,
  at: Vector,
  aim: Vector,
  focalPx: number,
  image: ImageSize,
  rollRadians = 0,
): TestCamera {
  const forward = unit([aim[0] - at[0], aim[1] - at[1], aim[2] - at[2]]);
  const level = unit(cross(forward, [0, 0, 1]));
  const sunk = cross(forward, level);
  const [c, s] = [Math.cos(rollRadians), Math.sin(rollRadians)];
  // A camera that leans clockwise sees its own right side dip: right turns toward down.
  const right: Vector = [c * level[0] + s * sunk[0], c * level[1] + s * sunk[1], c * level[2] + s * sunk[2]];
  const down: Vector = cross(forward, right);
  const row = (axis: Vector): Vector => [axis[0], axis[1], -dot(axis, at)];
  const [r, d, f] = [row(right), row(down), row(forward)];
  const [cu, cv] = [image.widthPx / 2, image.heightPx / 2];
  const h: Homography = [
    focalPx * r[0] + cu * f[0],
    focalPx * r[1] + cu * f[1],
    focalPx * r[2] + cu * f[2],
    focalPx * d[0] + cv * f[0],
    focalPx * d[1] + cv * f[1],
    focalPx * d[2] + cv * f[2],
    f[0],
    f[1],
    f[2],
  ];
  return { name, h, image, at, focalPx };
}

const fullHd: ImageSize = { widthPx: 1920, heightPx: 1080 };
const hd: ImageSize = { widthPx: 1280, heightPx: 720 };
const midfield: Vector = [60, 80 / 3, 0];

/** Press box, tripod on the bank, phone at head height. The two at 720p see as wide an angle as the press box. */
export const pressBox = aimedCamera("press box", [60, -25, 12], midfield, 1500, fullHd);
export const tripod = aimedCamera("tripod", [60, -12, 2.5], midfield, 1000, hd);
export const phone = aimedCamera("phone", [60, -8, 1.8], midfield, 1000, hd);
export const testCameras: readonly TestCamera[] = [pressBox, tripod, phone];

export const ncaa: FieldLayout = layOut(templateById("ncaa")!);

export function see(camera: TestCamera, point: FieldPoint): ImagePoint {
  const image = projectToImage(camera.h, point);
  if (image === null) throw new Error("a test looked at a point behind its camera");
  return image;
}

export function inFrame(camera: TestCamera, point: FieldPoint): boolean {
  const image = projectToImage(camera.h, point);
  if (image === null) return false;
  const { uPx: u, vPx: v } = image;
  return u >= 0 && v >= 0 && u <= camera.image.widthPx && v <= camera.image.heightPx;
}

export function noisy(random: Random, point: ImagePoint, sigmaPx: number): ImagePoint {
  return imagePoint(point.uPx + sigmaPx * random.normal(), point.vPx + sigmaPx * random.normal());
}

/** Field points evenly laid over what the camera sees of the field. */
export function visibleGrid(camera: TestCamera, layout: FieldLayout, pitchYards: number): FieldPoint[] {
  const points: FieldPoint[] = [];
  for (let x = 0; x <= layout.totalLengthYards; x += pitchYards) {
    for (let y = 0; y <= layout.widthYards; y += pitchYards) {
      const point = fieldPoint(x, y);
      if (inFrame(camera, point)) points.push(point);
    }
  }
  return points;
}

/** One stake without noise: `truth` holds where its clicks belong. */
export type Planned = { readonly stake: Stake; readonly truth: readonly ImagePoint[]; readonly line: FieldLine | null };

const along = (line: FieldLine, t: number): FieldPoint =>
  fieldPoint(
    line.from.xYards + t * (line.to.xYards - line.from.xYards),
    line.from.yYards + t * (line.to.yYards - line.from.yYards),
  );

/**
 * Stakes spread over the frame as a person is told to: the first landmark at random, each next one farthest in the
 * image from those taken; lines of both directions in turn, three clicks each over their visible part.
 */
export function planStakes(
  random: Random,
  camera: TestCamera,
  layout: FieldLayout,
  pointCount: number,
  lineCount: number,
  sigmaPx: number,
): Planned[] {
  const planned: Planned[] = [];
  const open = layout.landmarks.filter((landmark) => inFrame(camera, landmark.at));
  const taken: ImagePoint[] = [];
  while (planned.length < pointCount && open.length > 0) {
    let best = random.below(open.length);
    if (taken.length > 0) {
      let farthest = -1;
      open.forEach((landmark, i) => {
        const here = see(camera, landmark.at);
        const nearest = Math.min(...taken.map((other) => imageDistancePx(here, other)));
        if (nearest > farthest) {
          farthest = nearest;
          best = i;
        }
      });
    }
    const [landmark] = open.splice(best, 1);
    const click = see(camera, landmark!.at);
    taken.push(click);
    const stake: Stake = { kind: "point", id: `p${planned.length}`, landmarkId: landmark!.id, click, sigmaPx };
    planned.push({ stake, truth: [click], line: null });
  }
  const families = [
    ["yard-line", "goal-line", "end-line"],
    ["sideline", "hash-row", "number-row"],
  ].map((kinds) => layout.lines.filter((line) => kinds.includes(line.kind)));
  for (let i = 0; i < lineCount; i++) {
    const family = families[i % 2]!;
    while (family.length > 0) {
      const [line] = family.splice(random.below(family.length), 1);
      const seen: number[] = [];
      for (let t = 0; t <= 1; t += 1 / 256) if (inFrame(camera, along(line!, t))) seen.push(t);
      if (seen.length < 8) continue;
      const truth = [0.05, 0.5, 0.95].map((share) =>
        see(camera, along(line!, seen[0]! + share * (seen.at(-1)! - seen[0]!))),
      );
      const stake: Stake = { kind: "line", id: `l${i}`, lineId: line!.id, clicks: truth, sigmaPx };
      planned.push({ stake, truth, line: line! });
      break;
    }
  }
  return planned;
}

/** The planned stakes as a hand would click them. */
export function clicked(random: Random, planned: readonly Planned[], sigmaPx: number): Stake[] {
  return planned.map(({ stake, truth }): Stake => {
    const clicks = truth.map((point) => noisy(random, point, sigmaPx));
    return stake.kind === "point" ? { ...stake, click: clicks[0]! } : { ...stake, clicks };
  });
}

export function sightingsOf(layout: FieldLayout, stakes: readonly Stake[]): Sighting[] {
  return stakes.map((stake): Sighting => {
    const { sigmaPx } = stake;
    if (stake.kind === "point") {
      const landmark = layout.landmarks.find((candidate) => candidate.id === stake.landmarkId)!;
      return { kind: "point", at: landmark.at, click: stake.click, sigmaPx };
    }
    const line = layout.lines.find((candidate) => candidate.id === stake.lineId)!;
    return { kind: "line", from: line.from, to: line.to, clicks: stake.clicks, sigmaPx };
  });
}
