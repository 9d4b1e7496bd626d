import { createRequire } from "node:module";
import type { Homography } from "#core/field/homography";

/** The few calls of OpenCV (Apache-2.0, `@techstark/opencv-js`) that the geometry is held against. */
type Mat = { readonly data64F: Float64Array; delete(): void };
type OpenCv = {
  readonly Mat?: new () => Mat;
  onRuntimeInitialized: () => void;
  readonly CV_32FC2: number;
  readonly CV_64F: number;
  readonly CV_64FC2: number;
  readonly CV_64FC3: number;
  matFromArray(rows: number, columns: number, type: number, values: readonly number[]): Mat;
  findHomography(from: Mat, to: Mat, method: number): Mat;
  projectPoints(points: Mat, rotation: Mat, shift: Mat, camera: Mat, bend: Mat, to: Mat): void;
  solvePnP(
    points: Mat,
    to: Mat,
    camera: Mat,
    bend: Mat,
    rotation: Mat,
    shift: Mat,
    guessed: boolean,
    method: number,
  ): boolean;
  Rodrigues(rotation: Mat, to: Mat): void;
};

type Pair = readonly [number, number];
type Triple = readonly [number, number, number];

/** A camera by its focal length and middle, px, and its bend (k1, k2, p1, p2, k3, on distances over the focal length). */
export type VisionCamera = { readonly focalPx: number; readonly middle: Pair; readonly bend: readonly number[] };

/** Rows of `rotation` are the camera's right, down and forward in field axes; `place` is its centre. */
export type VisionPose = { readonly rotation: readonly number[]; readonly place: Triple };

export type Matches = {
  /** Least squares over all matches (method 0): linear start, then its own Levenberg and Marquardt. */
  solve(): Homography;
  free(): void;
};

/**
 * OpenCV rounds points to 32-bit floats inside, so callers pass numbers that are such floats already. Coordinates are
 * taken as they are: a homography between the same numbers does not depend on where a pixel's centre is said to be.
 */
export type Vision = {
  matches(from: readonly Pair[], to: readonly Pair[]): Matches;
  /** Where the camera's film shows the straight pixels (those of the same camera without its bend). */
  bent(camera: VisionCamera, straight: readonly Pair[]): Pair[];
  /** The pose with the least reprojection error on points of the ground, refined from the given one. */
  pose(camera: VisionCamera, from: readonly Pair[], to: readonly Pair[], start: VisionPose): VisionPose;
};

/**
 * The module is a promise-like that resolves to itself, so awaiting it spins for ever: it is required, not imported, and
 * only ever held inside another object.
 */
export async function loadVision(): Promise<Vision> {
  const holder = { cv: createRequire(import.meta.url)("@techstark/opencv-js") as OpenCv };
  if (holder.cv.Mat === undefined) {
    await new Promise<void>((resolve) => {
      holder.cv.onRuntimeInitialized = () => resolve();
    });
  }
  const { cv } = holder;
  const matOf = (points: readonly Pair[]): Mat => cv.matFromArray(points.length, 1, cv.CV_32FC2, points.flat());
  return {
    matches(from, to) {
      const a = matOf(from);
      const b = matOf(to);
      return {
        solve() {
          const h = cv.findHomography(a, b, 0);
          const entries = Array.from(h.data64F) as unknown as Homography;
          h.delete();
          return entries;
        },
        free() {
          a.delete();
          b.delete();
        },
      };
    },
    bent(camera, straight) {
      const { focalPx, middle, bend } = camera;
      const rays = straight.flatMap(([u, v]) => [(u - middle[0]) / focalPx, (v - middle[1]) / focalPx, 1]);
      const mats = [
        cv.matFromArray(straight.length, 1, cv.CV_64FC3, rays),
        cv.matFromArray(3, 1, cv.CV_64F, [0, 0, 0]),
        cv.matFromArray(3, 1, cv.CV_64F, [0, 0, 0]),
        cv.matFromArray(3, 3, cv.CV_64F, matrixOf(camera)),
        cv.matFromArray(bend.length, 1, cv.CV_64F, bend),
        new cv.Mat!(),
      ] as const;
      cv.projectPoints(...mats);
      const flat = Array.from(mats[5].data64F);
      for (const mat of mats) mat.delete();
      return straight.map((_, i) => [flat[2 * i]!, flat[2 * i + 1]!] as const);
    },
    pose(camera, from, to, start) {
      const turn = cv.matFromArray(3, 3, cv.CV_64F, start.rotation);
      const rotation = new cv.Mat!();
      cv.Rodrigues(turn, rotation);
      const shift = cv.matFromArray(3, 1, cv.CV_64F, shiftOf(start));
      const mats = [
        cv.matFromArray(
          from.length,
          1,
          cv.CV_64FC3,
          from.flatMap(([x, y]) => [x, y, 0]),
        ),
        cv.matFromArray(to.length, 1, cv.CV_64FC2, to.flat()),
        cv.matFromArray(3, 3, cv.CV_64F, matrixOf(camera)),
        cv.matFromArray(camera.bend.length, 1, cv.CV_64F, camera.bend),
      ] as const;
      const iterative = 0;
      cv.solvePnP(...mats, rotation, shift, true, iterative);
      cv.Rodrigues(rotation, turn);
      const r = Array.from(turn.data64F);
      const t = Array.from(shift.data64F);
      for (const mat of [...mats, turn, rotation, shift]) mat.delete();
      const back = (j: number): number => -(r[j]! * t[0]! + r[3 + j]! * t[1]! + r[6 + j]! * t[2]!);
      return { rotation: r, place: [back(0), back(1), back(2)] };
    },
  };
}

function matrixOf({ focalPx, middle }: VisionCamera): number[] {
  return [focalPx, 0, middle[0], 0, focalPx, middle[1], 0, 0, 1];
}

function shiftOf({ rotation, place }: VisionPose): number[] {
  return [0, 1, 2].map((i) => -[0, 1, 2].reduce((sum, j) => sum + rotation[3 * i + j]! * place[j]!, 0));
}
