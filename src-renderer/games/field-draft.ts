import {
  type CustomDraft,
  type CustomProblem,
  customTemplateId,
  draftFrom,
  readCustomField,
} from "#core/field/custom-field";
import type { FieldChoices } from "#core/field/field-choices";
import { type FieldOfGame, layOut, templateById, templateOf, templates } from "#core/field/template";
import { type FieldTemplate, liesAcross } from "#core/field/template-measures";

/** A field as it stands in the form. The own measures stay while another field is looked at. */
export type FieldDraft = Pick<FieldChoices, "hashSet" | "numbers" | "goalWidth"> & {
  readonly templateId: string;
  readonly custom: CustomDraft | null;
};

export type FieldReading =
  | { readonly ok: true; readonly field: FieldOfGame }
  | { readonly ok: false; readonly problems: readonly CustomProblem[] };

export function draftOf(game: FieldOfGame): FieldDraft {
  const { hashSet, numbers, goalWidth, custom } = game.fieldChoices;
  const template = templateOf(game);
  return {
    templateId: template.id,
    hashSet,
    numbers,
    goalWidth,
    custom: custom === null ? null : draftFrom(template, custom.name),
  };
}

/** Another template: what was chosen for the old one is left, and a field of one's own starts from the old one's sizes. */
export function withTemplate(draft: FieldDraft, templateId: string): FieldDraft {
  if (templateId !== customTemplateId || draft.custom !== null)
    return { ...draft, templateId, hashSet: null, numbers: null, goalWidth: null };
  const template = templateIn(draft);
  const { hashFromSidelineYards, numbersYards } = layOut(template, { ...draft, custom: null });
  const goalWidth = draft.goalWidth ?? template.goalWidth;
  // On a field laid across another they belong to that one's sidelines.
  const painted = liesAcross(template)
    ? { hashFromSidelineYards: null, numbersYards: null }
    : { hashFromSidelineYards, numbersYards };
  return {
    templateId,
    hashSet: null,
    numbers: null,
    goalWidth: goalWidth === "none" ? null : goalWidth,
    custom: draftFrom({ ...template, ...painted }, "Our field"),
  };
}

/** The template chosen, or the first for one's own measures, which need not make a field yet. */
export function templateIn(draft: FieldDraft): FieldTemplate {
  return templateById(draft.templateId) ?? templates[0]!;
}

export function readFieldDraft(draft: FieldDraft): FieldReading {
  const { templateId, hashSet, numbers, goalWidth } = draft;
  if (templateId !== customTemplateId)
    return { ok: true, field: { templateId, fieldChoices: { hashSet, numbers, goalWidth, custom: null } } };
  const read = readCustomField(draft.custom ?? draftFrom(templateIn(draft), ""));
  if (!read.ok) return read;
  const fieldChoices = { hashSet: null, numbers: null, goalWidth, custom: read.custom };
  return { ok: true, field: { templateId, fieldChoices } };
}
