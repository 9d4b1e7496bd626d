import type { ImageSize } from "./camera.ts";
import type { Sighting } from "./observations.ts";
import { type Pose, poseOf } from "./pinhole-pose.ts";
import { principalAxes } from "./small-linear-algebra.ts";

/**
 * Where a camera at a known place looks, in closed form from pairs of stakes.
 *
 * Each stake is one direction both in the field and in the camera: a point the ray to it, a line the normal of the plane
 * through the camera and the line. The camera's side depends on the focal length f, and the angle between two
 * directions, equal on both sides, is quadratic in f². Two directions with f give the turn.
 */
type Vector = readonly [number, number, number];

type Direction = {
  /** Unit vector in field axes. */
  readonly field: Vector;
  /** In camera axes (right, down, forward), not of unit length: constant + f · perFocal, the two at right angles. */
  readonly constant: Vector;
  readonly perFocal: Vector;
};

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Vector): Vector => {
  const length = Math.sqrt(dot(a, a));
  return [a[0] / length, a[1] / length, a[2] / length];
};

function directionOf(sighting: Sighting, place: Vector, image: ImageSize): Direction | null {
  const [cu, cv] = [image.widthPx / 2, image.heightPx / 2];
  const toward = (x: number, y: number): Vector => [x - place[0], y - place[1], -place[2]];
  if (sighting.kind === "point") {
    const { at, click } = sighting;
    return {
      field: unit(toward(at.xYards, at.yYards)),
      constant: [click.uPx - cu, click.vPx - cv, 0],
      perFocal: [0, 0, 1],
    };
  }
  const { clicks, from, to } = sighting;
  const n = clicks.length;
  if (n < 2) return null;
  const u = clicks.reduce((sum, click) => sum + click.uPx - cu, 0) / n;
  const v = clicks.reduce((sum, click) => sum + click.vPx - cv, 0) / n;
  let [uu, uv, vv] = [0, 0, 0];
  for (const click of clicks) {
    const [du, dv] = [click.uPx - cu - u, click.vPx - cv - v];
    uu += du * du;
    uv += du * dv;
    vv += dv * dv;
  }
  const { angleRadians } = principalAxes(uu, uv, vv);
  // The image line a u + b v + c = 0 is the plane with normal (a f, b f, c) in camera axes.
  const [a, b] = [-Math.sin(angleRadians), Math.cos(angleRadians)];
  return {
    field: unit(cross(toward(from.xYards, from.yYards), toward(to.xYards, to.yYards))),
    constant: [0, 0, -(a * u + b * v)],
    perFocal: [a, b, 0],
  };
}

/** Focal lengths, px, at which two directions enclose the angle that they enclose in the field. */
function focalsOf(a: Direction, b: Direction): number[] {
  // With F = f²: (p + q F)² · r = cos² (m + n F)(k + l F), r being F where a point meets a line and 1 otherwise.
  const square = (d: Direction): readonly [number, number] => [
    dot(d.constant, d.constant),
    dot(d.perFocal, d.perFocal),
  ];
  const [m, n] = square(a);
  const [k, l] = square(b);
  const cos = dot(a.field, b.field);
  const c = cos * cos;
  const even = dot(a.constant, b.constant);
  const odd = dot(a.constant, b.perFocal) + dot(a.perFocal, b.constant);
  const last = dot(a.perFocal, b.perFocal);
  const mixed = odd !== 0;
  const q2 = (mixed ? 0 : last * last) - c * n * l;
  const q1 = (mixed ? odd * odd : 2 * even * last) - c * (m * l + n * k);
  const q0 = (mixed ? 0 : even * even) - c * m * k;
  const root = q1 * q1 - 4 * q2 * q0;
  if (!(root >= 0)) return [];
  const t = -(q1 + (q1 < 0 ? -1 : 1) * Math.sqrt(root)) / 2;
  return [t / q2, q0 / t].filter((f) => f > 0 && Number.isFinite(f)).map(Math.sqrt);
}

/** The turn that takes two field directions to two camera directions: the first exactly, the second as nearly as it can. */
function turned(a: Direction, b: Direction, focalPx: number, signA: number, signB: number, place: Vector): Pose | null {
  const seen = (d: Direction, sign: number): Vector => [
    sign * (d.constant[0] + d.perFocal[0] * focalPx),
    sign * (d.constant[1] + d.perFocal[1] * focalPx),
    sign * (d.constant[2] + d.perFocal[2] * focalPx),
  ];
  const frame = (p: Vector, q: Vector): readonly [Vector, Vector, Vector] => {
    const first = unit(p);
    const second = unit(cross(p, q));
    return [first, second, cross(first, second)];
  };
  const camera = frame(seen(a, signA), seen(b, signB));
  const field = frame(a.field, b.field);
  if (!camera[1].every(Number.isFinite) || !field[1].every(Number.isFinite)) return null;
  const axis = (i: 0 | 1 | 2): Vector => [
    camera[0][i] * field[0][0] + camera[1][i] * field[1][0] + camera[2][i] * field[2][0],
    camera[0][i] * field[0][1] + camera[1][i] * field[1][1] + camera[2][i] * field[2][1],
    camera[0][i] * field[0][2] + camera[1][i] * field[1][2] + camera[2][i] * field[2][2],
  ];
  return poseOf(place, axis(0), axis(1), axis(2), focalPx);
}

/** Focal lengths, in image widths, tried where a pair's angle does not tell one. */
const usualWidths = [0.5, 0.8, 1.3, 2, 3.2, 5];
/** Pairs among this many stakes are tried: enough that one sound pair is among them. */
const triedStakes = 4;

/** Poses at the place to start a refinement from; some of them look the wrong way or stand on their head. */
export function startingPoses(sightings: readonly Sighting[], place: Vector, image: ImageSize): Pose[] {
  const directions = sightings
    .map((sighting) => directionOf(sighting, place, image))
    .filter((direction) => direction !== null)
    .slice(0, triedStakes);
  const poses: Pose[] = [];
  for (let i = 0; i < directions.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = directions[j]!;
      const b = directions[i]!;
      for (const focalPx of [...focalsOf(a, b), ...usualWidths.map((widths) => widths * image.widthPx)]) {
        // A line's normal has no sign of its own; a ray has.
        for (const signA of a.perFocal[2] === 1 ? [1] : [1, -1]) {
          for (const signB of b.perFocal[2] === 1 ? [1] : [1, -1]) {
            const pose = turned(a, b, focalPx, signA, signB, place);
            if (pose !== null) poses.push(pose);
          }
        }
      }
    }
  }
  return poses;
}
