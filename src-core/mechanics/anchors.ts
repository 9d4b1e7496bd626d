import { directionSign, type FieldDirection } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import type { FieldPoint } from "../field/units.ts";
import type { FieldSide, Situation } from "../game/records.ts";
import type { DepthAnchor, WidthAnchor } from "./book.ts";

/**
 * Where a rule counts from, on the ground. An anchor that is a player or the ball comes from a mark, with its error; every
 * other comes from the situation or the field and has none.
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
  /** The mark on the ball, where there is one. */
  readonly ball?: Pick<AnchorPlayer, "markId" | "at"> | null;
};

/** +1 where outward is toward larger y (the far sideline), -1 toward the near one. */
export function outwardSign(side: FieldSide | null): 1 | -1 {
  return side === "near" ? -1 : 1;
}

export function otherSide(side: FieldSide): FieldSide {
  return side === "near" ? "far" : "near";
}

const isA = (player: AnchorPlayer) => player.side === "A";
export const isReceiver = (player: AnchorPlayer) => isA(player) && player.role === "receiver";
const isBack = (player: AnchorPlayer) => isA(player) && (player.role === "back" || player.role === "passer");
const isOnLine = (player: AnchorPlayer) => isA(player) && (player.role === "blocker" || player.role === "snapper");

function furthest(players: readonly AnchorPlayer[], along: (player: AnchorPlayer) => number): AnchorPlayer | null {
  let best: AnchorPlayer | null = null;
  for (const player of players) {
    const ahead = best === null ? 1 : along(player) - along(best);
    // Of two exactly level the id decides: the order of the marks must not.
    if (best === null || ahead > 0 || (ahead === 0 && player.markId < best.markId)) best = player;
  }
  return best;
}

function deepestBack(players: readonly AnchorPlayer[], direction: FieldDirection): AnchorPlayer | null {
  return furthest(players.filter(isBack), (player) => -directionSign(direction) * player.at.xYards);
}

function known(yards: number): Anchor {
  return { kind: "known", yards };
}

function fromMark(
  player: Pick<AnchorPlayer, "markId" | "at"> | null | undefined,
  axis: "xYards" | "yYards",
  missing: string,
): Anchor {
  return player ? { kind: "mark", markId: player.markId, yards: player.at[axis] } : { kind: "absent", missing };
}

/** x of a depth anchor in the field frame, yards. */
export function depthAnchorX(anchor: DepthAnchor, scene: StationScene): Anchor {
  const { layout, situation, players, ball } = scene;
  const sign = directionSign(situation.direction);
  const downfield = (player: AnchorPlayer) => sign * player.at.xYards;
  switch (anchor) {
    case "neutral-zone":
      return known(situation.scrimmageXYards);
    case "line-to-gain":
      return situation.lineToGainXYards === null
        ? { kind: "absent", missing: "the line to gain of this play" }
        : known(situation.lineToGainXYards);
    case "goal-line":
      return known(sign > 0 ? layout.rightGoalXYards : layout.leftGoalXYards);
    case "end-line":
      return known(sign > 0 ? layout.totalLengthYards : 0);
    case "own-goal-line":
      return known(sign > 0 ? layout.leftGoalXYards : layout.rightGoalXYards);
    case "own-end-line":
      return known(sign > 0 ? 0 : layout.totalLengthYards);
    case "ball":
      return fromMark(ball, "xYards", "a mark on the ball");
    case "passer": {
      const passers = players.filter((player) => isA(player) && player.role === "passer");
      return fromMark(furthest(passers, downfield), "xYards", "a mark on the passer");
    }
    case "deepest-eligible": {
      const eligible = players.filter((player) => isReceiver(player) || isBack(player));
      return fromMark(furthest(eligible, downfield), "xYards", "a mark on the receiver furthest downfield");
    }
    case "deepest-back":
      return fromMark(deepestBack(players, situation.direction), "xYards", "a mark on the deepest back of A");
    case "deepest-defender": {
      const defenders = players.filter((player) => player.side === "B");
      return fromMark(furthest(defenders, downfield), "xYards", "a mark on the deepest defender");
    }
  }
}

/** y of a width anchor in the field frame, yards, for a rule that counts toward a side; null counts toward the far one. */
export function widthAnchorY(anchor: WidthAnchor, side: FieldSide | null, scene: StationScene): Anchor {
  const { layout, situation, players } = scene;
  const outward = outwardSign(side);
  // A field without painted hash rows still has its thirds, which is where a crew would pace them off.
  const hash = layout.hashYYards ?? { near: layout.widthYards / 3, far: (layout.widthYards * 2) / 3 };
  const wide = (player: AnchorPlayer) => outward * player.at.yYards;
  switch (anchor) {
    case "own-sideline":
      return known(side === "near" ? 0 : layout.widthYards);
    case "own-hash":
      return known(side === "near" ? hash.near : hash.far);
    case "other-hash":
      return known(side === "near" ? hash.far : hash.near);
    case "middle":
      return known(layout.widthYards / 2);
    case "ball":
      return known(situation.ballYYards);
    case "deepest-back":
      return fromMark(deepestBack(players, situation.direction), "yYards", "a mark on the deepest back of A");
    case "widest-receiver":
      return fromMark(furthest(players.filter(isReceiver), wide), "yYards", "a mark on the widest receiver");
    case "end-of-line":
      return fromMark(furthest(players.filter(isOnLine), wide), "yYards", "a mark on the widest player of A's line");
  }
}
