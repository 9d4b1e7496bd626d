import { seededRandom } from "#core/field/random";
import { type ImagePoint, imageDistancePx, imagePoint } from "#core/field/units";
import { snapToCrossing } from "#core/snap/snap-to-crossing";
import { type SnapResult, snapToLine } from "#core/snap/snap-to-line";
import { project } from "../../scene/pinhole.ts";
import {
  type FilmClick,
  type FilmFrame,
  type FilmLine,
  type TrueLine,
  covered,
  filmClicks,
  filmLines,
  offLine,
  patchAround,
  seen,
} from "./film-lines.ts";

/** Snaps on the demo film against its scene, run small by the tests and at full size by the bench. */

/** A hand's error in each direction, as in the measurements that the goals come from. */
export const handSigmaPx = 2.3;

export type FilmSnap = FilmClick & {
  readonly result: SnapResult;
  /** Signed distance of the answer from the true line wanted; null when refused. */
  readonly offPx: number | null;
  readonly rawOffPx: number;
  readonly timeMs: number;
};

export type Directions = "known" | "unknown";

/** Snaps to the middle of the paint, or to the edge that the field is measured to. */
export function filmSnaps(
  frames: readonly FilmFrame[],
  wanted: "middle" | "inside",
  directions: Directions,
  each: number,
  lines: readonly FilmLine[] = filmLines,
): FilmSnap[] {
  return filmClicks(frames, lines, each, handSigmaPx, 5).map((made): FilmSnap => {
    const truth: TrueLine = made[wanted];
    const expectedRadians = directions === "known" ? Math.atan2(-truth.normalU, truth.normalV) : null;
    const edge = wanted === "middle" ? ("centre" as const) : { towards: insideOf(made), expectedWidthPx: null };
    const start = performance.now();
    const result = snapToLine(made.patch, made.click, { expectedRadians, edge });
    const timeMs = performance.now() - start;
    return {
      ...made,
      result,
      offPx: result.ok ? offLine(truth, result.at) : null,
      rawOffPx: offLine(truth, made.click),
      timeMs,
    };
  });
}

/** A point far to the inside of the line, told from where its inside edge lies. */
function insideOf({ middle, inside }: FilmClick): ImagePoint {
  const way = offLine(middle, inside.at) >= 0 ? 200 : -200;
  return imagePoint(middle.at.uPx + way * middle.normalU, middle.at.vPx + way * middle.normalV);
}

export type CrossingSnap = { readonly offPx: number | null; readonly sigmaPx: number | null; readonly far: boolean };

/** Corners of sidelines with yard and goal lines: inside edge of the one, middle or field edge of the other. */
export function filmCrossings(frames: readonly FilmFrame[], directions: Directions, each: number): CrossingSnap[] {
  const random = seededRandom(4);
  const snaps: CrossingSnap[] = [];
  for (const { view, levels, ...frame } of frames) {
    const see = (x: number, y: number): ImagePoint => {
      const { uPx, vPx } = project(view, [x, y, 0])!;
      return imagePoint(uPx, vPx);
    };
    for (const y of [0, 40]) {
      for (const x of [10, 30, 50, 70, 90]) {
        const truth = seen(view, [x, y]);
        if (truth === null || covered({ view, levels, ...frame }, truth, 4)) continue;
        const direction = (to: ImagePoint): number | null =>
          directions === "unknown" ? null : Math.atan2(to.vPx - truth.vPx, to.uPx - truth.uPx);
        const edge = { towards: see(50, 20), expectedWidthPx: null };
        for (let k = 0; k < each; k++) {
          const click = imagePoint(
            truth.uPx + handSigmaPx * random.normal(),
            truth.vPx + handSigmaPx * random.normal(),
          );
          const result = snapToCrossing(patchAround(levels, view.widthPx, view.heightPx, click), click, [
            { expectedRadians: direction(see(x + 0.3, y)), edge },
            { expectedRadians: direction(see(x, y === 0 ? 0.3 : 39.7)), edge: x % 80 === 10 ? edge : "centre" },
          ]);
          snaps.push({
            offPx: result.ok ? imageDistancePx(result.at, truth) : null,
            sigmaPx: result.ok ? result.sigmaPx : null,
            far: y === 40,
          });
        }
      }
    }
  }
  return snaps;
}

export type Negatives = { readonly clicks: number; readonly taken: number };

/** Clicks on grass 16 px and more from every painted line, digit and mark, with nobody within 14 px. */
export function filmGrass(frames: readonly FilmFrame[], each: number): Negatives {
  const random = seededRandom(6);
  return tally(frames, each, (frame, paint) => {
    const at = seen(frame.view, [100 * random.uniform(), -8 + 48 * random.uniform()]);
    return at !== null && farFrom(paint, at, 16) && !covered(frame, at, 14) ? at : null;
  });
}

/** Clicks on people who stand clear of painted lines and digits. */
export function filmPeople(frames: readonly FilmFrame[], each: number): Negatives {
  const random = seededRandom(8);
  return tally(frames, each, (frame, paint) => {
    const at = imagePoint(frame.view.widthPx * random.uniform(), 330 + 390 * random.uniform());
    return covered(frame, at, 0) && farFrom(paint, at, 16) ? at : null;
  });
}

function tally(
  frames: readonly FilmFrame[],
  each: number,
  pick: (frame: FilmFrame, paint: readonly ImagePoint[]) => ImagePoint | null,
): Negatives {
  let [clicks, taken] = [0, 0];
  for (const frame of frames) {
    const paint = paintSeen(frame);
    for (let made = 0, tries = 0; made < each && tries < 400 * each; tries++) {
      const at = pick(frame, paint);
      if (at === null) continue;
      made++;
      clicks++;
      const patch = patchAround(frame.levels, frame.view.widthPx, frame.view.heightPx, at);
      if (snapToLine(patch, at, { expectedRadians: null, edge: "centre" }).ok) taken++;
    }
  }
  return { clicks, taken };
}

function farFrom(paint: readonly ImagePoint[], at: ImagePoint, reachPx: number): boolean {
  return paint.every((point) => imageDistancePx(point, at) >= reachPx);
}

/** Points along all that is painted on the scene's pitch, as seen. */
function paintSeen({ view }: FilmFrame): ImagePoint[] {
  const spots: (readonly [number, number])[] = [];
  for (let s = 0; s <= 1; s += 1 / 400) {
    for (const { middle } of filmLines) {
      const [from, to] = middle;
      spots.push([from[0] + s * (to[0] - from[0]), from[1] + s * (to[1] - from[1])]);
    }
    spots.push([0, 40 * s], [100, 40 * s]);
  }
  for (let x = 15; x < 90; x += 5) {
    for (const y of [0, 0.33, 0.67, 12.67, 13, 13.33, 26.67, 27, 27.33, 39.33, 39.67, 40]) spots.push([x, y]);
  }
  for (let x = 20; x <= 80; x += 10) {
    for (let dx = -1.6; dx <= 1.6; dx += 0.2) {
      for (let y = 7; y <= 9; y += 0.25) spots.push([x + dx, y], [x + dx, 40 - y]);
    }
  }
  return spots.flatMap(([x, y]) => {
    const at = project(view, [x, y, 0]);
    return at === null ? [] : [imagePoint(at.uPx, at.vPx)];
  });
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? NaN;
}
