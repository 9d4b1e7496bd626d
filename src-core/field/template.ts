import { columnsOf } from "./columns.ts";
import { customTemplate, customTemplateId } from "./custom-field.ts";
import {
  asTheTemplate,
  type FieldChoices,
  goalWidthYards,
  hashSetYards,
  numberPositionYards,
  rowsFit,
} from "./field-choices.ts";
import { flag100x40, flagTemplates } from "./flag-templates.ts";
import { landmarksOf } from "./landmarks.ts";
import { linesOf } from "./lines.ts";
import { tackleTemplates } from "./tackle-templates.ts";
import { betweenSidelinesYards, type FieldTemplate, liesAcross } from "./template-measures.ts";
import type { FieldPoint } from "./units.ts";

/**
 * From a template and the choices of one game to the field as it lies there: the named points and lines a person can see
 * on it, in the field frame.
 *
 * Boundary lines are measured at their inside edges and the whole goal line belongs to the end zone (NCAA rules 1-2-2),
 * so that a sideline's landmark is the inside edge of the paint, and a goal line's is its edge toward the field of play.
 * The landmark of a hash mark is its inbounds end, which is what the printed distance is measured to.
 */

export type Landmark = {
  readonly id: string;
  /** As a person would say it, seen from the press-box side. */
  readonly name: string;
  readonly at: FieldPoint;
};

/** A side of a line, as seen from the press box: left is toward smaller x, near toward smaller y. */
export type LineSide = "left" | "right" | "near" | "far";

export type FieldLine = {
  readonly id: string;
  readonly name: string;
  readonly from: FieldPoint;
  readonly to: FieldPoint;
  readonly kind:
    | "yard-line"
    | "goal-line"
    | "end-line"
    | "sideline"
    | "hash-row"
    | "number-row"
    | "no-run-line"
    | "tackle-line"
    | "bench-line";
  /** Which part of the paint `from` and `to` run along. */
  readonly measuredAt: "centre" | "inside-edge";
  /**
   * The side of a measured edge on which this line's own paint is not: toward the field for a boundary line. Null for a
   * line measured at its centre.
   */
  readonly openSide: LineSide | null;
  /** How wide the paint is across the line, as a rule; null for rows of separate marks or digits. */
  readonly paintYards: number | null;
};

/** Whether a line runs across the field, as yard lines do, rather than along it. */
export function runsAcross({ from, to }: FieldLine): boolean {
  return Math.abs(to.yYards - from.yYards) > Math.abs(to.xYards - from.xYards);
}

export type FieldLayout = {
  readonly template: FieldTemplate;
  readonly totalLengthYards: number;
  readonly widthYards: number;
  readonly leftGoalXYards: number;
  readonly rightGoalXYards: number;
  /** Lateral position of the near and far hash row; null on a field without them. */
  readonly hashYYards: { readonly near: number; readonly far: number } | null;
  /**
   * Distance of hash marks and digits from the sidelines they are measured from: the field's own, or those of the tackle
   * field that it lies across.
   */
  readonly hashFromSidelineYards: number | null;
  readonly numbersYards: { readonly bottom: number; readonly top: number } | null;
  /** Between the inside faces of the uprights; null without goal posts. */
  readonly goalYards: number | null;
  readonly landmarks: readonly Landmark[];
  readonly lines: readonly FieldLine[];
};

export const templates: readonly FieldTemplate[] = [
  flag100x40,
  ...tackleTemplates,
  ...flagTemplates.filter((template) => template !== flag100x40),
];

export function templateById(id: string): FieldTemplate | null {
  return templates.find((template) => template.id === id) ?? null;
}

/** What decides the field of a game. */
export type FieldOfGame = { readonly templateId: string; readonly fieldChoices: FieldChoices };

/** The template of a game: made from its own measures when it is "custom". The first one for a name that is none. */
export function templateOf({ templateId, fieldChoices: { custom } }: FieldOfGame): FieldTemplate {
  if (templateId === customTemplateId && custom !== null) return customTemplate(custom);
  return templateById(templateId) ?? templates[0]!;
}

export function fieldOf(game: FieldOfGame): FieldLayout {
  return layOut(templateOf(game), game.fieldChoices);
}

/**
 * The named points and lines of a template with the choices of a game. A choice for which the field is too narrow counts
 * as none: the template's own measure holds.
 *
 * Landmark ids are `row/column`, e.g. `near-sideline/L20`, `far-hash/mid`, `try-mark/R3`, `goal-post/L-near`; line ids
 * are the column or row alone. They are kept in libraries: an id never changes its meaning.
 */
export function layOut(template: FieldTemplate, choices: FieldChoices = asTheTemplate): FieldLayout {
  const { widthYards, endZoneYards: zone, playLengthYards: length } = template;
  const totalLengthYards = length + 2 * zone;
  const measures = chosenMeasures(template, choices);
  const columns = columnsOf(template);
  const { hashFromSidelineYards: hash } = measures;
  return {
    template,
    totalLengthYards,
    widthYards,
    leftGoalXYards: zone,
    rightGoalXYards: zone + length,
    hashYYards: hash === null || liesAcross(template) ? null : { near: hash, far: widthYards - hash },
    ...measures,
    landmarks: landmarksOf(template, columns, measures),
    lines: linesOf(template, columns, measures),
  };
}

/** What a game's choices settle of its field. */
export type ChosenMeasures = Pick<FieldLayout, "hashFromSidelineYards" | "numbersYards" | "goalYards">;

function chosenMeasures(template: FieldTemplate, choices: FieldChoices): ChosenMeasures {
  const between = betweenSidelinesYards(template);
  const hash = choices.hashSet === null ? null : hashSetYards(choices.hashSet, between);
  const numbers = choices.numbers === null ? null : numberPositionYards(choices.numbers);
  const goal = goalWidthYards(choices.goalWidth ?? template.goalWidth);
  const ownHash = choices.hashSet === null || (hash !== null && !rowsFit(hash, between));
  const ownNumbers = choices.numbers === null || (numbers !== null && !rowsFit(numbers.top, between));
  return {
    hashFromSidelineYards: ownHash ? template.hashFromSidelineYards : hash,
    numbersYards: ownNumbers ? template.numbersYards : numbers,
    goalYards: goal !== null && goal < template.widthYards ? goal : null,
  };
}
