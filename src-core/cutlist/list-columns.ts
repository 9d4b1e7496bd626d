import { playEnds, type PlayEnd, type PlayKind, playKinds, type TeamKey } from "../game/records.ts";

/**
 * One play as a cut list gives it: whatever of it is said. Times in seconds of the film, places in yards of the field
 * frame, as in the records; null stands for what the list does not say.
 */
export type ListedPlay = {
  /** The line of the file on which it stands, counted from 1. */
  readonly line: number;
  /** The label of its film. */
  readonly film: string | null;
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
  /** "none" is said of a play that has no line to gain. */
  readonly lineToGainXYards: number | "none" | null;
  readonly kind: PlayKind | null;
  readonly result: PlayEnd | null;
  readonly resultXYards: number | null;
  readonly resultYYards: number | null;
};

export type ListedField = Exclude<keyof ListedPlay, "line">;

export type ListColumn = {
  readonly field: ListedField;
  readonly heading: string;
  readonly holds: string;
  /** Other headings taken for the column when a list from elsewhere is read. */
  readonly also: readonly string[];
};

/** First of all in what is written, for people: plays are numbered by film and time, so that it is not read. */
export const numberColumn = { heading: "number", holds: "number of the play as it was written; not read" };

const column = (field: ListedField, heading: string, holds: string, ...also: string[]): ListColumn => ({
  field,
  heading,
  holds,
  also,
});

/** The columns of a cut list, in order, with what each holds. The README documents them from here. */
export const listColumns: readonly ListColumn[] = [
  column("film", "film", "label of the film", "film name", "file", "video"),
  column("startSec", "start_s", "start of the play, seconds of the film", "start", "start time", "begin", "from", "in"),
  column("snapSec", "snap_s", "snap, seconds of the film", "snap", "snap time"),
  column("releaseSec", "release_s", "ball leaves the passer’s hand, seconds of the film", "release", "throw"),
  column("catchSec", "catch_s", "catch, seconds of the film", "catch"),
  column("deadSec", "dead_s", "ball dead, seconds of the film", "dead", "dead ball", "whistle"),
  column("endSec", "end_s", "end of the play, seconds of the film", "end", "end time", "stop", "to", "out"),
  column("quarter", "quarter", "quarter, from 1", "period"),
  column("series", "series", "possession of the game, from 1", "possession"),
  column("offence", "offence", "home or away; or the name of the side", "offense", "team"),
  column("direction", "direction", "right or left, as seen from the press box", "going"),
  column("down", "down", "1 to 4; 0 for a play without a down"),
  column("distanceYards", "distance_yd", "yards to the line to gain", "distance", "to go"),
  column("scrimmageXYards", "scrimmage_x_yd", "line of scrimmage, yards along the field", "scrimmage"),
  column("ballYYards", "ball_y_yd", "ball, yards across the field"),
  column("lineToGainXYards", "line_to_gain_x_yd", "line to gain, yards along the field; or none", "line to gain"),
  column("kind", "kind", playKinds.join(", "), "type"),
  column("result", "result", playEnds.join(", "), "ended", "outcome"),
  column("resultXYards", "result_x_yd", "where the ball was dead, yards along the field"),
  column("resultYYards", "result_y_yd", "where the ball was dead, yards across the field"),
];
