import { directionSign } from "../field/frames.ts";
import type { FieldPoint } from "../field/units.ts";
import type { FieldSide, Phase } from "../game/records.ts";
import { type Anchor, depthAnchorX, outwardSign, type StationScene, widthAnchorY } from "./anchors.ts";
import type { Book, YardRange } from "./book.ts";
import { conditionHolds } from "./conditions.ts";
import { allowedDepths, bookPosition, ownSide, ruleSide } from "./target.ts";
import type { ZoneHolding, ZoneRule } from "./watch-rules.ts";

/** A zone on the ground, in field yards: open to the field's edges and beyond where the rule has no bound. */
export type ZoneArea = { readonly xYards: YardRange; readonly yYards: YardRange };

const everywhere: YardRange = { from: -Infinity, to: Infinity };
const xOf = (anchor: Anchor | null): number | null => (anchor && anchor.kind !== "absent" ? anchor.yards : null);

function ordered(a: number, b: number): YardRange {
  return a <= b ? { from: a, to: b } : { from: b, to: a };
}

/**
 * Where the bounds of a zone lie for a position that works a side. Null for the rest of the field, which has no bounds of
 * its own, and where an anchor is missing. A width that may count toward either side counts toward both.
 */
export function zoneArea(rule: ZoneRule, side: FieldSide | null, scene: StationScene): ZoneArea | null {
  if (rule.rest) return null;
  const { direction } = scene.situation;
  const along = directionSign(direction);
  let xYards = everywhere;
  if (rule.depth) {
    const { anchor, atLeast, atMost } = rule.depth;
    const x = xOf(depthAnchorX(anchor, scene));
    const least = atLeast ? xOf(depthAnchorX(atLeast.anchor, scene)) : null;
    const most = atMost ? xOf(depthAnchorX(atMost.anchor, scene)) : null;
    if (x === null || (atLeast && least === null) || (atMost && most === null)) return null;
    const { from, to } = allowedDepths(rule.depth, x, least, most, direction);
    xYards = ordered(x + along * from, x + along * to);
  }
  let yYards = everywhere;
  if (rule.width) {
    const toward = ruleSide(rule.width, side, scene);
    const sides: readonly (FieldSide | null)[] = toward === "either" ? ["near", "far"] : [toward];
    const { from, to } = rule.width.yards;
    const ends: number[] = [];
    for (const one of sides) {
      const y = xOf(widthAnchorY(rule.width.anchor, one, scene));
      if (y === null) return null;
      ends.push(y + outwardSign(one) * from, y + outwardSign(one) * to);
    }
    yYards = { from: Math.min(...ends), to: Math.max(...ends) };
  }
  return { xYards, yYards };
}

export function areaHolds({ xYards, yYards }: ZoneArea, point: FieldPoint): boolean {
  const { xYards: x, yYards: y } = point;
  return x >= xYards.from && x <= xYards.to && y >= yYards.from && y <= yYards.to;
}

/**
 * The rule that holds a place at a phase: the earliest of the book whose bounds do, and otherwise the rest of the field.
 * `holding` asks for whom: the runner after a catch, or anybody else. Null where the book gives the place to nobody.
 */
export function zoneRuleAt(
  book: Book,
  phase: Phase,
  point: FieldPoint,
  scene: StationScene,
  holding: Exclude<ZoneHolding, "everybody">,
): ZoneRule | null {
  let rest: ZoneRule | null = null;
  for (const rule of book.zones) {
    const holds = rule.holds ?? "everybody";
    if (!rule.phases.includes(phase) || (holds !== "everybody" && holds !== holding)) continue;
    const position = bookPosition(book, rule.position);
    const side = position ? ownSide(position, scene.lineJudgeSide) : null;
    if (!conditionHolds(rule.when, side, scene)) continue;
    if (rule.rest) rest ??= rule;
    else {
      const area = zoneArea(rule, side, scene);
      if (area && areaHolds(area, point)) return rule;
    }
  }
  return rest;
}
