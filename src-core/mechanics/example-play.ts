import { directionSign, type FieldDirection, fromPlay, toPlay } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Down, FieldSide, PlayerRole, Side, Situation } from "../game/records.ts";
import type { StationScene } from "./anchors.ts";

/**
 * A play to look at a rule by: who stands where against the ball, in a situation that one can change. Depths in yards
 * downfield of the line of scrimmage, lateral to the offence's left of the ball, so that a formation moves with the ball
 * and turns with the play.
 */
export type ExamplePlayer = {
  readonly id: string;
  readonly side: Side;
  readonly role: PlayerRole;
  readonly depthYards: number;
  readonly leftYards: number;
};

export type BallAt = "near-hash" | "middle" | "far-hash";

export type ExampleSituation = {
  readonly direction: FieldDirection;
  readonly down: Down;
  readonly toGoYards: number;
  /** From A's own goal line to the line of scrimmage. */
  readonly fromOwnGoalYards: number;
  readonly ballAt: BallAt;
  readonly lineJudgeSide: FieldSide;
};

export const startingSituation: ExampleSituation = {
  direction: "right",
  down: 1,
  toGoYards: 10,
  fromOwnGoalYards: 30,
  ballAt: "middle",
  lineJudgeSide: "far",
};

function ballY(layout: FieldLayout, ballAt: BallAt): number {
  const { widthYards } = layout;
  const hash = layout.hashYYards ?? { near: widthYards / 3, far: (widthYards * 2) / 3 };
  switch (ballAt) {
    case "near-hash":
      return hash.near;
    case "middle":
      return widthYards / 2;
    case "far-hash":
      return hash.far;
  }
}

/** The situation on a field: the spot held between the goal lines, the line to gain no further than B's goal line. */
export function situationOn(layout: FieldLayout, example: ExampleSituation): Situation {
  const { direction, down } = example;
  const along = directionSign(direction);
  const length = layout.rightGoalXYards - layout.leftGoalXYards;
  const spot = Math.min(length - 1, Math.max(1, example.fromOwnGoalYards));
  const own = along > 0 ? layout.leftGoalXYards : layout.rightGoalXYards;
  const toGo = Math.min(length - spot, Math.max(1, example.toGoYards));
  return {
    offence: "home",
    direction,
    down,
    scrimmageXYards: own + along * spot,
    lineToGainXYards: own + along * (spot + toGo),
    ballYYards: ballY(layout, example.ballAt),
  };
}

function frameOf({ scrimmageXYards, ballYYards, direction }: Situation) {
  return { ball: fieldPoint(scrimmageXYards, ballYYards), direction };
}

export function exampleScene(
  layout: FieldLayout,
  example: ExampleSituation,
  players: readonly ExamplePlayer[],
): StationScene {
  const situation = situationOn(layout, example);
  const frame = frameOf(situation);
  return {
    layout,
    situation,
    lineJudgeSide: example.lineJudgeSide,
    players: players.map(({ id, side, role, depthYards, leftYards }) => ({
      markId: id,
      side,
      role,
      at: onField(layout, fromPlay(frame, { downfieldYards: depthYards, lateralYards: leftYards })),
    })),
    ball: { markId: "ball", at: frame.ball },
  };
}

/** The same players with one of them put at a place of the field. */
export function movedTo(
  players: readonly ExamplePlayer[],
  id: string,
  at: FieldPoint,
  { situation, layout }: StationScene,
): ExamplePlayer[] {
  const { downfieldYards, lateralYards } = toPlay(frameOf(situation), onField(layout, at));
  return players.map((player) =>
    player.id === id ? { ...player, depthYards: downfieldYards, leftYards: lateralYards } : player,
  );
}

function onField({ totalLengthYards, widthYards }: FieldLayout, { xYards, yYards }: FieldPoint): FieldPoint {
  return fieldPoint(Math.min(totalLengthYards, Math.max(0, xYards)), Math.min(widthYards, Math.max(0, yYards)));
}

type Place = readonly [id: string, side: Side, role: PlayerRole, depthYards: number, leftYards: number];

const flagLine: readonly Place[] = [
  ["snapper", "A", "snapper", -0.7, 0],
  ["passer", "A", "passer", -5, 0],
  ["back", "A", "back", -6, 2.5],
  ["blocker", "A", "blocker", -0.8, -2.5],
  ["rusher", "B", "rusher", 7, -3],
  ["defender 4", "B", "defender", 5, 1],
  ["defender 5", "B", "defender", 14, -3],
  ["defender 6", "B", "defender", 14, 4],
];

const tackleLine: readonly Place[] = [
  ["snapper", "A", "snapper", -0.7, 0],
  ["right guard", "A", "blocker", -0.8, -1.5],
  ["left guard", "A", "blocker", -0.8, 1.5],
  ["right tackle", "A", "blocker", -0.9, -3],
  ["left tackle", "A", "blocker", -0.9, 3],
  ["passer", "A", "passer", -5, 0],
  ["back", "A", "back", -6, 2],
  ["rusher 1", "B", "rusher", 0.9, -4],
  ["rusher 2", "B", "rusher", 0.9, -1],
  ["rusher 3", "B", "rusher", 0.9, 1],
  ["rusher 4", "B", "rusher", 0.9, 4],
  ["defender 4", "B", "defender", 4.5, -3],
  ["defender 5", "B", "defender", 4.5, 3],
  ["defender 6", "B", "defender", 13, -5],
];

export const formations = ["doubles", "trips"] as const;
export type Formation = (typeof formations)[number];

/** Widths of the receivers as shares of the room on their side, so that they fit a narrow field too. */
const receivers: Record<"flag" | "tackle", Record<Formation, readonly (readonly [share: number, depth: number])[]>> = {
  flag: {
    doubles: [
      [0.85, -0.7],
      [-0.5, -1],
      [-0.85, -0.7],
    ],
    trips: [
      [0.85, -0.7],
      [0.55, -1],
      [0.3, -1],
    ],
  },
  tackle: {
    doubles: [
      [0.7, -0.7],
      [0.4, -1],
      [-0.4, -1],
      [-0.7, -0.7],
    ],
    trips: [
      [0.7, -0.7],
      [0.45, -1],
      [0.28, -1],
      [-0.7, -0.7],
    ],
  },
};

/** Everybody of a formation, of the game that the field is for. */
export function formationOn({ template, widthYards }: FieldLayout, formation: Formation): ExamplePlayer[] {
  const game = template.game === "tackle" ? "tackle" : "flag";
  const half = widthYards / 2;
  const places: Place[] = [...(game === "flag" ? flagLine : tackleLine)];
  for (const [index, [share, depth]] of receivers[game][formation].entries()) {
    places.push([`receiver ${index + 1}`, "A", "receiver", depth, share * half]);
    places.push([`defender ${index + 1}`, "B", "defender", 5 + index, share * half - Math.sign(share) * 0.8]);
  }
  return places.map(([id, side, role, depthYards, leftYards]) => ({ id, side, role, depthYards, leftYards }));
}
