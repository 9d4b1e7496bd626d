import type { ImagePoint } from "../field/units.ts";
import type { GreyPatch } from "./grey-patch.ts";
import { type SnappedLine, type WantedEdge, clearlyNearer, inPatch, linesNear, wantedLine } from "./painted-lines.ts";

export type LineWish = {
  /** Direction in which the line is expected, radians from u toward v, either way round; null without a survey. */
  readonly expectedRadians: number | null;
  readonly edge: WantedEdge;
};

/**
 * `no-line`: nothing near the click is bright, long and straight. `two-lines`: two lines are near, and neither so much
 * nearer that the other is ruled out. `off-patch`: the click does not lie in the patch.
 */
export type SnapRefusal = "no-line" | "two-lines" | "off-patch";

export type SnapResult = ({ readonly ok: true } & SnappedLine) | { readonly ok: false; readonly reason: SnapRefusal };

/**
 * Refines a click to the middle, or the wanted edge, of the painted line near it, brighter than the grass of both its
 * sides and from under a pixel to about 14 px wide. Lines whose middle is more than 9 px from the click are not near.
 * Any bright straight band will do (a path, a digit's long stroke), so the raw click is to be kept beside the answer.
 */
export function snapToLine(patch: GreyPatch, click: ImagePoint, wish: LineWish): SnapResult {
  if (!inPatch(patch, click)) return { ok: false, reason: "off-patch" };
  const [nearest, second] = linesNear(patch, click, wish.expectedRadians);
  if (nearest === undefined) return { ok: false, reason: "no-line" };
  if (second !== undefined && !clearlyNearer(click, nearest, second)) return { ok: false, reason: "two-lines" };
  return { ok: true, ...wantedLine(nearest, wish.edge) };
}
