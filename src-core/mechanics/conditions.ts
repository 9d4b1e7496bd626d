import { directionSign } from "../field/frames.ts";
import type { FieldSide } from "../game/records.ts";
import { isReceiver, outwardSign, type StationScene } from "./anchors.ts";
import type { RuleCondition } from "./book.ts";

/** Whether a rule's conditions hold in this situation, for a position that works a side; null works the middle. */
export function conditionHolds(when: RuleCondition, side: FieldSide | null, scene: StationScene): boolean {
  const { situation, layout, players } = scene;
  const sign = directionSign(situation.direction);
  const ahead = (xYards: number) => sign * (xYards - situation.scrimmageXYards);
  const { leftGoalXYards: left, rightGoalXYards: right } = layout;
  if (when.downs != null && (situation.down === null || !when.downs.includes(situation.down))) return false;
  if (when.lineToGainYards != null) {
    if (situation.lineToGainXYards === null) return false;
    const toGo = ahead(situation.lineToGainXYards);
    if (toGo <= when.lineToGainYards.from || toGo >= when.lineToGainYards.to) return false;
  }
  if (when.receiverNearSidelineYards != null) {
    const sidelineY = side === "near" ? 0 : layout.widthYards;
    const within = when.receiverNearSidelineYards;
    if (!players.some((player) => isReceiver(player) && Math.abs(player.at.yYards - sidelineY) <= within)) return false;
  }
  if (when.goalLineYards != null && !lies(ahead(sign > 0 ? right : left), when.goalLineYards)) return false;
  if (when.ownGoalLineYards != null && !lies(-ahead(sign > 0 ? left : right), when.ownGoalLineYards)) return false;
  return when.receiversOwnSide == null || lies(receiversOn(side, scene), when.receiversOwnSide);
}

function lies(value: number, { from, to }: { readonly from: number; readonly to: number }): boolean {
  return value >= from && value <= to;
}

/** Receivers on a side of the ball; for the middle, those of the side that has more. */
export function receiversOn(side: FieldSide | null, { players, situation }: StationScene): number {
  const count = (which: FieldSide) =>
    players.filter((player) => isReceiver(player) && outwardSign(which) * (player.at.yYards - situation.ballYYards) > 0)
      .length;
  return side === null ? Math.max(count("near"), count("far")) : count(side);
}
