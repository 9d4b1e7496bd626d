import type { Homography } from "#core/field/homography";
import type { FieldPoint } from "#core/field/units";
import type { Planned, TestCamera } from "./cameras.ts";
import { ncaa } from "./cameras.ts";

/**
 * The least variance that any unbiased survey can have, from the truth and by another road than the solver's: eight
 * entries of H over the ninth, derivatives by central differences, the information matrix inverted by elimination.
 */
type Eight = readonly number[];

const full = (h: Eight): Homography => [...h, 1] as unknown as Homography;

function project(h: Homography, x: number, y: number): readonly [number, number] {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

function unproject(h: Homography, u: number, v: number): readonly [number, number] {
  // Two linear equations in x, y, solved by Cramer's rule: u (row 3) = (row 1), v (row 3) = (row 2).
  const [a, b, c] = [h[0] - u * h[6], h[1] - u * h[7], u * h[8] - h[2]];
  const [d, e, f] = [h[3] - v * h[6], h[4] - v * h[7], v * h[8] - h[5]];
  const det = a * e - b * d;
  return [(c * e - b * f) / det, (a * f - c * d) / det];
}

function derivative(at: Eight, of: (h: Homography) => readonly number[]): number[][] {
  const rows: number[][] = of(full(at)).map(() => []);
  at.forEach((entry, k) => {
    const step = 1e-6 * Math.max(Math.abs(entry), 1e-3);
    const moved = (by: number): readonly number[] => of(full(at.map((value, i) => (i === k ? value + by : value))));
    const [plus, minus] = [moved(step), moved(-step)];
    rows.forEach((row, i) => row.push((plus[i]! - minus[i]!) / (2 * step)));
  });
  return rows;
}

/** By Gauss and Jordan, rows and columns brought to like size first. */
export function inverse(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const scale = matrix.map((row, i) => 1 / Math.sqrt(row[i]!));
  const a = matrix.map((row, i) => [
    ...row.map((x, j) => x * scale[i]! * scale[j]!),
    ...row.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column; i < n; i++) if (Math.abs(a[i]![column]!) > Math.abs(a[pivot]![column]!)) pivot = i;
    [a[column], a[pivot]] = [a[pivot]!, a[column]!];
    const head = a[column]!;
    const lead = head[column]!;
    for (let j = 0; j < 2 * n; j++) head[j]! /= lead;
    a.forEach((row, i) => {
      if (i === column) return;
      const factor = row[column]!;
      for (let j = 0; j < 2 * n; j++) row[j]! -= factor * head[j]!;
    });
  }
  return a.map((row, i) => row.slice(n).map((x, j) => x * scale[i]! * scale[j]!));
}

/** Bound on the mean square ground error, sq yd, at each of the given field points, for clicks of `sigmaPx`. */
export function groundBounds(
  camera: TestCamera,
  planned: readonly Planned[],
  sigmaPx: number,
  at: readonly FieldPoint[],
): number[] {
  const truth = camera.h.slice(0, 8).map((entry) => entry / camera.h[8]);
  const rows: number[][] = [];
  for (const { stake, truth: clicks, line } of planned) {
    if (line === null && stake.kind === "point") {
      const { at: point } = ncaa.landmarks.find((landmark) => landmark.id === stake.landmarkId)!;
      rows.push(...derivative(truth, (h) => project(h, point.xYards, point.yYards)));
      continue;
    }
    for (const click of clicks) {
      // Across the line only: where along it a person clicked tells nothing.
      rows.push(
        ...derivative(truth, (h) => {
          const [x, y] = unproject(full(truth), click.uPx, click.vPx);
          const dx = line!.to.xYards - line!.from.xYards;
          const dy = line!.to.yYards - line!.from.yYards;
          const length = Math.hypot(dx, dy);
          const [u1, v1] = project(h, x - dx / length, y - dy / length);
          const [u2, v2] = project(h, x + dx / length, y + dy / length);
          return [((u2 - u1) * (click.vPx - v1) - (v2 - v1) * (click.uPx - u1)) / Math.hypot(u2 - u1, v2 - v1)];
        }),
      );
    }
  }
  const information = truth.map((_, i) =>
    truth.map((__, j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0) / sigmaPx ** 2),
  );
  const covariance = inverse(information);
  return at.map((point) => {
    const [u, v] = project(full(truth), point.xYards, point.yYards);
    return derivative(truth, (h) => unproject(h, u, v)).reduce(
      (sum, row) =>
        sum + row.reduce((inner, x, i) => inner + x * row.reduce((s, y, j) => s + covariance[i]![j]! * y, 0), 0),
      0,
    );
  });
}
