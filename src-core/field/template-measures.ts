import type { GoalWidth } from "./field-choices.ts";

/**
 * The sizes a field is laid out to, in yards. Distances from a sideline or a goal line are to the edge that the rules
 * measure to: the inside edge of a boundary line, the field-of-play side of a goal line, the middle of any other line.
 */
export type FieldTemplate = {
  readonly id: string;
  readonly name: string;
  readonly game: "tackle" | "flag" | "own";
  /** Goal line to goal line. */
  readonly playLengthYards: number;
  /** Zero on a field whose goal lines are its end lines. */
  readonly endZoneYards: number;
  readonly widthYards: number;
  /** Full-width lines are painted every so many yards from each goal line. */
  readonly lineEveryYards: number;
  /** Named points on the sidelines and hash rows between the lines, every so many yards; null where there are none. */
  readonly tickEveryYards: number | null;
  /** Short marks as they are painted, every so many yards: more of them than have names. Null where none are painted. */
  readonly shortMarkEveryYards: number | null;
  /** From each sideline to the inbounds end of its hash marks; null without hash marks. */
  readonly hashFromSidelineYards: number | null;
  /** From each sideline to the outer (foot) and inner (top) ends of the yard-line digits; null without digits. */
  readonly numbersYards: { readonly bottom: number; readonly top: number } | null;
  readonly goalWidth: GoalWidth;
  /** Marks for the try, centred between the sidelines, so many yards from each goal line. */
  readonly tryMarksYards: readonly number[];
  /** Lines of the no-running zones, so many yards before each goal line and on both sides of midfield. */
  readonly noRunningYards: { readonly beforeGoal: number | null; readonly beforeMiddle: number | null };
  /** Lines along the sidelines, outside the field. */
  readonly benchLines: readonly BenchLine[];
  /**
   * A field laid across a tackle field: its length runs over the tackle field's width, so that the tackle field's yard
   * lines run along it, so many yards apart; its sidelines are two of them. Null for a field with paint of its own.
   */
  readonly tackleLineEveryYards: number | null;
  readonly goalLinePaintYards: number;
  readonly source: string;
};

export type BenchLine = {
  readonly id: string;
  readonly name: string;
  readonly outYards: number;
  /** How far from each goal line it begins and ends; null where it runs the whole length. */
  readonly fromGoalYards: number | null;
};

/** Lines are 4 in wide: NCAA 2016-17 rules 1-2, NFHS rule 1 digest. Boundary lines may be painted wider. */
export const linePaintYards = 4 / 36;
/** Hash marks and short yard lines are 24 in long: NCAA 2016-17 rules 2-12-7 (NFHS and NFL at second hand). */
export const shortMarkYards = 24 / 36;
/** A mark for the try is 1 yd wide, across the field: college intramural rules; at second hand for tackle fields. */
export const tryMarkYards = 1;

/** What most templates have none of. */
export const plain = {
  tickEveryYards: null,
  shortMarkEveryYards: null,
  hashFromSidelineYards: null,
  numbersYards: null,
  goalWidth: "none",
  tryMarksYards: [],
  noRunningYards: { beforeGoal: null, beforeMiddle: null },
  benchLines: [],
  tackleLineEveryYards: null,
  goalLinePaintYards: linePaintYards,
} as const satisfies Partial<FieldTemplate>;

/** Whether a field lies across a tackle field, on that field's paint. */
export function liesAcross(template: FieldTemplate): boolean {
  return template.tackleLineEveryYards !== null;
}

/** Between the sidelines that hash marks and digits are measured from: a tackle field's own, for one laid across it. */
export function betweenSidelinesYards(template: FieldTemplate): number {
  return liesAcross(template) ? template.playLengthYards + 2 * template.endZoneYards : template.widthYards;
}

/** Lateral positions of a tackle field's yard lines inside a field laid across it, near to far. */
export function tackleLinesYards({ tackleLineEveryYards: pitch, widthYards }: FieldTemplate): readonly number[] {
  const lines: number[] = [];
  if (pitch !== null) for (let k = 1; k * pitch < widthYards - 1e-6; k++) lines.push(k * pitch);
  return lines;
}

/** As the press box sees them: both ends and both sides of a field, with the letter of an end in ids. */
export const ends = [
  { side: "left", letter: "L" },
  { side: "right", letter: "R" },
] as const;
