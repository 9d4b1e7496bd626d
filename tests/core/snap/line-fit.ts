import { createRequire } from "node:module";
import { type ImagePoint, imagePoint } from "#core/field/units";

/** The calls of OpenCV (Apache-2.0, `@techstark/opencv-js`) that line fits are held against. */
type Mat = { readonly data32F: Float32Array; delete(): void };
type OpenCv = {
  readonly Mat?: new () => Mat;
  onRuntimeInitialized: () => void;
  readonly CV_32FC2: number;
  readonly DIST_L2: number;
  readonly DIST_WELSCH: number;
  matFromArray(rows: number, columns: number, type: number, values: readonly number[]): Mat;
  fitLine(points: Mat, line: Mat, distance: number, param: number, reps: number, aeps: number): void;
};

export type FittedLine = { readonly through: ImagePoint; readonly angleRadians: number };

export type LineFitter = {
  /** Total least squares, or with Welsch's robust weights. */
  fit(points: readonly ImagePoint[], robust: boolean): FittedLine;
};

/**
 * The module is a promise-like that resolves to itself, so awaiting it spins for ever: it is required, not imported, and
 * only ever held inside another object.
 */
export async function loadLineFitter(): Promise<LineFitter> {
  const holder = { cv: createRequire(import.meta.url)("@techstark/opencv-js") as OpenCv };
  if (holder.cv.Mat === undefined) {
    await new Promise<void>((resolve) => {
      holder.cv.onRuntimeInitialized = () => resolve();
    });
  }
  const { cv } = holder;
  return {
    fit(points, robust) {
      const from = cv.matFromArray(
        points.length,
        1,
        cv.CV_32FC2,
        points.flatMap(({ uPx, vPx }) => [uPx, vPx]),
      );
      const to = new cv.Mat!();
      cv.fitLine(from, to, robust ? cv.DIST_WELSCH : cv.DIST_L2, 0, 0.001, 0.001);
      const [du, dv, u, v] = to.data32F as unknown as [number, number, number, number];
      const line = { through: imagePoint(u, v), angleRadians: Math.atan2(dv, du) };
      from.delete();
      to.delete();
      return line;
    },
  };
}

/** Signed distance of a point from a fitted line. */
export function offFitted({ through, angleRadians }: FittedLine, point: ImagePoint): number {
  return (point.vPx - through.vPx) * Math.cos(angleRadians) - (point.uPx - through.uPx) * Math.sin(angleRadians);
}
