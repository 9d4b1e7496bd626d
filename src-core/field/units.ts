/**
 * Points and units of the three frames used everywhere. A bare number names its unit; a point is made only by its
 * constructor here, so that pixels cannot be handed to a function that wants yards.
 *
 * - Field frame, yards: origin at the near-left outer corner of the end zone, x along the length, y across, z up.
 *   "Near" is the press-box side and left is as seen from there. Boundary lines are measured at their inside edges.
 * - Image frame, pixels of the film's displayed size: origin at the top left corner of the top left pixel (its centre
 *   is 0.5, 0.5), u to the right, v down.
 * - Screen frame, CSS pixels of the window.
 */
declare const frame: unique symbol;

export type FieldPoint = { readonly xYards: number; readonly yYards: number; readonly [frame]?: "field" };
export type ImagePoint = { readonly uPx: number; readonly vPx: number; readonly [frame]?: "image" };
export type ScreenPoint = { readonly xPx: number; readonly yPx: number; readonly [frame]?: "screen" };

export function fieldPoint(xYards: number, yYards: number): FieldPoint {
  return { xYards, yYards };
}

export function imagePoint(uPx: number, vPx: number): ImagePoint {
  return { uPx, vPx };
}

export function screenPoint(xPx: number, yPx: number): ScreenPoint {
  return { xPx, yPx };
}

export function fieldDistanceYards(a: FieldPoint, b: FieldPoint): number {
  return Math.hypot(a.xYards - b.xYards, a.yYards - b.yYards);
}

export function imageDistancePx(a: ImagePoint, b: ImagePoint): number {
  return Math.hypot(a.uPx - b.uPx, a.vPx - b.vPx);
}

/** Ends a switch over a closed union: the compiler complains here when a case is missing. */
export function assertNever(value: never): never {
  throw new Error(`unexpected value: ${JSON.stringify(value)}`);
}
