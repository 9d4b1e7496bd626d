import type { FieldLayout } from "../field/template.ts";
import type { Film, GameRecords, Mark, Moment, Play } from "../game/records.ts";
import type { Book } from "../mechanics/book.ts";
import { filmSurveys, type FilmSurveys } from "./film-surveys.ts";
import { type JudgedPlay, judgePlay, playInput, type RecordsGiven } from "./judge-play.ts";

/**
 * Surveys and judged plays kept beside the records that they were made from, so that what did not change is not worked out again:
 * not for an edit elsewhere in the game, and not by the next place that looks at it. An edited record is another object, and
 * whatever depends on it is made anew; what is kept goes with its record.
 */

type KeptSurveys = Pick<GameRecords, "moments" | "stakes" | "carries"> & {
  readonly layout: FieldLayout;
  readonly surveys: FilmSurveys;
};

const surveysKept = new WeakMap<Film, KeptSurveys>();

/** As `filmSurveys`; the same object as the last time where nothing that it rests on has changed. */
export function keptSurveys(
  records: Pick<GameRecords, "moments" | "stakes" | "carries">,
  film: Film,
  layout: FieldLayout,
): FilmSurveys {
  const { moments, stakes, carries } = records;
  const there = surveysKept.get(film);
  if (
    there?.moments === moments &&
    there.stakes === stakes &&
    there.carries === carries &&
    isSameValue(there.layout, layout)
  )
    return there.surveys;
  const surveys = filmSurveys(records, film, layout);
  surveysKept.set(film, { moments, stakes, carries, layout, surveys });
  return surveys;
}

type KeptPlay = {
  readonly parts: readonly unknown[];
  readonly layout: FieldLayout;
  readonly book: Book;
  readonly judged: JudgedPlay;
};

const playsKept = new WeakMap<Play, KeptPlay>();

/** Moments by their play and marks by their moment: made once for all plays of a game. */
export type RecordsOfPlays = {
  readonly game: GameRecords["game"];
  readonly angles: GameRecords["angles"];
  readonly momentsOf: ReadonlyMap<string, readonly Moment[]>;
  readonly marksOf: ReadonlyMap<string, readonly Mark[]>;
};

export function recordsOfPlays(records: Pick<GameRecords, "game" | "angles" | "moments" | "marks">): RecordsOfPlays {
  return {
    game: records.game,
    angles: records.angles,
    momentsOf: Map.groupBy(records.moments, ({ playId }) => playId),
    marksOf: Map.groupBy(records.marks, ({ momentId }) => momentId),
  };
}

/** A play judged before from the same records, surveys, field and book; null where it must be judged anew. */
export function judgedBefore(records: RecordsOfPlays, play: Play, given: RecordsGiven): JudgedPlay | null {
  const there = playsKept.get(play);
  if (!there || !isSameValue(there.layout, given.layout) || !isSameValue(there.book, given.book)) return null;
  const parts = partsOf(records, play, given);
  const isSame = parts.length === there.parts.length && parts.every((part, index) => part === there.parts[index]);
  return isSame ? there.judged : null;
}

/** As `judgePlayRecords`, and kept for `judgedBefore`. */
export function judgeAndKeep(records: RecordsOfPlays, play: Play, given: RecordsGiven): JudgedPlay {
  const before = judgedBefore(records, play, given);
  if (before) return before;
  const { layout, book } = given;
  const moments = records.momentsOf.get(play.id) ?? [];
  const marks = moments.flatMap(({ id }) => records.marksOf.get(id) ?? []);
  const judged = judgePlay(playInput({ game: records.game, angles: records.angles, moments, marks }, play, given));
  playsKept.set(play, { parts: partsOf(records, play, given), layout, book, judged });
  return judged;
}

/** All that a play is judged from but its own record, the field and the book; marks stand behind their moment. */
function partsOf(
  { game, angles, momentsOf, marksOf }: RecordsOfPlays,
  play: Play,
  { surveysOf }: RecordsGiven,
): unknown[] {
  const moments = momentsOf.get(play.id) ?? [];
  return [
    game.lineJudgeSide,
    game.playersPerSide,
    ...angles.filter(({ playId }) => playId === play.id),
    ...moments.flatMap((moment) => [moment, surveysOf(moment.filmId), ...(marksOf.get(moment.id) ?? [])]),
  ];
}

const texts = new WeakMap<object, string>();

/** Fields and books are read anew by each place that shows them: two that hold the same are one. */
function isSameValue(a: object, b: object): boolean {
  return a === b || textOf(a) === textOf(b);
}

function textOf(value: object): string {
  const there = texts.get(value);
  if (there !== undefined) return there;
  const text = JSON.stringify(value);
  texts.set(value, text);
  return text;
}
