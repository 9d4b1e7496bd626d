import { projectToImage } from "../field/homography.ts";
import type { Survey } from "../field/survey.ts";
import { fieldPoint } from "../field/units.ts";
import type { GroundEdge } from "./anchor-picture.ts";

/** Ground beyond the field that is still taken to lie flat: benches, a track, and then a fence. */
const apronYards = 10;
const samplesPerEdge = 24;

/**
 * Where, in a surveyed frame, the ground ends and what stands behind it begins, film pixels: a line along the horizon,
 * just above the farthest of the field and its apron that the frame shows. Null when the frame shows no horizon side.
 */
export function groundEdgeOf(survey: Survey): GroundEdge | null {
  const { horizon, field, image, homography } = survey;
  if (horizon === null) return null;
  const [x0, x1] = [-apronYards, field.lengthYards + apronYards];
  const [y0, y1] = [-apronYards, field.widthYards + apronYards];
  let nearest = Infinity;
  for (let i = 0; i <= samplesPerEdge; i++) {
    const x = x0 + ((x1 - x0) * i) / samplesPerEdge;
    const y = y0 + ((y1 - y0) * i) / samplesPerEdge;
    for (const point of [fieldPoint(x, y0), fieldPoint(x, y1), fieldPoint(x0, y), fieldPoint(x1, y)]) {
      const at = projectToImage(homography, point);
      if (at === null || at.uPx < 0 || at.uPx > image.widthPx || at.vPx < 0 || at.vPx > image.heightPx) continue;
      nearest = Math.min(nearest, horizon.a * at.uPx + horizon.b * at.vPx + horizon.c);
    }
  }
  return nearest === Infinity ? null : { a: horizon.a, b: horizon.b, c: horizon.c - nearest };
}
