import { fieldDistanceYards } from "../field/units.ts";
import type { FieldSide } from "../game/records.ts";
import { type AnchorPlayer, isReceiver, type StationScene } from "../mechanics/anchors.ts";
import { receiversOn } from "../mechanics/conditions.ts";
import { keyPlayers } from "../mechanics/key-players.ts";
import { ruleSide } from "../mechanics/target.ts";

/** How near an opponent must be for a player to count as pressed where a book says nothing of pairs. Yards. */
export const defaultPressYards = 2.5;

export type NearestOpponent = { readonly player: AnchorPlayer; readonly apartYards: number };

/** Somebody of A who may catch a pass, with who of B is nearest. */
export type EligiblePlayer = {
  readonly player: AnchorPlayer;
  /** Null while nobody of B is marked. */
  readonly nearest: NearestOpponent | null;
  /** The nearest opponent is close enough for the two to be a matter to watch. */
  readonly isPressed: boolean;
};

/** How A stood at the snap. Receivers of a side are numbered from the outside in: the first is its widest. */
export type Formation = {
  readonly snapper: AnchorPlayer | null;
  readonly passer: AnchorPlayer | null;
  readonly backs: readonly EligiblePlayer[];
  readonly receivers: Readonly<Record<FieldSide, readonly EligiblePlayer[]>>;
  /** Receivers exactly behind or before the ball: on neither side. */
  readonly receiversAtBall: readonly EligiblePlayer[];
  readonly blockersNearSnapper: readonly AnchorPlayer[];
  /** The side with more receivers; null when both have as many. */
  readonly strongSide: FieldSide | null;
  /** The side with more room beside the ball; null for a ball on the middle. */
  readonly wideSide: FieldSide | null;
};

/** The nearest of the other side; of two exactly as near the id decides. */
export function nearestOpponent(player: AnchorPlayer, players: readonly AnchorPlayer[]): NearestOpponent | null {
  let best: NearestOpponent | null = null;
  for (const other of players) {
    if (other.side === player.side) continue;
    const apartYards = fieldDistanceYards(player.at, other.at);
    const ahead = best === null ? -1 : apartYards - best.apartYards;
    if (best === null || ahead < 0 || (ahead === 0 && other.markId < best.player.markId)) {
      best = { player: other, apartYards };
    }
  }
  return best;
}

const byId = (a: AnchorPlayer, b: AnchorPlayer) => (a.markId < b.markId ? -1 : 1);

/** Reads the formation from the people marked at the snap, or at the last moment before it. */
export function readFormation(scene: StationScene, pressedWithinYards: number = defaultPressYards): Formation {
  const { players, situation } = scene;
  const eligible = (player: AnchorPlayer): EligiblePlayer => {
    const nearest = nearestOpponent(player, players);
    return { player, nearest, isPressed: nearest !== null && nearest.apartYards <= pressedWithinYards };
  };
  const one = (role: "snapper" | "passer") =>
    players.filter((player) => player.side === "A" && player.role === role).toSorted(byId)[0] ?? null;
  const on = (side: FieldSide) => keyPlayers("receivers-own-side", side, side, scene).map(eligible);
  const [near, far] = [receiversOn("near", scene), receiversOn("far", scene)];
  const wide = ruleSide({ anchor: "ball", yards: { from: 0, to: 0 }, side: "wide" }, null, scene);
  return {
    snapper: one("snapper"),
    passer: one("passer"),
    backs: keyPlayers("backs", null, "far", scene).toSorted(byId).map(eligible),
    receivers: { near: on("near"), far: on("far") },
    receiversAtBall: players
      .filter((player) => isReceiver(player) && player.at.yYards === situation.ballYYards)
      .toSorted(byId)
      .map(eligible),
    blockersNearSnapper: keyPlayers("blockers-near-snapper", null, "far", scene).toSorted(byId),
    strongSide: near === far ? null : near > far ? "near" : "far",
    wideSide: wide === "either" ? null : wide,
  };
}
