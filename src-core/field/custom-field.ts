import { isMultiple } from "./columns.ts";
import { type CustomField, rowsFit } from "./field-choices.ts";
import { readYards, yardsText } from "./measure-words.ts";
import { type FieldTemplate, plain } from "./template-measures.ts";

/** A field that no template fits: from what a person typed to measures that go together, or to what is wrong with them. */

export const customTemplateId = "custom";

/** Rows for which the width has no room are left out: no form lets them through, but a library may come from elsewhere. */
export function customTemplate(custom: CustomField): FieldTemplate {
  const { widthYards, hashFromSidelineYards: hash, numbersYards: numbers } = custom;
  return {
    ...plain,
    game: "own",
    id: customTemplateId,
    name: custom.name,
    playLengthYards: custom.playLengthYards,
    endZoneYards: custom.endZoneYards,
    widthYards,
    lineEveryYards: custom.lineEveryYards,
    tickEveryYards: custom.tickEveryYards,
    shortMarkEveryYards: custom.tickEveryYards,
    hashFromSidelineYards: hash !== null && rowsFit(hash, widthYards) ? hash : null,
    numbersYards: numbers !== null && rowsFit(numbers.top, widthYards) ? numbers : null,
    source: "the measures given for this game",
  };
}

/** Every measure as text, as it stands in a form; optional ones may be empty. */
export type CustomDraft = {
  readonly name: string;
  readonly playLength: string;
  readonly endZone: string;
  readonly width: string;
  readonly lineEvery: string;
  readonly tickEvery: string;
  readonly hashFromSideline: string;
  readonly numberBottom: string;
  readonly numberTop: string;
};

export type CustomProblem = { readonly part: keyof CustomDraft; readonly sentence: string };

export type CustomReading =
  | { readonly ok: true; readonly custom: CustomField }
  | { readonly ok: false; readonly problems: readonly CustomProblem[] };

/** A template's measures as a start for a field of one's own. */
export function draftFrom(template: FieldTemplate, name: string): CustomDraft {
  const optional = (yards: number | null | undefined): string => (yards == null ? "" : yardsText(yards));
  return {
    name,
    playLength: yardsText(template.playLengthYards),
    endZone: yardsText(template.endZoneYards),
    width: yardsText(template.widthYards),
    lineEvery: yardsText(template.lineEveryYards),
    tickEvery: optional(template.tickEveryYards),
    hashFromSideline: optional(template.hashFromSidelineYards),
    numberBottom: optional(template.numbersYards?.bottom),
    numberTop: optional(template.numbersYards?.top),
  };
}

const limits: Readonly<
  Record<"playLength" | "endZone" | "width" | "lineEvery" | "tickEvery", readonly [number, number]>
> = { playLength: [10, 200], endZone: [0, 30], width: [5, 100], lineEvery: [1, 200], tickEvery: [1, 200] };

const names: Readonly<Record<Exclude<keyof CustomDraft, "name">, string>> = {
  playLength: "The field of play",
  endZone: "An end zone",
  width: "The width",
  lineEvery: "The distance between lines",
  tickEvery: "The distance between short marks",
  hashFromSideline: "The distance of the hash marks",
  numberBottom: "The distance of the digits' bottoms",
  numberTop: "The distance of the digits' tops",
};

/** Reads a form. Every problem is one sentence a person can act on, at the measure where it is best put right. */
export function readCustomField(draft: CustomDraft): CustomReading {
  const problems: CustomProblem[] = [];
  const say = (part: keyof CustomDraft, sentence: string): null => {
    problems.push({ part, sentence });
    return null;
  };
  /** Undefined where a measure is left out that may be. */
  const read = (part: Exclude<keyof CustomDraft, "name">, optional: boolean): number | null | undefined => {
    const text = draft[part].trim();
    if (text === "") return optional ? undefined : say(part, `${names[part]} is missing.`);
    const yards = readYards(text);
    if (yards === null) return say(part, `“${text}” is no distance in yards. Write it like 40, 53.5 or 53 1/3.`);
    const [least, most] = limits[part as keyof typeof limits] ?? [0, 100];
    if (yards < least || yards > most) return say(part, `${names[part]} must be ${least} to ${most} yd.`);
    return yards;
  };

  const name = draft.name.trim();
  if (name === "") say("name", "The field needs a name.");
  if (name.length > 80) say("name", "A name may be 80 letters long at most.");
  const length = read("playLength", false);
  const zone = read("endZone", false);
  const width = read("width", false);
  const line = read("lineEvery", false);
  const tick = read("tickEvery", true);
  const hash = read("hashFromSideline", true);
  const bottom = read("numberBottom", true);
  const top = read("numberTop", true);

  if (length != null && line != null && !isMultiple(length, line))
    say("lineEvery", `The lines do not fit: ${yardsText(length)} yd cannot be divided by ${yardsText(line)}.`);
  if (line != null && tick != null && !isMultiple(line, tick))
    say(
      "tickEvery",
      `The short marks do not fit: ${yardsText(line)} yd from line to line cannot be divided by ${yardsText(tick)}.`,
    );
  const past = (part: "hashFromSideline" | "numberTop", what: string, yards: number): void => {
    if (width == null || rowsFit(yards, width)) return;
    const why = yards > 0 ? `reaches the middle of a field ${yardsText(width)} yd wide` : "is on the sideline itself";
    say(part, `The ${what} do not fit: ${yardsText(yards)} yd from each sideline ${why}.`);
  };
  if (hash != null) past("hashFromSideline", "hash marks", hash);
  if (bottom === undefined && top != null) say("numberBottom", "Give the bottoms of the digits too, or neither.");
  if (top === undefined && bottom != null) say("numberTop", "Give the tops of the digits too, or neither.");
  if (top != null) {
    if (bottom != null && bottom >= top)
      say("numberTop", "The tops of the digits must be farther from the sideline than their bottoms.");
    else past("numberTop", "digits", top);
  }

  if (problems.length > 0 || length == null || zone == null || width == null || line == null)
    return { ok: false, problems };
  return {
    ok: true,
    custom: {
      name,
      playLengthYards: length,
      endZoneYards: zone,
      widthYards: width,
      lineEveryYards: line,
      tickEveryYards: tick ?? null,
      hashFromSidelineYards: hash ?? null,
      numbersYards: bottom == null || top == null ? null : { bottom, top },
    },
  };
}
