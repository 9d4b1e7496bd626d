import { directionSign } from "../field/frames.ts";
import { type Play, playEnds, playKinds, type TeamKey } from "../game/records.ts";
import { yardsToGo } from "../game/words.ts";
import { listColumns, type ListedField, type ListedPlay } from "./list-columns.ts";
import { byClock, readTime, type TimeReading } from "./list-times.ts";

/** How the words of a list are to be taken. */
export type WordReading = {
  readonly times: TimeReading;
  /** Names of the sides, which are taken for home and away. */
  readonly sides: Readonly<Record<TeamKey, string>> | null;
};

export const ownWords: WordReading = { times: byClock, sides: null };

export type ReadPlay =
  | { readonly ok: true; readonly play: ListedPlay }
  | { readonly ok: false; readonly reason: string };

/** A play from the words of one row; an empty word says nothing. The reason names the heading of what cannot be read. */
export function playFromWords(
  line: number,
  words: Partial<Record<ListedField, string>>,
  reading: WordReading = ownWords,
): ReadPlay {
  const read: Partial<Record<ListedField, string | number>> = {};
  for (const { field, heading } of listColumns) {
    const word = words[field]?.trim() ?? "";
    if (word === "") continue;
    const value = valueOf(field, word, reading);
    if (value === null) return { ok: false, reason: `${heading}: “${shortened(word)}” cannot be read.` };
    read[field] = value;
  }
  const blank = Object.fromEntries(listColumns.map(({ field }) => [field, null]));
  const play = { line, ...blank, ...read } as unknown as ListedPlay;
  if (play.snapSec === null && play.startSec === null)
    return { ok: false, reason: "It says neither a start nor a snap." };
  const inOrder = [play.startSec, play.snapSec, play.releaseSec, play.catchSec, play.deadSec, play.endSec].filter(
    (sec) => sec !== null,
  );
  if (inOrder.some((sec, index) => sec < (inOrder[index - 1] ?? 0)))
    return { ok: false, reason: "Its times are not in the order start, snap, release, catch, dead, end." };
  if (gainsTwice(play)) return { ok: false, reason: "Its distance and its line to gain do not agree." };
  return { ok: true, play };
}

/** Each is written to the hundredth: three of them can be so far apart and be meant alike. Yards. */
const roundedYards = 0.0151;

function gainsTwice({ distanceYards, lineToGainXYards, scrimmageXYards, direction }: ListedPlay): boolean {
  if (distanceYards === null || lineToGainXYards === null) return false;
  if (lineToGainXYards === "none") return true;
  if (scrimmageXYards === null || direction === null) return false;
  return Math.abs(scrimmageXYards + directionSign(direction) * distanceYards - lineToGainXYards) > roundedYards;
}

const shortened = (word: string) => (word.length > 40 ? `${word.slice(0, 40)}…` : word);

function valueOf(field: ListedField, word: string, { times, sides }: WordReading): string | number | null {
  const lower = word.toLowerCase();
  switch (field) {
    case "film":
      return word;
    case "startSec":
    case "snapSec":
    case "releaseSec":
    case "catchSec":
    case "deadSec":
    case "endSec":
      return readTime(word, times);
    case "offence":
      if (lower === sides?.home.trim().toLowerCase()) return "home";
      if (lower === sides?.away.trim().toLowerCase()) return "away";
      return oneOf(["home", "away"], lower);
    case "direction":
      return oneOf(["left", "right"], lower);
    case "kind":
      return oneOf(playKinds, lower.replaceAll(/[\s_]+/gu, "-"));
    case "result":
      return oneOf(playEnds, lower.replaceAll(/[\s_]+/gu, "-"));
    case "quarter":
      return wholeNumber(word, 1, 20);
    case "series":
      return wholeNumber(word, 1, 999);
    case "down":
      return wholeNumber(word, 0, 4);
    case "lineToGainXYards":
      return lower === "none" ? lower : numberOf(word, reachYards.least, reachYards.most);
    case "distanceYards":
      // Below nothing where a play is said amiss: what was written is read again.
      return numberOf(word, -reachYards.most, reachYards.most);
    case "scrimmageXYards":
    case "ballYYards":
    case "resultXYards":
    case "resultYYards":
      return numberOf(word, reachYards.least, reachYards.most);
  }
}

/** As far along or across as a place of a play may be said. Yards of the field frame. */
export const reachYards = { least: -60, most: 220 };

const oneOf = (names: readonly string[], word: string) => (names.includes(word) ? word : null);

function numberOf(word: string, least: number, most: number): number | null {
  const number = /^[+-]?\d+(?:[.,]\d+)?$/u.test(word) ? Number(word.replace(",", ".")) : Number.NaN;
  return number >= least && number <= most ? number : null;
}

function wholeNumber(word: string, least: number, most: number): number | null {
  const number = numberOf(word, least, most);
  return number !== null && Number.isInteger(number) ? number : null;
}

/** What is written of a play, by the columns, null where there is nothing. Seconds to the millisecond, yards to the hundredth. */
export function writtenOf(play: Play, filmLabel: string): Record<ListedField, string | number | null> {
  const { situation, result } = play;
  const seconds = (sec: number | null) => rounded(sec, 1000);
  const yards = (value: number | null | undefined) => rounded(value ?? null, 100);
  return {
    film: filmLabel,
    startSec: seconds(play.startSec),
    snapSec: seconds(play.snapSec),
    releaseSec: seconds(play.releaseSec),
    catchSec: seconds(play.catchSec),
    deadSec: seconds(play.deadSec),
    endSec: seconds(play.endSec),
    quarter: play.quarter,
    series: play.series,
    offence: situation.offence,
    direction: situation.direction,
    down: situation.down ?? 0,
    distanceYards: yards(yardsToGo(situation)),
    scrimmageXYards: yards(situation.scrimmageXYards),
    ballYYards: yards(situation.ballYYards),
    lineToGainXYards: situation.lineToGainXYards === null ? "none" : yards(situation.lineToGainXYards),
    kind: play.kind,
    result: result?.kind ?? null,
    resultXYards: yards(result?.spot?.xYards),
    resultYYards: yards(result?.spot?.yYards),
  };
}

/** Never the minus zero that rounding may leave. */
const rounded = (value: number | null, parts: number) =>
  value === null ? null : Math.round(value * parts) / parts || 0;
