import { fileURLToPath } from "node:url";
import { seededRandom } from "#core/field/random";
import { type ImagePoint, imagePoint } from "#core/field/units";
import { type GreyPatch, snapPatchReachPx } from "#core/snap/grey-patch";
import { demoFilm } from "../../scene/films.ts";
import { decodeGrey } from "../../scene/make-demo-clicks.ts";
import { type View, project } from "../../scene/pinhole.ts";
import type { Owners } from "../../scene/ray-casting.ts";
import { ownersAt } from "../../scene/render-frame.ts";
import { type Scene, sceneOf } from "../../scene/scene.ts";

/**
 * The demo film as outside truth for snapping: its paint lies where the scene's own pinhole camera puts it, and the
 * frames are those of the coded file. Lines are 4 in wide; the sidelines' paint lies outside the field's inside edge,
 * and a goal line's belongs to its end zone (the scene's pitch, after NCAA rules 1-2-2 and 1-2-4).
 */
const paintYards = 4 / 36;

type Ground = readonly [xYards: number, yYards: number];

export type FilmLine = {
  readonly name: string;
  readonly kind: "yard line" | "goal line" | "near sideline" | "far sideline";
  /** Middle of the paint, and the edge that the field is measured to. */
  readonly middle: readonly [Ground, Ground];
  readonly inside: readonly [Ground, Ground];
};

const across = (x: number, from = 1.5, to = 38.5): readonly [Ground, Ground] => [
  [x, from],
  [x, to],
];
const along = (y: number): readonly [Ground, Ground] => [
  [1, y],
  [99, y],
];

export const filmLines: readonly FilmLine[] = [
  ...[30, 50, 70].map((x): FilmLine => ({
    name: `x = ${x}`,
    kind: "yard line",
    middle: across(x),
    inside: across(x),
  })),
  { name: "left goal line", kind: "goal line", middle: across(10 - paintYards / 2), inside: across(10) },
  { name: "right goal line", kind: "goal line", middle: across(90 + paintYards / 2), inside: across(90) },
  { name: "near sideline", kind: "near sideline", middle: along(-paintYards / 2), inside: along(0) },
  { name: "far sideline", kind: "far sideline", middle: along(40 + paintYards / 2), inside: along(40) },
];

export const filmPath = fileURLToPath(new URL("../../../src-main/demo/film.mp4", import.meta.url));

export type FilmFrame = {
  readonly index: number;
  readonly view: View;
  readonly owners: Owners;
  readonly levels: Uint8Array;
};

export function filmFrames(indices: readonly number[]): { readonly scene: Scene; readonly frames: FilmFrame[] } {
  const scene = sceneOf(demoFilm);
  const frames = indices.map((index): FilmFrame => {
    const { owners, view } = ownersAt(scene, index);
    return { index, view, owners, levels: decodeGrey(filmPath, index, view.widthPx, view.heightPx).levels };
  });
  return { scene, frames };
}

/** Two frames of every play: the crew set before the snap, and the camera in its pan after it. */
export function playFrames(): number[] {
  return sceneOf(demoFilm).plays.flatMap((play) => [play.snapFrame - 6, play.snapFrame + 45]);
}

/** The patch that a caller cuts around a click, shifted inward at the border of the frame. */
export function patchAround(levels: Uint8Array, widthPx: number, heightPx: number, click: ImagePoint): GreyPatch {
  const side = 2 * snapPatchReachPx + 1;
  const leftPx = Math.max(0, Math.min(widthPx - side, Math.floor(click.uPx) - snapPatchReachPx));
  const topPx = Math.max(0, Math.min(heightPx - side, Math.floor(click.vPx) - snapPatchReachPx));
  const data = new Uint8Array(side * side);
  for (let j = 0; j < side; j++) {
    const from = (topPx + j) * widthPx + leftPx;
    data.set(levels.subarray(from, from + side), j * side);
  }
  return { leftPx, topPx, widthPx: side, heightPx: side, data };
}

export function seen(view: View, [x, y]: Ground): ImagePoint | null {
  const at = project(view, [x, y, 0]);
  if (at === null) return null;
  const inside = at.uPx > 12 && at.vPx > 12 && at.uPx < view.widthPx - 12 && at.vPx < view.heightPx - 12;
  return inside ? imagePoint(at.uPx, at.vPx) : null;
}

export type TrueLine = { readonly at: ImagePoint; readonly normalU: number; readonly normalV: number };

/** The image of a ground line near one of its points: the point, and the unit normal. */
export function trueLine(view: View, [from, to]: readonly [Ground, Ground], share: number): TrueLine | null {
  const ground = (s: number): Ground => [from[0] + s * (to[0] - from[0]), from[1] + s * (to[1] - from[1])];
  const at = seen(view, ground(share));
  const ahead = project(view, [...ground(share + 1e-3), 0]);
  if (at === null || ahead === null) return null;
  const length = Math.hypot(ahead.uPx - at.uPx, ahead.vPx - at.vPx);
  return { at, normalU: -(ahead.vPx - at.vPx) / length, normalV: (ahead.uPx - at.uPx) / length };
}

/** Signed distance of a point from a true line, px. */
export function offLine(line: TrueLine, point: ImagePoint): number {
  return (point.uPx - line.at.uPx) * line.normalU + (point.vPx - line.at.vPx) * line.normalV;
}

export type FilmClick = {
  readonly frame: FilmFrame;
  readonly line: FilmLine;
  readonly click: ImagePoint;
  readonly patch: GreyPatch;
  readonly middle: TrueLine;
  readonly inside: TrueLine;
  /** Whether a person, or the ball, is drawn within three pixels of the paint that is clicked at. */
  readonly covered: boolean;
};

/** `each` clicks on every line of every frame, anywhere on its visible part, with a hand's error both ways. */
export function filmClicks(
  frames: readonly FilmFrame[],
  lines: readonly FilmLine[],
  each: number,
  sigmaPx: number,
  seed: number,
): FilmClick[] {
  const random = seededRandom(seed);
  const clicks: FilmClick[] = [];
  for (const frame of frames) {
    for (const line of lines) {
      for (let tries = 0, made = 0; made < each && tries < 40 * each; tries++) {
        const share = random.uniform();
        const middle = trueLine(frame.view, line.middle, share);
        const inside = trueLine(frame.view, line.inside, share);
        if (middle === null || inside === null) continue;
        made++;
        const click = imagePoint(middle.at.uPx + sigmaPx * random.normal(), middle.at.vPx + sigmaPx * random.normal());
        const { widthPx, heightPx } = frame.view;
        clicks.push({
          frame,
          line,
          click,
          patch: patchAround(frame.levels, widthPx, heightPx, click),
          middle,
          inside,
          covered: covered(frame, middle.at, 3),
        });
      }
    }
  }
  return clicks;
}

/** Owners are kept for several samples of a pixel each way. */
export function covered({ owners, view }: FilmFrame, at: ImagePoint, reachPx: number): boolean {
  const samples = Math.round(Math.sqrt(owners.owner.length / (view.widthPx * view.heightPx)));
  const [columns, rows] = [view.widthPx * samples, view.heightPx * samples];
  const reach = reachPx * samples;
  const [u, v] = [Math.floor(at.uPx * samples), Math.floor(at.vPx * samples)];
  for (let row = Math.max(0, v - reach); row <= Math.min(rows - 1, v + reach); row++) {
    for (let column = Math.max(0, u - reach); column <= Math.min(columns - 1, u + reach); column++) {
      if (owners.owner[row * columns + column]! >= 0) return true;
    }
  }
  return false;
}
