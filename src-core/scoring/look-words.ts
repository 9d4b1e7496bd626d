import { directionSign } from "../field/frames.ts";
import type { Look } from "./look.ts";
import type { LookStep } from "./look-step.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import type { Matter, MatterScene } from "./matters.ts";

/** Sentences about looks, as a trainer would say them. */

/** "the receiver and the defender 6 yd downfield on the near side". */
export function matterName({ player, opponent, at }: Matter, { layout, situation }: MatterScene): string {
  const who = opponent ? `the ${player.role} and the ${opponent.role}` : `the ${player.role}, alone,`;
  const depth = directionSign(situation.direction) * (at.xYards - situation.scrimmageXYards);
  const yards = Math.round(Math.abs(depth));
  const where = yards < 1 ? "at the line" : `${yards} yd ${depth > 0 ? "downfield" : "behind the line"}`;
  const third = layout.widthYards / 3;
  const side =
    at.yYards < third ? "on the near side" : at.yYards > 2 * third ? "on the far side" : "in the middle of the field";
  return `${who} ${where} ${side}`;
}

/** What kept an official from seeing it: the term that took most. */
export function whyUnseen(look: Look, rule: LookRule): string {
  const { position, angleDegrees, rangeYards, facingDegrees } = look;
  if (look.angleCredit === 0) return `${position} was straight-lined (${angleDegrees.toFixed(0)}°)`;
  const terms = [
    [
      look.rangeCredit,
      `stood too ${rangeYards < rule.rangeYards.from ? "close" : "far away"} (${rangeYards.toFixed(0)} yd)`,
    ],
    [look.facingCredit, `was turned ${(facingDegrees ?? 0).toFixed(0)}° away`],
    [look.clearShare, `had others in the way (${(100 * look.clearShare).toFixed(0)} % clear)`],
    [look.angleCredit, `looked too nearly along the two (${angleDegrees.toFixed(0)}°)`],
    [look.gapCredit, "saw one behind the other"],
  ] as const;
  const [, words] = terms.reduce((least, term) => (term[0] < least[0] ? term : least));
  return `${position} ${words}`;
}

/** "a step of 2 yd toward the sideline". */
export function stepWords({ yards, downfieldYards, outwardYards }: LookStep): string {
  // A direction within 22.5° of an axis is called by the axis alone.
  const counts = (part: number) => Math.abs(part) >= yards * Math.sin(Math.PI / 8);
  const along = counts(downfieldYards) ? (downfieldYards > 0 ? "downfield" : "upfield") : null;
  const across = counts(outwardYards) ? `toward the ${outwardYards > 0 ? "sideline" : "middle"}` : null;
  return `a step of ${Number(yards.toFixed(1))} yd ${[along, across].filter((part) => part !== null).join(" and ")}`;
}

/** "LJ", "LJ and FJ", "LJ, FJ and BJ". */
export function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
