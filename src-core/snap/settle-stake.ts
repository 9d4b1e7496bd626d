import type { ImageSize } from "../field/camera.ts";
import { imageOf, groundOf, type Seeing } from "../field/seen-through.ts";
import { type FieldLayout, type FieldLine, runsAcross } from "../field/template.ts";
import { type FieldPoint, fieldPoint, type ImagePoint, imagePoint } from "../field/units.ts";
import type { GreyPatch } from "./grey-patch.ts";
import { snapToCrossing } from "./snap-to-crossing.ts";
import { type LineWish, snapToLine } from "./snap-to-line.ts";

/** What is staked: a landmark or a line of the layout, by id. */
export type Staked = { readonly kind: "point" | "line"; readonly id: string };

/** Yards along a line by which its direction is read, and to its open side by which that side is told. */
const besideYards = 1;
const onLineYards = 0.01;

/**
 * The paint that a click on a known point or line means, sub-pixel: the middle of a yard line, the inside edge of a
 * boundary line, the crossing of the two lines that a point lies on. Null where nothing painted says it better than the
 * click: hash marks and digits, no line near, or two that could be meant.
 *
 * `survey` is the frame's own or one carried to it, and tells which way the line runs; without one only lines that leave
 * no doubt are taken.
 */
export function settleStake(
  layout: FieldLayout,
  staked: Staked,
  click: ImagePoint,
  patch: GreyPatch,
  given: { readonly survey: Seeing | null; readonly image: ImageSize },
): ImagePoint | null {
  const { survey, image } = given;
  if (staked.kind === "line") {
    const line = layout.lines.find((candidate) => candidate.id === staked.id);
    const at = survey ? groundOf(survey, click) : null;
    const wish = line && isPainted(line) ? wishFor(line, at, survey, image) : null;
    if (!wish) return null;
    const snapped = snapToLine(patch, click, wish);
    return snapped.ok ? snapped.at : null;
  }
  const landmark = layout.landmarks.find((candidate) => candidate.id === staked.id);
  if (!landmark) return null;
  const [first, second, third] = layout.lines
    .filter((line) => isPainted(line) && liesOn(line, landmark.at))
    .toSorted((a, b) => Number(runsAcross(a)) - Number(runsAcross(b)));
  if (!first || !second || third || runsAcross(first) === runsAcross(second)) return null;
  const wishes = [first, second].map((line) => wishFor(line, landmark.at, survey, image));
  if (!wishes[0] || !wishes[1]) return null;
  const snapped = snapToCrossing(patch, click, [wishes[0], wishes[1]]);
  return snapped.ok ? snapped.at : null;
}

/** Rows of separate marks have no paint of their own along them. */
function isPainted(line: FieldLine): boolean {
  return line.paintYards !== null;
}

function liesOn({ from, to }: FieldLine, at: FieldPoint): boolean {
  const [dx, dy] = [to.xYards - from.xYards, to.yYards - from.yYards];
  const length = Math.hypot(dx, dy);
  const along = ((at.xYards - from.xYards) * dx + (at.yYards - from.yYards) * dy) / length;
  const off = ((at.xYards - from.xYards) * dy - (at.yYards - from.yYards) * dx) / length;
  return Math.abs(off) < onLineYards && along > -onLineYards && along < length + onLineYards;
}

/** Direction and part of the paint wanted, near a place on the line. Null where the wanted edge cannot be told. */
function wishFor(line: FieldLine, near: FieldPoint | null, survey: Seeing | null, image: ImageSize): LineWish | null {
  if (!survey || !near) {
    if (line.measuredAt === "centre") return { expectedRadians: null, edge: "centre" };
    // The middle of the picture lies inside the field; which side of a goal line that is, nobody can say.
    if (line.kind !== "sideline" && line.kind !== "end-line") return null;
    return {
      expectedRadians: null,
      edge: { towards: imagePoint(image.widthPx / 2, image.heightPx / 2), expectedWidthPx: null },
    };
  }
  const across = runsAcross(line);
  const foot = across ? fieldPoint(line.from.xYards, near.yYards) : fieldPoint(near.xYards, line.from.yYards);
  const step = (x: number, y: number) => fieldPoint(foot.xYards + x * besideYards, foot.yYards + y * besideYards);
  const from = imageOf(survey, across ? step(0, -1) : step(-1, 0));
  const to = imageOf(survey, across ? step(0, 1) : step(1, 0));
  if (!from || !to) return null;
  const expectedRadians = Math.atan2(to.vPx - from.vPx, to.uPx - from.uPx);
  if (line.openSide === null) return { expectedRadians, edge: "centre" };
  const open = { left: step(-1, 0), right: step(1, 0), near: step(0, -1), far: step(0, 1) }[line.openSide];
  const here = imageOf(survey, foot);
  const towards = imageOf(survey, open);
  if (!here || !towards) return null;
  const [du, dv] = [towards.uPx - here.uPx, towards.vPx - here.vPx];
  const pxPerYard = Math.abs(dv * Math.cos(expectedRadians) - du * Math.sin(expectedRadians)) / besideYards;
  return { expectedRadians, edge: { towards, expectedWidthPx: pxPerYard * (line.paintYards ?? 0) } };
}
