import { type Play, playEnds, type PlayEnd, type PlayKind, playKinds, type TeamKey } from "../game/records.ts";

/**
 * One play as a cut list gives it: whatever of it is said. Times in seconds of the film, places in yards of the field
 * frame, as in the records.
 */
export type ListedPlay = {
  /** Where in the file it stands, counted from 1. */
  readonly line: number;
  readonly startSec: number | null;
  readonly snapSec: number | null;
  readonly releaseSec: number | null;
  readonly catchSec: number | null;
  readonly deadSec: number | null;
  readonly endSec: number | null;
  readonly quarter: number | null;
  readonly series: number | null;
  readonly offence: TeamKey | null;
  readonly direction: "left" | "right" | null;
  /** 0 stands for a play without a down. */
  readonly down: number | null;
  readonly distanceYards: number | null;
  readonly scrimmageXYards: number | null;
  readonly ballYYards: number | null;
  readonly kind: PlayKind | null;
  readonly result: PlayEnd | null;
  readonly resultXYards: number | null;
  readonly resultYYards: number | null;
};

export type ListedField = Exclude<keyof ListedPlay, "line">;

/**
 * The columns of a CSV cut list, in order, with what each holds. The README documents them from here. `also` are other
 * headings that are taken for the column when a list from elsewhere is read.
 */
export const listColumns: readonly {
  readonly field: ListedField;
  readonly heading: string;
  readonly holds: string;
  readonly also: readonly string[];
}[] = [
  {
    field: "startSec",
    heading: "start_s",
    holds: "start of the play, seconds of the film",
    also: ["start", "begin", "in", "from", "start time"],
  },
  { field: "snapSec", heading: "snap_s", holds: "snap, seconds of the film", also: ["snap", "snap time"] },
  {
    field: "releaseSec",
    heading: "release_s",
    holds: "ball leaves the passer’s hand, seconds of the film",
    also: ["release", "throw"],
  },
  { field: "catchSec", heading: "catch_s", holds: "catch, seconds of the film", also: ["catch"] },
  {
    field: "deadSec",
    heading: "dead_s",
    holds: "ball dead, seconds of the film",
    also: ["dead", "dead ball", "whistle"],
  },
  {
    field: "endSec",
    heading: "end_s",
    holds: "end of the play, seconds of the film",
    also: ["end", "out", "to", "stop", "end time"],
  },
  { field: "quarter", heading: "quarter", holds: "quarter, from 1", also: ["period"] },
  { field: "series", heading: "series", holds: "possession of the game, from 1", also: ["possession"] },
  { field: "offence", heading: "offence", holds: "home or away", also: ["offense", "team"] },
  { field: "direction", heading: "direction", holds: "right or left, from the press-box side", also: ["going"] },
  { field: "down", heading: "down", holds: "1 to 4; 0 for a play without a down", also: [] },
  {
    field: "distanceYards",
    heading: "distance_yd",
    holds: "yards to the line to gain",
    also: ["distance", "to go"],
  },
  {
    field: "scrimmageXYards",
    heading: "scrimmage_x_yd",
    holds: "line of scrimmage, yards along the field from the left end line",
    also: [],
  },
  { field: "ballYYards", heading: "ball_y_yd", holds: "ball, yards across the field from the near sideline", also: [] },
  { field: "kind", heading: "kind", holds: playKinds.join(", "), also: ["type"] },
  { field: "result", heading: "result", holds: playEnds.join(", "), also: ["ended", "outcome"] },
  { field: "resultXYards", heading: "result_x_yd", holds: "where the ball was dead, yards along the field", also: [] },
  { field: "resultYYards", heading: "result_y_yd", holds: "where the ball was dead, yards across the field", also: [] },
];

export type ReadPlay =
  | { readonly ok: true; readonly play: ListedPlay }
  | { readonly ok: false; readonly reason: string };

/** A play from the words of one row; an empty word says nothing. The reason names the heading of what cannot be read. */
export function playFromWords(line: number, words: Partial<Record<ListedField, string>>): ReadPlay {
  const read: Partial<Record<ListedField, string | number>> = {};
  for (const { field, heading } of listColumns) {
    const word = words[field]?.trim() ?? "";
    if (word === "") continue;
    const value = valueOf(field, word);
    if (value === null) return { ok: false, reason: `${heading}: “${word}” cannot be read.` };
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
  return { ok: true, play };
}

function valueOf(field: ListedField, word: string): string | number | null {
  const lower = word.toLowerCase();
  switch (field) {
    case "startSec":
    case "snapSec":
    case "releaseSec":
    case "catchSec":
    case "deadSec":
    case "endSec":
      return readTime(word);
    case "offence":
      return oneOf(["home", "away"], lower);
    case "direction":
      return oneOf(["left", "right"], lower);
    case "kind":
      return oneOf(playKinds, lower);
    case "result":
      return oneOf(playEnds, lower);
    case "quarter":
      return wholeNumber(word, 1, 20);
    case "series":
      return wholeNumber(word, 1, 999);
    case "down":
      return wholeNumber(word, 0, 4);
    case "distanceYards":
    case "scrimmageXYards":
    case "ballYYards":
    case "resultXYards":
    case "resultYYards":
      return numberOf(word, -60, 220);
  }
}

const oneOf = (names: readonly string[], word: string) => (names.includes(word) ? word : null);

function numberOf(word: string, least: number, most: number): number | null {
  const number = /^[+-]?\d+(?:[.,]\d+)?$/u.test(word) ? Number(word.replace(",", ".")) : Number.NaN;
  return number >= least && number <= most ? number : null;
}

function wholeNumber(word: string, least: number, most: number): number | null {
  const number = numberOf(word, least, most);
  return number !== null && Number.isInteger(number) ? number : null;
}

/** Seconds from "12.5", "1:04.27" or "0:01:04.270", with a point or a comma. */
export function readTime(word: string): number | null {
  const found = /^(?:(?:(\d+):)?(\d+):)?(\d+(?:[.,]\d+)?)$/u.exec(word);
  if (!found) return null;
  const [, hours = "0", minutes = "0", seconds = ""] = found;
  const sec = Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds.replace(",", "."));
  return sec <= 200_000 ? sec : null;
}

/** The words of a play, by the columns. Seconds to the millisecond, yards to the hundredth. */
export function wordsOf(play: Play): Record<ListedField, string> {
  const { situation, result } = play;
  const seconds = (sec: number | null) => (sec === null ? "" : String(Math.round(sec * 1000) / 1000));
  const yards = (value: number | null | undefined) => (value == null ? "" : String(Math.round(value * 100) / 100));
  const sign = situation.direction === "right" ? 1 : -1;
  return {
    startSec: seconds(play.startSec),
    snapSec: seconds(play.snapSec),
    releaseSec: seconds(play.releaseSec),
    catchSec: seconds(play.catchSec),
    deadSec: seconds(play.deadSec),
    endSec: seconds(play.endSec),
    quarter: play.quarter === null ? "" : String(play.quarter),
    series: play.series === null ? "" : String(play.series),
    offence: situation.offence,
    direction: situation.direction,
    down: String(situation.down ?? 0),
    distanceYards:
      situation.lineToGainXYards === null ? "" : yards(sign * (situation.lineToGainXYards - situation.scrimmageXYards)),
    scrimmageXYards: yards(situation.scrimmageXYards),
    ballYYards: yards(situation.ballYYards),
    kind: play.kind ?? "",
    result: result?.kind ?? "",
    resultXYards: yards(result?.spot?.xYards),
    resultYYards: yards(result?.spot?.yYards),
  };
}
