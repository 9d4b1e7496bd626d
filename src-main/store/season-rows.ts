import type { Sqlite } from "./sqlite.ts";

export type SeasonGradeRow = {
  readonly gameId: string;
  readonly play: number | null;
  readonly position: string;
  readonly criterion: string;
  readonly scaleId: string;
  readonly points: number | null;
  readonly authorId: string;
};

export type SaidRow = {
  readonly game: string;
  readonly gameId: string;
  readonly play: number | null;
  readonly position: string | null;
  readonly family: "grade" | "ruling";
  readonly act: "given" | "changed" | "taken back";
  readonly said: string;
  readonly reason: string;
  readonly authorId: string;
  readonly at: string;
};

export type SeasonRows = {
  readonly count: () => number;
  /** Every grade of the library, in pieces, without holding all of them. */
  readonly grades: (piece: number) => Iterable<SeasonGradeRow[]>;
  /** Every version of every grade and ruling, the oldest first, in pieces. */
  readonly said: (piece: number) => Iterable<SaidRow[]>;
};

export function openSeasonRows(db: Sqlite): SeasonRows {
  const count = db.prepare<[], { grades: number }>("SELECT count(*) AS grades FROM grade");
  // By rowid and in pieces: a statement that is read slowly would keep a writer waiting.
  const grades = db.prepare<[number, number], SeasonGradeRow & { row: number }>(`
    SELECT grade.rowid AS row, grade.game_id AS gameId, play.number AS play, position, criterion, scale_id AS scaleId, points,
      author_id AS authorId
    FROM grade LEFT JOIN play ON play.id = grade.play_id AND play.game_id = grade.game_id
    WHERE grade.rowid > ? ORDER BY grade.rowid LIMIT ?
  `);
  const said = db.prepare<[number, number], SaidRow & { row: number }>(`
    SELECT version.number AS row, game.title AS game, version.game_id AS gameId, play.number AS play,
      ifnull(grade.position, ruling.position) AS position, version.family, act, version.said, version.reason,
      version.author_id AS authorId, version.at
    FROM version
      JOIN game ON game.id = version.game_id
      LEFT JOIN grade ON version.family = 'grade' AND grade.id = record_id
      LEFT JOIN ruling ON version.family = 'ruling' AND ruling.id = record_id
      LEFT JOIN play ON play.game_id = version.game_id AND play.id = ifnull(grade.play_id, ruling.play_id)
    WHERE version.number > ? ORDER BY version.number LIMIT ?
  `);
  function* pieces<T extends object>(next: (after: number) => (T & { row: number })[]): Iterable<T[]> {
    let after = 0;
    for (;;) {
      const found = next(after);
      if (found.length === 0) return;
      after = found.at(-1)?.row ?? after;
      yield found;
    }
  }
  return {
    count: () => count.get()?.grades ?? 0,
    grades: (piece) => pieces((after) => grades.all(after, piece)),
    said: (piece) => pieces((after) => said.all(after, piece)),
  };
}
