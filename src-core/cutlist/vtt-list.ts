import type { Film, Play } from "../game/records.ts";
import { saidSituation } from "../game/words.ts";
import { listColumns, type ListedField, type ListedPlay } from "./list-columns.ts";
import { ownWords, playFromWords, type WordReading, writtenOf } from "./listed-play.ts";
import { type Cue, type LeftOut, readWebVtt, writeWebVtt } from "./web-vtt.ts";

/**
 * Cut lists as WebVTT: a cue a play. The first line of a cue is for people; the second is a JSON object of what else is
 * said, by the headings of the CSV list. A cue without it is a play from its start to its end.
 */
export function writeVttList(title: string, plays: readonly Play[], film: Pick<Film, "label">): string {
  return writeWebVtt(
    `Plays of ${title}, on the film ${film.label}. Times are those of the film.`,
    plays.map((play) => ({
      id: `play ${play.number}`,
      startSec: play.startSec,
      endSec: play.endSec,
      text: `Play ${play.number}: ${saidSituation(play.situation)}\n${dataOf(play, film.label)}`,
    })),
  );
}

/** The cue itself says when it starts and ends. */
const dataColumns = listColumns.filter(({ field }) => field !== "startSec" && field !== "endSec");

function dataOf(play: Play, filmLabel: string): string {
  const written = writtenOf(play, filmLabel);
  const said = dataColumns.filter(({ field }) => written[field] !== null);
  return JSON.stringify(Object.fromEntries(said.map(({ field, heading }) => [heading, written[field]])));
}

export type ReadList =
  | { readonly ok: true; readonly plays: readonly ListedPlay[]; readonly leftOut: readonly LeftOut[] }
  | { readonly ok: false; readonly line: number; readonly reason: string };

export function readVttList(file: string, sides: WordReading["sides"] = null): ReadList {
  const read = readWebVtt(file);
  if (!read.ok) return read;
  const plays: ListedPlay[] = [];
  const leftOut: LeftOut[] = [...read.leftOut];
  for (const cue of read.cues) {
    const one = playFromWords(cue.line, wordsOfCue(cue), { ...ownWords, sides });
    if (one.ok) plays.push(one.play);
    else leftOut.push({ line: cue.line, reason: one.reason });
  }
  return { ok: true, plays, leftOut };
}

function wordsOfCue(cue: Cue): Partial<Record<ListedField, string>> {
  const data = dataIn(cue) ?? {};
  const words: Partial<Record<ListedField, string>> = {
    startSec: String(cue.startSec),
    endSec: String(cue.endSec),
  };
  for (const { field, heading } of dataColumns) {
    const value = Object.hasOwn(data, heading) ? data[heading] : null;
    if (typeof value === "string" || typeof value === "number") words[field] = String(value);
  }
  return words;
}

/** The object that a cue carries: the whole payload as metadata files have it, or a line of its text. */
function dataIn({ payload, text }: Cue): Record<string, unknown> | null {
  for (const one of [payload, ...text.split("\n")]) {
    const found = one.trimStart().startsWith("{") ? objectOf(one) : null;
    if (found) return found;
  }
  return null;
}

function objectOf(json: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(json);
    return typeof value === "object" && value !== null && !Array.isArray(value)
      ? (value as Record<string, unknown>)
      : null;
  } catch {
    return null;
  }
}
