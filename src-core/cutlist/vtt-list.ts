import type { Play } from "../game/records.ts";
import { saidSituation } from "../game/words.ts";
import { type ListedField, type ListedPlay, listColumns, playFromWords, wordsOf } from "./listed-play.ts";
import type { LeftOut } from "./csv-list.ts";
import { type Cue, readWebVtt, writeWebVtt } from "./web-vtt.ts";

/**
 * Cut lists as WebVTT: a cue a play. The first line of a cue is for people; the second holds what else is said as
 * heading=value pairs, by the columns of the CSV list. A cue without that line is a play from its start to its end.
 */
export function writeVttList(title: string, plays: readonly Play[]): string {
  return writeWebVtt(
    `Plays of ${title}. Times are those of the film.`,
    plays.map((play) => ({
      id: `play ${play.number}`,
      startSec: play.startSec,
      endSec: play.endSec,
      text: `Play ${play.number}: ${saidSituation(play.situation)}\n${pairs(play)}`,
    })),
  );
}

function pairs(play: Play): string {
  const words = wordsOf(play);
  return listColumns
    .filter(({ field }) => field !== "startSec" && field !== "endSec" && words[field] !== "")
    .map(({ field, heading }) => `${heading}=${words[field]}`)
    .join("; ");
}

export type ReadList =
  | { readonly ok: true; readonly plays: readonly ListedPlay[]; readonly leftOut: readonly LeftOut[] }
  | { readonly ok: false; readonly line: number; readonly reason: string };

export function readVttList(file: string): ReadList {
  const read = readWebVtt(file);
  if (!read.ok) return read;
  const plays: ListedPlay[] = [];
  const leftOut: LeftOut[] = [...read.leftOut];
  for (const [index, cue] of read.cues.entries()) {
    const one = playFromWords(index + 1, wordsOfCue(cue));
    if (one.ok) plays.push(one.play);
    else leftOut.push({ line: index + 1, reason: `Cue ${index + 1}: ${one.reason}` });
  }
  return { ok: true, plays, leftOut };
}

function wordsOfCue({ startSec, endSec, text }: Cue): Partial<Record<ListedField, string>> {
  const words: Partial<Record<ListedField, string>> = { startSec: String(startSec), endSec: String(endSec) };
  const line = text.split("\n").find((one) => /^\w+=[^;]*(?:; \w+=[^;]*)*$/u.test(one));
  for (const pair of line?.split("; ") ?? []) {
    const [heading, value = ""] = pair.split("=");
    const column = listColumns.find((one) => one.heading === heading);
    if (column) words[column.field] = value;
  }
  return words;
}
