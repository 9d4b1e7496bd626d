import { directionSign, type FieldDirection } from "../field/frames.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldSide } from "../game/records.ts";
import { type Anchor, depthAnchorX, otherSide, outwardSign, type StationScene, widthAnchorY } from "./anchors.ts";
import type { Book, BookPosition, DepthRule, StationRule, WidthRule, YardRange } from "./book.ts";
import { conditionHolds, receiversOn } from "./conditions.ts";

/**
 * From a rule to a place on the ground. Depth is counted along the field, positive downfield; width across it, positive
 * outward, toward the side of the rule.
 */

/** The sideline a position works; null for one that works the middle. */
export function ownSide(position: BookPosition, lineJudgeSide: FieldSide): FieldSide | null {
  switch (position.side) {
    case "line-judge-side":
      return lineJudgeSide;
    case "other-side":
      return otherSide(lineJudgeSide);
    case "middle":
      return null;
  }
}

export function bookPosition(book: Book, id: string): BookPosition | null {
  return book.positions.find((position) => position.id === id) ?? null;
}

/** Sides of the ball whose room differs by less are level: a ball on the middle has no wide side. Yards. */
const levelYards = 0.5;

/** Toward which side a rule counts its widths; null for the middle, "either" where the official chooses. */
export function ruleSide(rule: WidthRule, side: FieldSide | null, scene: StationScene): FieldSide | null | "either" {
  const { layout, situation } = scene;
  const more = (near: number, far: number, level: number): FieldSide | "either" => {
    if (Math.abs(near - far) <= level) return "either";
    return near > far ? "near" : "far";
  };
  switch (rule.side ?? "own") {
    case "own":
      return side;
    case "either":
      return "either";
    case "right-hand":
      return situation.direction === "right" ? "near" : "far";
    case "left-hand":
      return situation.direction === "right" ? "far" : "near";
    case "wide":
      return more(situation.ballYYards, layout.widthYards - situation.ballYYards, levelYards);
    case "strong":
      return more(receiversOn("near", scene), receiversOn("far", scene), 0);
  }
}

/** A rule's anchors in one situation, counted toward one side. */
export type Placing = {
  /** The side that widths are counted toward; null counts toward the far one. */
  readonly side: FieldSide | null;
  readonly depth: Anchor;
  readonly atLeast: Anchor | null;
  readonly atMost: Anchor | null;
  readonly width: Anchor;
};

type PlacedRule = { readonly depth: DepthRule; readonly width: WidthRule };

function placingToward(rule: PlacedRule, side: FieldSide | null, scene: StationScene): Placing {
  const { anchor, atLeast, atMost } = rule.depth;
  return {
    side,
    depth: depthAnchorX(anchor, scene),
    atLeast: atLeast ? depthAnchorX(atLeast.anchor, scene) : null,
    atMost: atMost ? depthAnchorX(atMost.anchor, scene) : null,
    width: widthAnchorY(rule.width.anchor, side, scene),
  };
}

/** Where a rule lets its position stand: one placing, or two where the official may take either side, own side first. */
export function placings(rule: PlacedRule, side: FieldSide | null, scene: StationScene): readonly Placing[] {
  const toward = ruleSide(rule.width, side, scene);
  if (toward !== "either") return [placingToward(rule, toward, scene)];
  const first = side ?? "far";
  return [placingToward(rule, first, scene), placingToward(rule, otherSide(first), scene)];
}

/** What is missing to place a rule; null when nothing is. */
export function missingFor({ depth, atLeast, atMost, width }: Placing): string | null {
  for (const anchor of [depth, atLeast, atMost, width]) if (anchor?.kind === "absent") return anchor.missing;
  return null;
}

/**
 * The range of depths that a rule allows, from its anchor: its own range held within its bounds. All x in the field
 * frame, yards; null for a bound that the rule does not have.
 */
export function allowedDepths(
  rule: DepthRule,
  anchorX: number,
  leastX: number | null,
  mostX: number | null,
  direction: FieldDirection,
): YardRange {
  const along = directionSign(direction);
  let { from, to } = rule.yards;
  if (rule.atLeast && leastX !== null) {
    const least = along * (leastX - anchorX);
    from = Math.max(from, least + rule.atLeast.yards.from);
    to = Math.max(to, least + rule.atLeast.yards.to);
  }
  if (rule.atMost && mostX !== null) {
    const most = along * (mostX - anchorX) + rule.atMost.yards;
    from = Math.min(from, most);
    to = Math.min(to, most);
  }
  return { from, to };
}

const xOf = (anchor: Anchor | null): number | null => (anchor && anchor.kind !== "absent" ? anchor.yards : null);

/** Corners of a rule's target on the ground, in order round it; null where an anchor is missing. */
export function targetCorners(rule: PlacedRule, placing: Placing, direction: FieldDirection): FieldPoint[] | null {
  const x = xOf(placing.depth);
  const y = xOf(placing.width);
  if (x === null || y === null || missingFor(placing) !== null) return null;
  const along = directionSign(direction);
  const outward = outwardSign(placing.side);
  const { from: nearDepth, to: farDepth } = allowedDepths(
    rule.depth,
    x,
    xOf(placing.atLeast),
    xOf(placing.atMost),
    direction,
  );
  const { from: inner, to: outer } = rule.width.yards;
  const corner = (depth: number, width: number) => fieldPoint(x + along * depth, y + outward * width);
  return [corner(nearDepth, inner), corner(farDepth, inner), corner(farDepth, outer), corner(nearDepth, outer)];
}

/** The rule that applies to a position at a phase: the first of the book whose conditions hold. */
export function stationRuleFor(
  book: Book,
  positionId: string,
  phase: StationRule["phase"],
  scene: StationScene,
): StationRule | null {
  const position = bookPosition(book, positionId);
  if (!position) return null;
  const side = ownSide(position, scene.lineJudgeSide);
  return (
    book.stations.find(
      (rule) => rule.position === positionId && rule.phase === phase && conditionHolds(rule.when, side, scene),
    ) ?? null
  );
}
