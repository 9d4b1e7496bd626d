import { type Homography, projectToImage } from "./homography.ts";
import type { FieldLayout, Landmark } from "./template.ts";
import { type ImagePoint, imagePoint } from "./units.ts";

export type NamedClick = { readonly landmarkId: string; readonly click: ImagePoint };

/**
 * Which landmark a click most likely is, from the stakes already placed: the unused landmark whose expected place in
 * the image is nearest to the click. Only a proposal, for a person to keep or change.
 *
 * What is expected comes from the best there is: the solved survey of this frame; or the survey of another frame of the
 * same film moved by the similarity (shift, turn and zoom of the picture) that two stakes fix, for a camera that only
 * pans and zooms; or, without either, an affine map through three stakes or more. Null with fewer than two stakes, when
 * nothing fixes a map, and when the nearest two are about equally near.
 */
export function proposeLandmark(
  layout: FieldLayout,
  stakes: readonly NamedClick[],
  click: ImagePoint,
  known: { readonly survey: Homography | null; readonly otherFrame: Homography | null },
): Landmark | null {
  if (stakes.length < 2) return null;
  const expected = expectedPlaces(layout, stakes, known);
  if (!expected) return null;
  const used = new Set(stakes.map((stake) => stake.landmarkId));
  const ranked = layout.landmarks
    .filter((landmark) => !used.has(landmark.id))
    .flatMap((landmark) => {
      const at = expected(landmark);
      return at ? [{ landmark, off: Math.hypot(at.uPx - click.uPx, at.vPx - click.vPx) }] : [];
    })
    .toSorted((a, b) => a.off - b.off);
  const [best, second] = ranked;
  if (!best) return null;
  return second && best.off > 0.6 * second.off ? null : best.landmark;
}

type Expected = (landmark: Landmark) => ImagePoint | null;

function expectedPlaces(
  layout: FieldLayout,
  stakes: readonly NamedClick[],
  known: { readonly survey: Homography | null; readonly otherFrame: Homography | null },
): Expected | null {
  const { survey, otherFrame } = known;
  if (survey) return (landmark) => projectToImage(survey, landmark.at);
  const landmarkOf = (id: string) => layout.landmarks.find((landmark) => landmark.id === id);
  const pairs = stakes.flatMap((stake) => {
    const landmark = landmarkOf(stake.landmarkId);
    const from =
      landmark &&
      (otherFrame ? projectToImage(otherFrame, landmark.at) : imagePoint(landmark.at.xYards, landmark.at.yYards));
    return from ? [{ from, to: stake.click }] : [];
  });
  const map = otherFrame ? fitSimilarity(pairs) : fitAffine(pairs);
  if (!map) return null;
  return (landmark) => {
    const from = otherFrame
      ? projectToImage(otherFrame, landmark.at)
      : imagePoint(landmark.at.xYards, landmark.at.yYards);
    return from ? map(from) : null;
  };
}

type Pair = { readonly from: ImagePoint; readonly to: ImagePoint };
type PlaneMap = (point: ImagePoint) => ImagePoint;

function centroid(points: readonly ImagePoint[]): ImagePoint {
  const sum = points.reduce(
    (total, point) => imagePoint(total.uPx + point.uPx, total.vPx + point.vPx),
    imagePoint(0, 0),
  );
  return imagePoint(sum.uPx / points.length, sum.vPx / points.length);
}

/** Least-squares shift, turn and scale: complex division of the centred points. */
function fitSimilarity(pairs: readonly Pair[]): PlaneMap | null {
  const from = centroid(pairs.map((pair) => pair.from));
  const to = centroid(pairs.map((pair) => pair.to));
  let re = 0;
  let im = 0;
  let size = 0;
  for (const pair of pairs) {
    const [ax, ay] = [pair.from.uPx - from.uPx, pair.from.vPx - from.vPx];
    const [bx, by] = [pair.to.uPx - to.uPx, pair.to.vPx - to.vPx];
    re += ax * bx + ay * by;
    im += ax * by - ay * bx;
    size += ax * ax + ay * ay;
  }
  if (size < 1e-6) return null;
  return (point) => {
    const [x, y] = [point.uPx - from.uPx, point.vPx - from.vPx];
    return imagePoint(to.uPx + (re * x - im * y) / size, to.vPx + (im * x + re * y) / size);
  };
}

/** Least-squares affine map; null for fewer than three points or points on one line. */
function fitAffine(pairs: readonly Pair[]): PlaneMap | null {
  if (pairs.length < 3) return null;
  const from = centroid(pairs.map((pair) => pair.from));
  const to = centroid(pairs.map((pair) => pair.to));
  let [xx, xy, yy, xu, yu, xv, yv] = [0, 0, 0, 0, 0, 0, 0];
  for (const pair of pairs) {
    const [x, y] = [pair.from.uPx - from.uPx, pair.from.vPx - from.vPx];
    const [u, v] = [pair.to.uPx - to.uPx, pair.to.vPx - to.vPx];
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xu += x * u;
    yu += y * u;
    xv += x * v;
    yv += y * v;
  }
  const det = xx * yy - xy * xy;
  if (det < 1e-6 * xx * yy || !(det > 0)) return null;
  const [a, b] = [(yy * xu - xy * yu) / det, (xx * yu - xy * xu) / det];
  const [c, d] = [(yy * xv - xy * yv) / det, (xx * yv - xy * xv) / det];
  return (point) => {
    const [x, y] = [point.uPx - from.uPx, point.vPx - from.vPx];
    return imagePoint(to.uPx + a * x + b * y, to.vPx + c * x + d * y);
  };
}
