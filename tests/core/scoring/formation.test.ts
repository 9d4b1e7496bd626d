import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { PlayerRole, Side } from "#core/game/records";
import type { AnchorPlayer, StationScene } from "#core/mechanics/anchors";
import { readFormation } from "#core/scoring/formation";
import { formationWords } from "#core/scoring/formation-words";
import { flagField, inPlace } from "./staged-play.ts";

/** Numbered from the outside in at the snap: common practice, and the note in the manuals on who is a key. */
const player = (markId: string, side: Side, role: PlayerRole, x: number, y: number): AnchorPlayer => ({
  markId,
  side,
  role,
  at: fieldPoint(x, y),
});

/** Three receivers near, one far; the ball 18 yd from the near sideline of a field 40 yd wide. */
const players: readonly AnchorPlayer[] = [
  player("snap", "A", "snapper", 33, 18),
  player("pass", "A", "passer", 28, 18),
  player("back", "A", "back", 28, 21),
  player("guard", "A", "blocker", 33, 19.5),
  player("tackle", "A", "blocker", 33, 21),
  player("end", "A", "blocker", 33, 23),
  player("n2", "A", "receiver", 33, 8),
  player("n1", "A", "receiver", 33, 3),
  player("n3", "A", "receiver", 32, 12),
  player("f1", "A", "receiver", 33, 36),
  player("b1", "B", "defender", 35, 3.5),
  player("b2", "B", "defender", 41, 8),
  player("b3", "B", "rusher", 34.2, 18.4),
  player("b4", "B", "defender", 36, 38),
];
const scene: StationScene = {
  layout: flagField,
  situation: { ...inPlace.situation, ballYYards: 18 },
  lineJudgeSide: "far",
  players,
};
const ids = (list: readonly { player: AnchorPlayer }[]) => list.map((one) => one.player.markId);

describe("a formation at the snap", () => {
  const formation = readFormation(scene);

  it("numbers the receivers of each side from the outside in", () => {
    expect(ids(formation.receivers.near)).toEqual(["n1", "n2", "n3"]);
    expect(ids(formation.receivers.far)).toEqual(["f1"]);
    expect(formation.receiversAtBall).toEqual([]);
  });

  it("finds the snapper, the passer, the backs and the two blockers beside the snapper", () => {
    expect([formation.snapper?.markId, formation.passer?.markId]).toEqual(["snap", "pass"]);
    expect(ids(formation.backs)).toEqual(["back"]);
    expect(formation.blockersNearSnapper.map(({ markId }) => markId)).toEqual(["guard", "tackle"]);
  });

  it("finds the nearest opponent of each, and who is pressed", () => {
    // From n1 at (33, 3) to b1 at (35, 3.5): √(2² + 0.5²).
    const [n1, n2] = formation.receivers.near;
    expect([n1!.nearest!.player.markId, n1!.isPressed]).toEqual(["b1", true]);
    expect(n1!.nearest!.apartYards).toBeCloseTo(Math.sqrt(4.25), 12);
    // From n2 at (33, 8) to b1: √(2² + 4.5²) = 4.92; to b2: 8.
    expect([n2!.nearest!.player.markId, n2!.isPressed]).toEqual(["b1", false]);
    expect(readFormation(scene, 5).receivers.near[1]!.isPressed).toBe(true);
    // From f1 at (33, 36) to b4 at (36, 38): √13 = 3.6.
    expect(formation.receivers.far[0]!.nearest!.apartYards).toBeCloseTo(Math.sqrt(13), 12);
  });

  it("finds the strong side, and the wide side of a ball off the middle", () => {
    expect([formation.strongSide, formation.wideSide]).toEqual(["near", "far"]);
    const level = players.filter(({ markId }) => markId !== "n2" && markId !== "n3");
    expect(readFormation({ ...scene, players: level }).strongSide).toBeNull();
    expect(readFormation({ ...scene, situation: inPlace.situation }).wideSide).toBeNull();
  });

  it("reads the same from marks in any order, and from the other side of the field", () => {
    expect(readFormation({ ...scene, players: players.toReversed() })).toEqual(formation);
    const turned = readFormation({
      ...scene,
      situation: { ...scene.situation, direction: "left", ballYYards: 22, scrimmageXYards: 120 - 34 },
      players: players.map((one) => ({ ...one, at: fieldPoint(120 - one.at.xYards, 40 - one.at.yYards) })),
    });
    expect(ids(turned.receivers.far)).toEqual(ids(formation.receivers.near));
    expect([turned.strongSide, turned.wideSide]).toEqual(["far", "near"]);
    expect(turned.blockersNearSnapper.map(({ markId }) => markId)).toEqual(["guard", "tackle"]);
  });

  it("says how they stood, in the figures above", () => {
    expect(formationWords(formation, scene.situation)).toEqual([
      "Receivers: 3 near, 1 far; strong on the near side.",
      "Pressed: near 1 (2.1 yd).",
      `2 blockers beside the snapper, 1 back, the passer ${(scene.situation.scrimmageXYards - 28).toFixed(1)} yd behind the ball.`,
    ]);
    const bare = readFormation({ ...scene, players: [] });
    expect(formationWords(bare, scene.situation)).toEqual([
      "Receivers: 0 near, 0 far; balanced.",
      "No receiver is pressed.",
      "No snapper marked, no blockers beside the snapper, no backs, no passer marked.",
    ]);
  });

  it("says nothing of what is not marked", () => {
    const bare = readFormation({ ...scene, players: [] });
    expect([bare.snapper, bare.passer, bare.strongSide]).toEqual([null, null, null]);
    expect(bare.receivers).toEqual({ near: [], far: [] });
    expect(readFormation({ ...scene, players: players.slice(0, 10) }).receivers.near[0]!.nearest).toBeNull();
  });
});
