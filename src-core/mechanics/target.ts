import { directionSign, type FieldDirection } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldSide, Situation } from "../game/records.ts";
import type { Book, BookPosition, DepthAnchor, RuleCondition, StationRule, WidthAnchor } from "./book.ts";

/**
 * From a rule to a place on the ground. Depth is counted along the field, positive downfield; width across it, positive
 * outward, toward the sideline that the position works. An anchor that is a player comes from a mark, with its error;
 * every other anchor comes from the situation or the field and has none.
 */
export type Anchor =
  | { readonly kind: "known"; readonly yards: number }
  | { readonly kind: "mark"; readonly markId: string; readonly yards: number }
  | { readonly kind: "absent"; readonly missing: string };

/** A person of A or B as the anchors need them. */
export type AnchorPlayer = {
  readonly markId: string;
  readonly side: "A" | "B";
  readonly role: string;
  readonly at: FieldPoint;
};

export type StationScene = {
  readonly layout: FieldLayout;
  readonly situation: Situation;
  readonly lineJudgeSide: FieldSide;
  readonly players: readonly AnchorPlayer[];
};

/** The sideline a position works; null for one that works the middle. */
export function ownSide(position: BookPosition, lineJudgeSide: FieldSide): FieldSide | null {
  switch (position.side) {
    case "line-judge-side":
      return lineJudgeSide;
    case "other-side":
      return lineJudgeSide === "near" ? "far" : "near";
    case "middle":
      return null;
  }
}

export function bookPosition(book: Book, id: string): BookPosition | null {
  return book.positions.find((position) => position.id === id) ?? null;
}

/** +1 where outward is toward larger y (the far sideline), -1 toward the near one. */
export function outwardSign(side: FieldSide | null): 1 | -1 {
  return side === "near" ? -1 : 1;
}

function furthest(players: readonly AnchorPlayer[], along: (player: AnchorPlayer) => number): AnchorPlayer | null {
  let best: AnchorPlayer | null = null;
  for (const player of players) {
    const ahead = best === null ? 1 : along(player) - along(best);
    // Of two exactly level the id decides: the order of the marks must not.
    if (best === null || ahead > 0 || (ahead === 0 && player.markId < best.markId)) best = player;
  }
  return best;
}

const isReceiver = (player: AnchorPlayer) => player.side === "A" && player.role === "receiver";

/** x of a depth anchor in the field frame, yards. */
export function depthAnchorX(anchor: DepthAnchor, scene: StationScene): Anchor {
  const { layout, situation, players } = scene;
  const sign = directionSign(situation.direction);
  const fromMark = (player: AnchorPlayer | null, missing: string): Anchor =>
    player ? { kind: "mark", markId: player.markId, yards: player.at.xYards } : { kind: "absent", missing };
  switch (anchor) {
    case "neutral-zone":
      return { kind: "known", yards: situation.scrimmageXYards };
    case "line-to-gain":
      return situation.lineToGainXYards === null
        ? { kind: "absent", missing: "the line to gain of this play" }
        : { kind: "known", yards: situation.lineToGainXYards };
    case "goal-line":
      return { kind: "known", yards: sign > 0 ? layout.rightGoalXYards : layout.leftGoalXYards };
    case "end-line":
      return { kind: "known", yards: sign > 0 ? layout.totalLengthYards : 0 };
    case "deepest-back":
      return fromMark(deepestBack(players, situation.direction), "a mark on the deepest back of A");
    case "deepest-defender": {
      const defenders = players.filter((player) => player.side === "B");
      return fromMark(
        furthest(defenders, (player) => sign * player.at.xYards),
        "a mark on the deepest defender",
      );
    }
  }
}

function deepestBack(players: readonly AnchorPlayer[], direction: FieldDirection): AnchorPlayer | null {
  const backs = players.filter((player) => player.side === "A" && (player.role === "back" || player.role === "passer"));
  return furthest(backs, (player) => -directionSign(direction) * player.at.xYards);
}

/** y of a width anchor in the field frame, yards. */
export function widthAnchorY(anchor: WidthAnchor, side: FieldSide | null, scene: StationScene): Anchor {
  const { layout, situation, players } = scene;
  const outward = outwardSign(side);
  // A field without painted hash rows still has its thirds, which is where a crew would pace them off.
  const hash = layout.hashYYards ?? { near: layout.widthYards / 3, far: (layout.widthYards * 2) / 3 };
  switch (anchor) {
    case "own-sideline":
      return { kind: "known", yards: side === "near" ? 0 : layout.widthYards };
    case "own-hash":
      return { kind: "known", yards: side === "near" ? hash.near : hash.far };
    case "other-hash":
      return { kind: "known", yards: side === "near" ? hash.far : hash.near };
    case "ball":
      return { kind: "known", yards: situation.ballYYards };
    case "deepest-back": {
      const back = deepestBack(players, situation.direction);
      return back
        ? { kind: "mark", markId: back.markId, yards: back.at.yYards }
        : { kind: "absent", missing: "a mark on the deepest back of A" };
    }
    case "widest-receiver": {
      const widest = furthest(players.filter(isReceiver), (player) => outward * player.at.yYards);
      return widest
        ? { kind: "mark", markId: widest.markId, yards: widest.at.yYards }
        : { kind: "absent", missing: "a mark on the widest receiver" };
    }
  }
}

/** Whether a rule's conditions hold in this situation. */
export function conditionHolds(when: RuleCondition, side: FieldSide | null, scene: StationScene): boolean {
  const { situation, layout, players } = scene;
  if (when.downs !== null && (situation.down === null || !when.downs.includes(situation.down))) return false;
  if (when.lineToGainYards !== null) {
    if (situation.lineToGainXYards === null) return false;
    const toGo = directionSign(situation.direction) * (situation.lineToGainXYards - situation.scrimmageXYards);
    if (toGo <= when.lineToGainYards.from || toGo >= when.lineToGainYards.to) return false;
  }
  if (when.receiverNearSidelineYards !== null) {
    const sidelineY = side === "near" ? 0 : layout.widthYards;
    const within = when.receiverNearSidelineYards;
    if (!players.some((player) => isReceiver(player) && Math.abs(player.at.yYards - sidelineY) <= within)) return false;
  }
  return true;
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

/** Corners of a rule's target on the ground, in order round it. */
export function targetCorners(
  rule: StationRule,
  anchors: { xYards: number; yYards: number },
  direction: FieldDirection,
  side: FieldSide | null,
): FieldPoint[] {
  const along = directionSign(direction);
  const outward = outwardSign(side);
  const { from: nearDepth, to: farDepth } = rule.depth.yards;
  const { from: inner, to: outer } = rule.width.yards;
  const corner = (depth: number, width: number) =>
    fieldPoint(anchors.xYards + along * depth, anchors.yYards + outward * width);
  return [corner(nearDepth, inner), corner(farDepth, inner), corner(farDepth, outer), corner(nearDepth, outer)];
}
