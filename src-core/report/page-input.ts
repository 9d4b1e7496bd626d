import type { FieldLayout } from "../field/template.ts";
import type { Criterion, GameRecords, Moment, Play, Ruling } from "../game/records.ts";
import { rulingRate } from "../grading/rulings.ts";
import type { Scale } from "../grading/scales.ts";
import type { Book } from "../mechanics/book.ts";
import type { Finding } from "../scoring/finding.ts";
import type { MomentOfPlay, JudgedPlay } from "../scoring/judge-play.ts";
import { wilsonInterval } from "../season/intervals.ts";
import { percentWords } from "../season/season-words.ts";
import type { ReportDocument, StillWanted } from "./document.ts";

/** All that pages of a game are made from. */
export type PageInput = {
  readonly records: GameRecords;
  readonly layout: FieldLayout;
  readonly book: Book;
  readonly judged: ReadonlyMap<string, JudgedPlay>;
  /** Of the game's grades. */
  readonly scale: Scale;
  /** Whose grades and rulings the pages hold. */
  readonly authorId: string;
  /** Null where the page is to name nobody. */
  readonly observerName: string | null;
  /** The day it is made, as a person reads it. */
  readonly madeOn: string;
};

/** A page and the stills that its pictures lie over. */
export type Page = { readonly document: ReportDocument; readonly stills: readonly StillWanted[] };

/** A finding with where it was seen. */
export type Found = {
  readonly play: Play;
  readonly finding: Finding;
  /** The moment that shows it best: its own, or that of the first mark it rests on; null where none does. */
  readonly at: MomentOfPlay | null;
};

/** Every finding of the game, in the order of its plays. */
export function foundIn({ records, judged }: Pick<PageInput, "records" | "judged">): Found[] {
  const momentOf = new Map(records.marks.map(({ id, momentId }) => [id, momentId]));
  return records.plays
    .toSorted((a, b) => a.number - b.number)
    .flatMap((play): Found[] => {
      const whole = judged.get(play.id);
      if (!whole) return [];
      const at = (momentId: string | undefined) => whole.moments.find(({ moment }) => moment.id === momentId) ?? null;
      return [
        ...whole.moments.flatMap((one) => one.judged.findings.map((finding) => ({ play, finding, at: one }))),
        ...whole.findings.map((finding) => ({
          play,
          finding,
          at: at(finding.markIds.flatMap((id) => momentOf.get(id) ?? [])[0]),
        })),
      ];
    });
}

/** What the book calls an official, with the name the game has for them where it has one. */
export function officialName({ records, book }: Pick<PageInput, "records" | "book">, position: string): string {
  const called = book.positions.find(({ id }) => id === position)?.name ?? position;
  const name = records.game.crew.find((member) => member.position === position)?.name.trim() ?? "";
  return name === "" ? called : `${name}, ${called}`;
}

/** A sentence about one official in which no other is named by their letters. */
export function withoutOthers(sentence: string, positions: readonly string[], own: string): string {
  const others = positions.filter((position) => position !== own);
  if (others.length === 0) return sentence;
  const letters = others.toSorted((a, b) => b.length - a.length).join("|");
  const one = `(?:${letters})`;
  return sentence
    .replaceAll(new RegExp(`\\b${one}(?:(?:, | and | or )${one}\\b)+`, "gu"), "others of the crew")
    .replaceAll(new RegExp(`\\b${one}\\b`, "gu"), "another official");
}

/** The lines under a title that say which game it is, by which book, and by whom and when it was made. */
export function headLines({ records: { game, seals }, book, authorId, observerName, madeOn }: PageInput): string[] {
  const seal = seals.find((one) => one.authorId === authorId);
  return [
    [game.title, game.playedOn, game.level].filter(Boolean).join(" · "),
    `Mechanics book: ${book.name}, edition ${book.edition}`,
    [
      `Made on ${madeOn}`,
      seal ? `finalised ${seal.sealedAt.slice(0, 10)}` : "not finalised",
      observerName === null || observerName === "" ? "" : `observer: ${observerName}`,
    ]
      .filter(Boolean)
      .join(" · "),
  ];
}

/** What every page says before it says anything of a person. */
export function cautionOf(book: Book): string {
  const first = /association/iu.test(book.caution) ? "" : " The association’s own manual and rules come first.";
  return (
    "This is evidence for a person to weigh, not a verdict on one. Each number comes with the interval that it lies in with " +
    `95 % of the measuring errors; what could not be told counts neither way.${first} ${book.caution}`
  );
}

export const criterionNames: Record<Criterion, string> = {
  station: "Station",
  facing: "Facing",
  key: "Keys",
  zone: "Zones",
  handoff: "Handoffs",
  look: "Looks",
  count: "Counting",
};

/** A moment's key for the still of it. */
export function stillKey(position: string, { id }: Pick<Moment, "id">): string {
  return `still-${position}-${id}`;
}

/** Words of a person on one official that name another of the crew, and where they stand. */
export type OtherNamed = { readonly name: string; readonly where: string };

/** What a person should read again before the page of one official goes out. */
export function othersNamed({ records, authorId }: PageInput, position: string): OtherNamed[] {
  const others = records.game.crew.filter((member) => member.position !== position && member.name.trim() !== "");
  const numberOf = new Map(records.plays.map(({ id, number }) => [id, number]));
  const where = (playId: string | null) => (playId === null ? "the whole game" : `play ${numberOf.get(playId) ?? "?"}`);
  const words = [
    ...records.grades
      .filter((grade) => grade.authorId === authorId && grade.position === position)
      .map(({ playId, reason, comment }) => ({ playId, text: `${reason} ${comment}` })),
    ...records.rulings
      .filter((ruling) => ruling.authorId === authorId)
      .filter((ruling) => ruling.position === position || ruling.seers.includes(position))
      .map(({ playId, comment, foul }) => ({ playId, text: `${foul} ${comment}` })),
  ];
  return words.flatMap(({ playId, text }) => namesIn(text, others).map((name) => ({ name, where: where(playId) })));
}

/** The names of the crew of which a text holds a part. */
export function namesIn(text: string, crew: PageInput["records"]["game"]["crew"]): string[] {
  return crew
    .map(({ name }) => name)
    .filter((name) => name.split(/\s+/u).some((part) => part.length > 2 && isWordIn(part, text)));
}

function isWordIn(word: string, text: string): boolean {
  const letters = text.toLocaleLowerCase().split(/[^\p{L}\p{M}'’-]+/u);
  return letters.includes(word.toLocaleLowerCase());
}

/** The rate of correct rulings in words, with its Wilson interval: never a percentage of all plays. */
export function rulingRateWords(rulings: readonly Pick<Ruling, "class">[]): string {
  const { correct, incorrect, marginal, cannotJudge } = rulingRate(rulings);
  const judged = correct + incorrect;
  const interval = wilsonInterval(correct, judged);
  const rate = interval
    ? `${correct} of ${judged} judged were correct, ${percentWords(correct / judged)} (${percentWords(interval.low)} to ${percentWords(interval.high)})`
    : "none could be judged correct or incorrect";
  const rest = [marginal > 0 ? `${marginal} marginal` : "", cannotJudge > 0 ? `${cannotJudge} cannot be judged` : ""];
  return [rate, ...rest].filter(Boolean).join("; ");
}
