import { createRequire } from "node:module";
import type { Homography } from "#core/field/homography";

/** The few calls of OpenCV (Apache-2.0, `@techstark/opencv-js`) that the geometry is held against. */
type Mat = { readonly data64F: Float64Array; delete(): void };
type OpenCv = {
  readonly Mat?: unknown;
  onRuntimeInitialized: () => void;
  readonly CV_32FC2: number;
  matFromArray(rows: number, columns: number, type: number, values: readonly number[]): Mat;
  findHomography(from: Mat, to: Mat, method: number): Mat;
};

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
  matches(from: readonly (readonly [number, number])[], to: readonly (readonly [number, number])[]): Matches;
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
  const matOf = (points: readonly (readonly [number, number])[]): Mat =>
    cv.matFromArray(points.length, 1, cv.CV_32FC2, points.flat());
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
  };
}
