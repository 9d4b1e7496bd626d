import {
  type GoalWidth,
  goalWidthYards,
  type HashSet,
  hashSetYards,
  type NumberPosition,
} from "#core/field/field-choices";
import { feetText, yardsText } from "#core/field/measure-words";
import type { FieldLayout } from "#core/field/template";
import { liesAcross } from "#core/field/template-measures";

/** A field and the choices of one, in words. Feet and inches where the rule books print them. */

/** Short, for where it is said already that it is counted from each sideline. */
export function hashWords(yards: number | null): string {
  return yards === null ? "none painted" : feetText(yards);
}

const hashLevels: Record<HashSet, string> = {
  ncaa: "College",
  nfhs: "High school",
  nfl: "Professional",
  thirds: "Thirds of the width",
  none: "None painted",
};

export function hashSetWords(set: HashSet, widthYards: number): string {
  const yards = hashSetYards(set, widthYards);
  return yards === null ? hashLevels[set] : `${hashLevels[set]}: ${hashWords(yards)}`;
}

export function numberRowsWords(rows: { readonly bottom: number; readonly top: number } | null): string {
  return rows === null ? "none painted" : `${yardsText(rows.bottom)} to ${yardsText(rows.top)} yd`;
}

export const numberPositionWords: Record<NumberPosition, string> = {
  "tops-9": "Tops at 9 yd",
  "bottoms-12": "Bottoms at 12 yd",
  none: "None painted",
};

export function goalWords(yards: number | null): string {
  return yards === null ? "none" : feetText(yards);
}

export function goalWidthWords(width: GoalWidth): string {
  return width === "none" ? "None" : goalWords(goalWidthYards(width));
}

/** "100 yd between the goal lines, end zones of 10 yd, 53 1/3 yd wide. Hash marks 60 ft in from each sideline. …" */
export function fieldWords(layout: FieldLayout): string {
  const { template, hashFromSidelineYards: hash, numbersYards, goalYards } = layout;
  const zone = template.endZoneYards;
  const size =
    `${yardsText(template.playLengthYards)} yd between the goal lines, ` +
    `${zone === 0 ? "no end zones" : `end zones of ${yardsText(zone)} yd`}, ${yardsText(layout.widthYards)} yd wide.`;
  const from = `from each sideline${liesAcross(template) ? " of the tackle field" : ""}`;
  return [
    size,
    hash === null ? "No hash marks." : `Hash marks ${hashWords(hash)} ${from}.`,
    numbersYards === null ? "No digits." : `Digits ${numberRowsWords(numbersYards)} ${from}.`,
    goalYards === null ? "No goal posts." : `Goal posts ${goalWords(goalYards)} apart.`,
  ].join(" ");
}
