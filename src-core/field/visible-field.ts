import type { ImageSize } from "./camera.ts";
import type { Homography } from "./homography.ts";
import { type FieldPoint, fieldPoint } from "./units.ts";

/** a u + b v + c = 0 with (a, b) of unit length: positive, in pixels from the line, on the ground side. */
export type Horizon = { readonly a: number; readonly b: number; readonly c: number };

/** The image of the ground's line at infinity; null for a camera that looks straight down. */
export function horizonOf(inverse: Homography): Horizon | null {
  const length = Math.hypot(inverse[6], inverse[7]);
  if (!(length > 1e-15 * Math.abs(inverse[8]))) return null;
  return { a: inverse[6] / length, b: inverse[7] / length, c: inverse[8] / length };
}

/**
 * The part of the field that lies in the frame, as a convex polygon in field yards; empty when none does.
 *
 * "In front of the camera" and "inside each edge of the frame" are five half-planes of the field itself (u ≥ 0 is
 * (row 1 of H) · X ≥ 0 where w > 0), so the field's rectangle is clipped on the ground and no horizon gets in the way.
 */
export function visibleField(
  h: Homography,
  field: { readonly lengthYards: number; readonly widthYards: number },
  image: ImageSize,
): FieldPoint[] {
  const { lengthYards: length, widthYards: width } = field;
  let polygon: [number, number][] = [
    [0, 0],
    [length, 0],
    [length, width],
    [0, width],
  ];
  const { widthPx, heightPx } = image;
  const nearest = 1e-9 * (Math.abs(h[6]) * length + Math.abs(h[7]) * width + Math.abs(h[8]));
  const edges: [number, number, number][] = [
    [h[6], h[7], h[8] - nearest],
    [h[0], h[1], h[2]],
    [widthPx * h[6] - h[0], widthPx * h[7] - h[1], widthPx * h[8] - h[2]],
    [h[3], h[4], h[5]],
    [heightPx * h[6] - h[3], heightPx * h[7] - h[4], heightPx * h[8] - h[5]],
  ];
  for (const [a, b, c] of edges) {
    const kept: [number, number][] = [];
    for (let i = 0; i < polygon.length; i++) {
      const [px, py] = polygon[i]!;
      const [qx, qy] = polygon[(i + 1) % polygon.length]!;
      const p = a * px + b * py + c;
      const q = a * qx + b * qy + c;
      if (p >= 0) kept.push([px, py]);
      if (p >= 0 !== q >= 0) {
        const t = p / (p - q);
        kept.push([px + t * (qx - px), py + t * (qy - py)]);
      }
    }
    polygon = kept;
  }
  return polygon.map(([x, y]) => fieldPoint(x, y));
}
