import type { Vector3 } from "./pinhole.ts";

/** Small vector steps, the pace of a gait, and the two-bone limb. */

export const add = (a: Vector3, b: Vector3, scale = 1): Vector3 => [
  a[0] + scale * b[0],
  a[1] + scale * b[1],
  a[2] + scale * b[2],
];
export const mix = (a: Vector3, b: Vector3, share: number): Vector3 =>
  add([a[0] * (1 - share), a[1] * (1 - share), a[2] * (1 - share)], b, share);
export const up: Vector3 = [0, 0, 1];
export const ease = (low: number, high: number, value: number): number => {
  const part = Math.min(1, Math.max(0, (value - low) / (high - low)));
  return part * part * (3 - 2 * part);
};

/** Yards covered by one gait cycle (two steps) at a speed. */
export function cycleYards(speedYardsPerSec: number): number {
  return 1.05 + 0.42 * speedYardsPerSec;
}

/** Middle joint of a two-bone limb, bent toward `pole`. Reaches that are too long straighten the limb. */
export function joint(
  root: Vector3,
  tip: Vector3,
  upper: number,
  lower: number,
  pole: Vector3,
): { middle: Vector3; tip: Vector3 } {
  const span: Vector3 = add(tip, root, -1);
  const length = Math.max(1e-6, Math.hypot(...span));
  const along: Vector3 = [span[0] / length, span[1] / length, span[2] / length];
  const reach = Math.min(length, (upper + lower) * 0.999);
  const near = (upper * upper - lower * lower + reach * reach) / (2 * reach);
  const aside = Math.sqrt(Math.max(0, upper * upper - near * near));
  const toward = pole[0] * along[0] + pole[1] * along[1] + pole[2] * along[2];
  const bend = add(pole, along, -toward);
  const bendLength = Math.max(1e-6, Math.hypot(...bend));
  return { middle: add(add(root, along, near), bend, aside / bendLength), tip: add(root, along, reach) };
}
