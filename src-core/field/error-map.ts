import { projectToImage } from "./homography.ts";
import { chiSquare95, defaultMarkSigmaPx } from "./mark.ts";
import { principalAxes } from "./small-linear-algebra.ts";
import type { Survey } from "./survey.ts";
import { addClick, groundCovariance, projectionCovariance } from "./uncertainty.ts";
import { type FieldPoint, fieldPoint } from "./units.ts";

/** How well a mark can be placed: half-length of its 95 % region in the worst direction, yards. */
export type ErrorClass = "under-half-yard" | "under-one-yard" | "under-two-yards" | "over-two-yards";

/** Neighbouring cells of one class in a row along the field, as one convex polygon inside the visible field. */
export type ErrorStrip = {
  readonly class: ErrorClass;
  readonly outline: readonly FieldPoint[];
  /** The least and the greatest of its cells' errors, yards. */
  readonly leastYards: number;
  readonly mostYards: number;
};

export type ErrorMap = {
  readonly clickSigmaPx: number;
  /** Nearest row first, left to right; together they cover the visible field once. */
  readonly strips: readonly ErrorStrip[];
};

const cellYards = 2;

/**
 * Expected error of a mark at a field point: the half-length, in its worst direction, of the 95 % region that the click
 * and the survey give it. Null when the survey does not see the point in front of the camera.
 *
 * First order: the half-length of the ellipse J S Jᵀ at √χ². Far from a low camera the region itself is lopsided, and
 * reaches farther than this away from the camera and less far towards it; `measureMark` states that region.
 */
export function expectedErrorYards(
  survey: Survey,
  at: FieldPoint,
  clickSigmaPx: number = defaultMarkSigmaPx,
): number | null {
  const click = projectToImage(survey.homography, at);
  if (click === null) return null;
  const image = addClick(projectionCovariance(survey.homography, survey.covariance, at), clickSigmaPx);
  const { xx, xy, yy } = groundCovariance(survey.inverse, click, image);
  return Math.sqrt(chiSquare95 * principalAxes(xx, xy, yy).major);
}

export function errorClassOf(yards: number): ErrorClass {
  if (yards < 0.5) return "under-half-yard";
  if (yards < 1) return "under-one-yard";
  return yards < 2 ? "under-two-yards" : "over-two-yards";
}

/**
 * The expected error over the visible field, in cells of 2 yd or a little less, each taken at the middle of its visible
 * part. Cells of one class in a row are one strip, so that a map is tens of polygons and not a thousand.
 */
export function errorMapOf(survey: Survey, clickSigmaPx: number = defaultMarkSigmaPx): ErrorMap {
  const { lengthYards, widthYards } = survey.field;
  const columns = Math.ceil(lengthYards / cellYards);
  const rows = Math.ceil(widthYards / cellYards);
  const strips: ErrorStrip[] = [];
  for (let row = 0; row < rows; row++) {
    const band = between(survey.visible, "y", (row * widthYards) / rows, ((row + 1) * widthYards) / rows);
    if (band.length < 3) continue;
    const runs: Run[] = [];
    for (let column = 0; column < columns; column++) {
      const from = (column * lengthYards) / columns;
      const to = ((column + 1) * lengthYards) / columns;
      const middle = centroid(between(band, "x", from, to));
      const yards = middle === null ? null : expectedErrorYards(survey, middle, clickSigmaPx);
      if (yards !== null) extend(runs, { class: errorClassOf(yards), from, to, leastYards: yards, mostYards: yards });
    }
    for (const { from, to, ...strip } of runs) strips.push({ ...strip, outline: between(band, "x", from, to) });
  }
  return { clickSigmaPx, strips };
}

/** Cells of one class side by side, from x to x. */
type Run = Omit<ErrorStrip, "outline"> & { readonly from: number; readonly to: number };

function extend(runs: Run[], cell: Run): void {
  const last = runs.at(-1);
  if (last === undefined || last.class !== cell.class || last.to !== cell.from) {
    runs.push(cell);
    return;
  }
  runs[runs.length - 1] = {
    ...last,
    to: cell.to,
    leastYards: Math.min(last.leastYards, cell.leastYards),
    mostYards: Math.max(last.mostYards, cell.mostYards),
  };
}

function between(polygon: readonly FieldPoint[], axis: "x" | "y", from: number, to: number): FieldPoint[] {
  return clipped(clipped(polygon, axis, from, 1), axis, to, -1);
}

/** The part of a convex polygon on one side of a line along the other axis: at or above `bound` for `side` 1. */
function clipped(polygon: readonly FieldPoint[], axis: "x" | "y", bound: number, side: 1 | -1): FieldPoint[] {
  const depth = (point: FieldPoint): number => side * ((axis === "x" ? point.xYards : point.yYards) - bound);
  const kept: FieldPoint[] = [];
  polygon.forEach((point, i) => {
    const next = polygon[(i + 1) % polygon.length]!;
    const [here, there] = [depth(point), depth(next)];
    if (here >= 0) kept.push(point);
    if (here >= 0 !== there >= 0) {
      const share = here / (here - there);
      kept.push(
        axis === "x"
          ? fieldPoint(bound, point.yYards + share * (next.yYards - point.yYards))
          : fieldPoint(point.xYards + share * (next.xYards - point.xYards), bound),
      );
    }
  });
  return kept;
}

/** Null for a polygon without area: a cell that the visible field only touches. */
function centroid(polygon: readonly FieldPoint[]): FieldPoint | null {
  const first = polygon[0];
  if (first === undefined) return null;
  let [area, x, y] = [0, 0, 0];
  for (let i = 1; i + 1 < polygon.length; i++) {
    const [p, q] = [polygon[i]!, polygon[i + 1]!];
    const [px, py] = [p.xYards - first.xYards, p.yYards - first.yYards];
    const [qx, qy] = [q.xYards - first.xYards, q.yYards - first.yYards];
    const twice = px * qy - py * qx;
    area += twice;
    x += twice * (px + qx);
    y += twice * (py + qy);
  }
  return Math.abs(area) < 1e-6 ? null : fieldPoint(first.xYards + x / (3 * area), first.yYards + y / (3 * area));
}
