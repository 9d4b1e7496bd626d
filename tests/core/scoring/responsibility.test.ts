import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { Phase, PlayerRole, Side } from "#core/game/records";
import type { AnchorPlayer, StationScene } from "#core/mechanics/anchors";
import { keysAtSnap, positionsOf, responsibilityAt, type ResponsibilityInput } from "#core/scoring/responsibility";
import { flagCrewBook, flagField, inPlace } from "./staged-play.ts";

/** Keys, their times and the zones after them are common practice for a flag crew of four, with no source. */
const player = (markId: string, role: PlayerRole, x: number, y: number, side: Side = "A"): AnchorPlayer => ({
  markId,
  side,
  role,
  at: fieldPoint(x, y),
});
const scene: StationScene = {
  layout: flagField,
  situation: inPlace.situation,
  lineJudgeSide: "far",
  players: [
    player("snapper", "snapper", 33, 20),
    player("passer", "passer", 29, 20),
    player("back", "back", 28, 24),
    player("blocker", "blocker", 33, 18),
    player("near", "receiver", 33, 6),
    player("far", "receiver", 33, 34),
  ],
  ball: { markId: "ball", at: fieldPoint(50, 20) },
};
const keysOf = (where: StationScene) =>
  keysAtSnap(flagCrewBook, where, () => null).map(({ rule, playerId }) => [rule.id, playerId]);

describe("keys at the snap", () => {
  it("are the book's, in its order, on the players of this formation", () => {
    expect(keysOf(scene)).toEqual([
      ["KEY-R-PASSER", "passer"],
      ["KEY-R-BACKS", "back"],
      ["KEY-R-SNAPPER", "snapper"],
      ["KEY-R-BLOCKERS", "blocker"],
      ["KEY-LJ-SNAPPER", "snapper"],
      ["KEY-LJ-BLOCKERS", "blocker"],
      ["KEY-FJ-RECEIVERS", "near"],
      ["KEY-BJ-RECEIVERS", "far"],
    ]);
  });

  it("KEY-FJ-GOAL, KEY-BJ-GOAL: come before the others within 10 yd of the goal line", () => {
    const situation = { ...inPlace.situation, scrimmageXYards: flagField.rightGoalXYards - 8 };
    const ids = keysOf({ ...scene, situation }).map(([id]) => id);
    expect(ids).toContain("KEY-FJ-GOAL");
    expect(ids).toContain("KEY-BJ-GOAL");
    expect(ids).not.toContain("KEY-FJ-RECEIVERS");
  });
});

function ask(
  markId: string,
  sinceSnapSec: number,
  part: Partial<ResponsibilityInput> & { readonly at?: readonly [number, number] } = {},
) {
  const one = scene.players.find((candidate) => candidate.markId === markId)!;
  const { at, ...rest } = part;
  return responsibilityAt({
    book: flagCrewBook,
    phase: "keys",
    sinceSnapSec,
    scene,
    player: at ? { ...one, at: fieldPoint(...at) } : one,
    covariance: { xx: 0.01, xy: 0, yy: 0.01 },
    keys: keysAtSnap(flagCrewBook, scene, () => null),
    pressedBy: null,
    isHeldOn: () => false,
    isRunner: false,
    ...rest,
  });
}

describe("whose a player is", () => {
  it("is the keys' until their time is over, and then the zone's", () => {
    // FJ has the near receivers for 2 s; the middle of the field deep is BJ's.
    expect(ask("near", 1, { at: [50, 20] }).holders).toEqual([
      { position: "FJ", ruleId: "KEY-FJ-RECEIVERS", by: "key" },
    ]);
    expect(ask("near", 2.5, { at: [50, 20] }).holders).toEqual([{ position: "BJ", ruleId: "ZN-BJ", by: "zone" }]);
  });

  it("may be either's within a moment of the key's end", () => {
    expect(ask("near", 2.1, { at: [50, 20] }).possible).toEqual(["BJ", "FJ"]);
    expect(ask("near", 1, { at: [50, 20] }).possible).toEqual(["FJ"]);
  });

  it("stays the key's while it is held on, in and out of an observer's zone phase", () => {
    for (const phase of ["keys", "zone"] as const) {
      const held = ask("near", 2.6, { phase, at: [50, 8], isHeldOn: ({ rule }) => rule.position === "FJ" });
      expect(held.holders, phase).toEqual([{ position: "FJ", ruleId: "KEY-FJ-RECEIVERS", by: "key" }]);
    }
  });

  it("is the zone's as soon as the observer says so, though the key may be on within its time", () => {
    const early = ask("near", 1.2, { phase: "zone", at: [50, 20] });
    expect(positionsOf(early.holders)).toEqual(["BJ"]);
    expect(early.possible).toEqual(["BJ", "FJ"]);
  });

  it("is shared by whoever has the same key, and goes with a key on the opponent", () => {
    expect(positionsOf(ask("snapper", 1).holders)).toEqual(["LJ", "R"]);
    const rusher = { rule: { ...flagCrewBook.keys[0]!, id: "KEY-X", position: "LJ" }, playerId: "rusher" };
    expect(positionsOf(ask("near", 1, { keys: [rusher], pressedBy: "rusher" }).holders)).toEqual(["LJ"]);
    expect(positionsOf(ask("near", 3, { keys: [rusher], pressedBy: null }).holders)).toEqual(["R"]);
  });

  it("may be either's at the edge of two zones, as far as the mark's error reaches", () => {
    // FJ's zone ends 2 yd inside the near hash: at 40 / 3 + 2 = 15.33.
    expect(ask("near", 3, { at: [50, 15.2] }).possible).toEqual(["BJ", "FJ"]);
    expect(ask("near", 3, { at: [50, 14.5] }).possible).toEqual(["FJ"]);
    expect(ask("near", 3, { at: [50, 14.5], covariance: { xx: 0.01, xy: 0, yy: 0.25 } }).possible).toEqual([
      "BJ",
      "FJ",
    ]);
  });

  it("is nobody's in particular while the ball is in the air, whatever the zone", () => {
    const away = ask("near", 3, { phase: "ball-away", at: [50, 8] });
    expect(away.holders).toEqual([]);
    expect(away.zone).toEqual({ position: "FJ", ruleId: "ZN-FJ", by: "zone" });
  });

  type Row = readonly [ruleId: string, phase: Phase, at: readonly [number, number], isRunner: boolean];
  it.each<Row>([
    ["ZN-R", "zone", [30, 20], false],
    ["ZN-LJ-SIDELINE", "zone", [50, 38], false],
    ["ZN-LJ-LANE", "zone", [37, 25], false],
    ["ZN-FJ", "zone", [50, 8], false],
    ["ZN-BJ", "zone", [50, 20], false],
    ["ZN-R-CATCH", "catch", [30, 20], true],
    ["ZN-LJ-SIDELINE-CATCH", "catch", [50, 38], true],
    ["ZN-LJ-LANE-CATCH", "catch", [37, 25], true],
    ["ZN-FJ-CATCH", "catch", [48, 8], true],
    ["ZN-BJ-CATCH", "catch", [52, 20], true],
    ["ZN-BJ-AHEAD", "catch", [55, 20], false],
    ["ZN-FJ-BEHIND", "dead-ball", [45, 20], false],
  ])("%s: has its part of the field at the phase “%s”", (ruleId, phase, at, isRunner) => {
    expect(ask("near", 3, { phase, at, isRunner }).holders.map((holder) => holder.ruleId)).toEqual([ruleId]);
  });
});
