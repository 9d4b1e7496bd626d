import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import { fieldDistanceYards, type FieldPoint, fieldPoint } from "../field/units.ts";
import type { PlayerRole, Side, Situation } from "../game/records.ts";
import type { MatterWeights } from "../mechanics/watch-rules.ts";
import type { PlacedMark } from "./station.ts";

/** What there is to watch at a moment: opponents close together, and, for little, a player who is alone. */
export type MatterKind = "matchup" | "passer" | "line" | "alone";

export type MatterPlayer = {
  readonly markId: string;
  readonly side: Side;
  readonly role: PlayerRole;
  readonly at: FieldPoint;
};

export type Matter = {
  /** The marks' ids, A's first: the same matter has the same id whatever the order of the marks. */
  readonly id: string;
  readonly kind: MatterKind;
  readonly player: MatterPlayer;
  /** Null for a player who is alone. */
  readonly opponent: MatterPlayer | null;
  /** Between the two, yards; null for a player who is alone. */
  readonly apartYards: number | null;
  /** Where it is: midway between the two. */
  readonly at: FieldPoint;
  readonly weight: number;
};

/** The positions of the crew that a matter belongs to; none where the book leaves it to anybody. */
export type Responsible = (matter: Matter) => readonly string[];

/**
 * How much a matter weighs. Common practice, no source: most where contact is, more where a step decides the down, and
 * little for a player with nobody near. A book may say otherwise.
 */
export const matterWeights: MatterWeights = {
  contactYards: 1,
  contact: 1,
  apart: 0.5,
  alone: 0.15,
  decisive: 1.5,
  decisiveYards: 5,
};

export type MatterScene = { readonly layout: FieldLayout; readonly situation: Situation };

const watchedAlone: ReadonlySet<PlayerRole> = new Set(["passer", "back", "receiver"]);

function playersOf(placed: readonly PlacedMark[]): MatterPlayer[] {
  return placed
    .flatMap(({ markId, subject, measured }): MatterPlayer[] =>
      subject.kind === "player" ? [{ markId, side: subject.side, role: subject.role, at: measured.position }] : [],
    )
    .toSorted((a, b) => (a.markId < b.markId ? -1 : 1));
}

function nearest(to: MatterPlayer, among: readonly MatterPlayer[]): { one: MatterPlayer; yards: number } | null {
  let best: { one: MatterPlayer; yards: number } | null = null;
  for (const one of among) {
    const yards = fieldDistanceYards(to.at, one.at);
    if (best === null || yards < best.yards) best = { one, yards };
  }
  return best;
}

/**
 * The matters of a moment, ascending by id: each of A with the nearest of B, and each rusher with the nearest of A, where
 * they are within the distance given; the passer, backs and receivers who have nobody near are alone.
 */
export function mattersOf(
  placed: readonly PlacedMark[],
  scene: MatterScene,
  withinYards: number,
  weights: MatterWeights = matterWeights,
): Matter[] {
  const players = playersOf(placed);
  const ours = players.filter(({ side }) => side === "A");
  const theirs = players.filter(({ side }) => side === "B");
  const matters = new Map<string, Matter>();
  const add = (player: MatterPlayer, opponent: MatterPlayer, apartYards: number) => {
    const id = `${player.markId}+${opponent.markId}`;
    const at = fieldPoint((player.at.xYards + opponent.at.xYards) / 2, (player.at.yYards + opponent.at.yYards) / 2);
    const weight = closeness(apartYards, withinYards, weights) * decisive(at, scene, weights);
    matters.set(id, { id, kind: kindOf(player.role), player, opponent, apartYards, at, weight });
  };
  for (const player of ours) {
    const close = nearest(player, theirs);
    if (close && close.yards <= withinYards) add(player, close.one, close.yards);
    else if (watchedAlone.has(player.role)) {
      const { markId: id, at } = player;
      const weight = weights.alone * decisive(at, scene, weights);
      matters.set(id, { id, kind: "alone", player, opponent: null, apartYards: null, at, weight });
    }
  }
  for (const rusher of theirs.filter(({ role }) => role === "rusher")) {
    const close = nearest(rusher, ours);
    if (!close || close.yards > withinYards) continue;
    matters.delete(close.one.markId);
    add(close.one, rusher, close.yards);
  }
  return [...matters.values()].toSorted((a, b) => (a.id < b.id ? -1 : 1));
}

function kindOf(role: PlayerRole): MatterKind {
  if (role === "passer") return "passer";
  return role === "snapper" || role === "blocker" ? "line" : "matchup";
}

function closeness(apartYards: number, withinYards: number, weights: MatterWeights): number {
  const { contactYards, contact, apart } = weights;
  if (apartYards <= contactYards || withinYards <= contactYards) return contact;
  return contact - ((contact - apart) * (apartYards - contactYards)) / (withinYards - contactYards);
}

function decisive(at: FieldPoint, { layout, situation }: MatterScene, weights: MatterWeights): number {
  const along = directionSign(situation.direction);
  const goalX = along > 0 ? layout.rightGoalXYards : layout.leftGoalXYards;
  const beforeGoal = along * (goalX - at.xYards);
  const gain = situation.lineToGainXYards;
  const late = situation.down === 3 || situation.down === 4;
  const within = weights.decisiveYards;
  const atGain = late && gain !== null && Math.abs(at.xYards - gain) <= within;
  return beforeGoal <= within || atGain ? weights.decisive : 1;
}
