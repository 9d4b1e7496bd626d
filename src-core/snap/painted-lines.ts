import { defaultMarkSigmaPx } from "../field/mark.ts";
import { type ImagePoint, imageDistancePx } from "../field/units.ts";
import type { GreyPatch } from "./grey-patch.ts";
import { guessLines, hintToleranceRadians, turnBetween } from "./line-guesses.ts";
import { type TracedLine, shifted, traceLine } from "./trace-line.ts";

/**
 * Which line of the paint is wanted. Yard lines are measured at the middle of their paint, boundary lines at their
 * inside edge (NCAA rules 1-2-2): the edge on the side of an image point that lies inside the field. A goal line's
 * paint belongs to its end zone, so its edge is the one towards midfield. The width that a survey expects of the paint,
 * null without one, sharpens the edge of paint that is thinner than the blur.
 */
export type WantedEdge = "centre" | { readonly towards: ImagePoint; readonly expectedWidthPx: number | null };

export type SnappedLine = {
  /** The foot of the click on the wanted line of the paint. */
  readonly at: ImagePoint;
  /** Direction of the line, radians from u toward v, in [0, π). */
  readonly angleRadians: number;
  /** Width of the paint. Below about 2 px blur hides it, and this is the mean of what it may be. */
  readonly widthPx: number;
  /** Grey levels, of 255, by which the paint stands above the brighter of its two sides. */
  readonly strength: number;
  /** One standard deviation across the line; along it the click is as good as it was. */
  readonly sigmaPx: number;
};

/** Guesses traced at the most; those beyond are weaker than any that was paint on film. */
const mostTraces = 10;
/** The nearer of two lines is taken when it is this many times as likely to be the one clicked at. */
const clearOdds = 20;

export function inPatch(patch: GreyPatch, { uPx, vPx }: ImagePoint): boolean {
  const u = uPx - patch.leftPx;
  const v = vPx - patch.topPx;
  return u >= 0 && v >= 0 && u <= patch.widthPx && v <= patch.heightPx;
}

/** Painted lines within reach of a click, nearest first; only those near the expected direction, when there is one. */
export function linesNear(patch: GreyPatch, click: ImagePoint, expectedRadians: number | null): TracedLine[] {
  const found: TracedLine[] = [];
  let traces = 0;
  for (const guess of guessLines(patch, click, expectedRadians)) {
    if (traces === mostTraces) break;
    const foot = shifted(click, guess.angleRadians, guess.offsetPx);
    if (found.some((line) => inPaintOf(line, foot, guess.angleRadians))) continue;
    traces++;
    const line = traceLine(patch, click, guess);
    if (line === null) continue;
    if (expectedRadians !== null && turnBetween(line.angleRadians, expectedRadians) > hintToleranceRadians) continue;
    if (!found.some((other) => inPaintOf(other, line.foot, line.angleRadians))) found.push(line);
  }
  return found.toSorted((a, b) => imageDistancePx(a.foot, click) - imageDistancePx(b.foot, click));
}

/** Whether a line runs in the paint of one that was found already: it stays within its breadth for 20 px either way. */
function inPaintOf(line: TracedLine, foot: ImagePoint, angleRadians: number): boolean {
  const breadthPx = Math.max(3, line.widthPx / 2 + 2);
  return [-20, 20].every((t) => {
    const u = foot.uPx + t * Math.cos(angleRadians);
    const v = foot.vPx + t * Math.sin(angleRadians);
    return Math.abs(sideOf(line, { uPx: u, vPx: v })) < breadthPx;
  });
}

/** Signed distance of a point from a line along the line's normal. */
function sideOf(line: TracedLine, { uPx, vPx }: ImagePoint): number {
  return (vPx - line.foot.vPx) * Math.cos(line.angleRadians) - (uPx - line.foot.uPx) * Math.sin(line.angleRadians);
}

/** Whether a hand's error leaves no doubt between two lines, for a click error of the usual mark. */
export function clearlyNearer(click: ImagePoint, nearest: TracedLine, other: TracedLine): boolean {
  const near = imageDistancePx(nearest.foot, click);
  const far = imageDistancePx(other.foot, click);
  return far * far - near * near >= 2 * Math.log(clearOdds) * defaultMarkSigmaPx ** 2;
}

/** Share by which crews and chalk miss the width that paint should have, one standard deviation. */
const paintTolerance = 0.15;
/** Width of wide paint is read off its profile to about this. */
const readingPx = 0.05;

/** The wanted edge of a traced line. Edges lie half the paint's width to either side of its middle. */
export function wantedLine(line: TracedLine, edge: WantedEdge): SnappedLine {
  const answer = {
    angleRadians: ((line.angleRadians % Math.PI) + Math.PI) % Math.PI,
    widthPx: line.widthPx,
    strength: line.contrast,
  };
  if (edge === "centre") return { ...answer, at: line.foot, sigmaPx: line.sigmaPx };
  const width = likelyWidth(line, edge.expectedWidthPx);
  const outward = sideOf(line, edge.towards) >= 0 ? width.px / 2 : -width.px / 2;
  return {
    ...answer,
    at: shifted(line.foot, line.angleRadians, outward),
    sigmaPx: Math.hypot(line.sigmaPx, width.sigmaPx / 2),
  };
}

/** The width seen and the width expected, each with the weight of its own doubt. */
function likelyWidth(line: TracedLine, expectedPx: number | null): { readonly px: number; readonly sigmaPx: number } {
  const seen = Math.hypot(line.widthSigmaPx, readingPx) ** -2;
  const expected = expectedPx === null ? 0 : (paintTolerance * expectedPx) ** -2;
  return {
    px: (seen * line.widthPx + expected * (expectedPx ?? 0)) / (seen + expected),
    sigmaPx: (seen + expected) ** -0.5,
  };
}
