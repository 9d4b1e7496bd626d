import { principalAxes } from "../field/small-linear-algebra.ts";
import { type ImagePoint, imageDistancePx, imagePoint } from "../field/units.ts";
import type { GreyPatch } from "./grey-patch.ts";
import { turnBetween } from "./line-guesses.ts";
import { type SnappedLine, clearlyNearer, inPatch, linesNear, wantedLine } from "./painted-lines.ts";
import type { LineWish } from "./snap-to-line.ts";
import type { TracedLine } from "./trace-line.ts";

export type SnappedCrossing = {
  readonly at: ImagePoint;
  /** One standard deviation in the worst direction. */
  readonly sigmaPx: number;
  /** The two lines in the order of the wishes. */
  readonly lines: readonly [SnappedLine, SnappedLine];
};

/**
 * `no-line`, `one-line`: fewer than two lines that cross are near. `many-lines`: more are near, and which two are meant
 * is open. `far-crossing`: the lines cross too far from the click. `off-patch`: the click does not lie in the patch.
 */
export type CrossingRefusal = "no-line" | "one-line" | "many-lines" | "far-crossing" | "off-patch";

export type CrossingResult =
  | ({ readonly ok: true } & SnappedCrossing)
  | { readonly ok: false; readonly reason: CrossingRefusal };

/** Lines that meet at less than this are too nearly one for their crossing to be a place. */
const leastAngleRadians = 0.17;
const farthestPx = 12;

/**
 * Refines a click on the crossing of two painted lines, a sideline and a yard line say, to the crossing of the wanted
 * edge of each. When no directions are expected, the first wish is for the line that runs flatter in the image: from
 * the press-box side, the sideline.
 */
export function snapToCrossing(
  patch: GreyPatch,
  click: ImagePoint,
  wishes: readonly [LineWish, LineWish],
): CrossingResult {
  if (!inPatch(patch, click)) return { ok: false, reason: "off-patch" };
  const pair = crossingPair(patch, click, wishes);
  if (typeof pair === "string") return { ok: false, reason: pair };
  const [first, second] = pair;
  const lines = [wantedLine(first, wishes[0].edge), wantedLine(second, wishes[1].edge)] as const;
  const at = crossingOf(lines[0], lines[1]);
  if (!(imageDistancePx(at, click) <= farthestPx)) return { ok: false, reason: "far-crossing" };
  return { ok: true, at, sigmaPx: crossingSigma(pair, lines, at), lines };
}

function crossingPair(
  patch: GreyPatch,
  click: ImagePoint,
  [one, other]: readonly [LineWish, LineWish],
): readonly [TracedLine, TracedLine] | CrossingRefusal {
  if (one.expectedRadians !== null && other.expectedRadians !== null) {
    const first = linesNear(patch, click, one.expectedRadians);
    const second = linesNear(patch, click, other.expectedRadians);
    if (first[0] === undefined || second[0] === undefined)
      return first.length + second.length === 0 ? "no-line" : "one-line";
    if (!aloneNear(click, first) || !aloneNear(click, second)) return "many-lines";
    return turnBetween(first[0].angleRadians, second[0].angleRadians) < leastAngleRadians
      ? "one-line"
      : [first[0], second[0]];
  }
  const lines = linesNear(patch, click, null);
  const [nearest, next, third] = lines;
  if (nearest === undefined) return "no-line";
  if (next === undefined) return "one-line";
  if (third !== undefined && !clearlyNearer(click, next, third)) return "many-lines";
  if (turnBetween(nearest.angleRadians, next.angleRadians) < leastAngleRadians) return "one-line";
  const wanted = one.expectedRadians ?? (other.expectedRadians === null ? 0 : other.expectedRadians + Math.PI / 2);
  const nearestIsFirst = turnBetween(nearest.angleRadians, wanted) <= turnBetween(next.angleRadians, wanted);
  return nearestIsFirst ? [nearest, next] : [next, nearest];
}

function aloneNear(click: ImagePoint, [nearest, next]: readonly TracedLine[]): boolean {
  return nearest === undefined || next === undefined || clearlyNearer(click, nearest, next);
}

function crossingOf(a: SnappedLine, b: SnappedLine): ImagePoint {
  const [au, av] = [Math.cos(a.angleRadians), Math.sin(a.angleRadians)];
  const [bu, bv] = [Math.cos(b.angleRadians), Math.sin(b.angleRadians)];
  const along = ((b.at.uPx - a.at.uPx) * bv - (b.at.vPx - a.at.vPx) * bu) / (au * bv - av * bu);
  return imagePoint(a.at.uPx + along * au, a.at.vPx + along * av);
}

/**
 * Each line is off along its own normal, by its sigma and by its turn over the way from its foot; the crossing's
 * covariance is that of the solution of the two line equations.
 */
function crossingSigma(
  traced: readonly [TracedLine, TracedLine],
  lines: readonly [SnappedLine, SnappedLine],
  at: ImagePoint,
): number {
  const [a, b] = [0, 1].map((i) => ({
    angle: lines[i]!.angleRadians,
    variance: lines[i]!.sigmaPx ** 2 + (traced[i]!.angleSigma * imageDistancePx(at, lines[i]!.at)) ** 2,
  })) as [{ angle: number; variance: number }, { angle: number; variance: number }];
  const square = Math.sin(a.angle - b.angle) ** 2;
  // An error of one line moves the crossing along the other.
  const uu = (a.variance * Math.cos(b.angle) ** 2 + b.variance * Math.cos(a.angle) ** 2) / square;
  const vv = (a.variance * Math.sin(b.angle) ** 2 + b.variance * Math.sin(a.angle) ** 2) / square;
  const uv =
    (a.variance * Math.cos(b.angle) * Math.sin(b.angle) + b.variance * Math.cos(a.angle) * Math.sin(a.angle)) / square;
  return Math.sqrt(principalAxes(uu, uv, vv).major);
}
