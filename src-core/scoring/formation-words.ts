import { directionSign } from "../field/frames.ts";
import type { FieldSide, Situation } from "../game/records.ts";
import type { EligiblePlayer, Formation } from "./formation.ts";
import { listed } from "./look-words.ts";

/** What was read of a formation, one sentence a line, as an official would tell the crew. Lengths in yards. */
export function formationWords(formation: Formation, situation: Situation): string[] {
  const { receivers, receiversAtBall, strongSide, backs, blockersNearSnapper, passer, snapper } = formation;
  const level = receiversAtBall.length > 0 ? `, ${receiversAtBall.length} level with the ball` : "";
  const strength = strongSide === null ? "balanced" : `strong on the ${strongSide} side`;
  const depth = passer ? directionSign(situation.direction) * (situation.scrimmageXYards - passer.at.xYards) : null;
  const pressed = (["near", "far"] as const).flatMap((side) => pressedOn(side, receivers[side]));
  const line = [
    snapper ? null : "no snapper marked",
    `${counted(blockersNearSnapper.length, "blocker")} beside the snapper`,
    counted(backs.length, "back"),
    depth === null ? "no passer marked" : `the passer ${depth.toFixed(1)} yd behind the ball`,
  ];
  return [
    `Receivers: ${receivers.near.length} near, ${receivers.far.length} far${level}; ${strength}.`,
    pressed.length > 0 ? `Pressed: ${listed(pressed)}.` : "No receiver is pressed.",
    `${sentence(line.filter((part) => part !== null).join(", "))}.`,
  ];
}

/** "near 1 (1.9 yd)": the widest receiver of the near side, an opponent that far away. */
function pressedOn(side: FieldSide, receivers: readonly EligiblePlayer[]): string[] {
  return receivers.flatMap(({ isPressed, nearest }, index) =>
    isPressed && nearest ? [`${side} ${index + 1} (${nearest.apartYards.toFixed(1)} yd)`] : [],
  );
}

const counted = (count: number, what: string) => `${count === 0 ? "no" : count} ${what}${count === 1 ? "" : "s"}`;
const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
