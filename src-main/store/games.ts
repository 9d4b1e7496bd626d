import { Failure } from "#core/contract/errors";
import type { GameRecords } from "#core/game/records";
import { tableOf } from "./checked-changes.ts";
import type { History } from "./history.ts";
import type { Sqlite } from "./sqlite.ts";
import { recordShapes, type Tables } from "./tables.ts";

export type GameSummary = {
  readonly id: string;
  readonly title: string;
  readonly playedOn: string | null;
  readonly level: string;
  readonly homeName: string;
  readonly awayName: string;
  readonly films: number;
  readonly plays: number;
  /** Plays with a moment whose stakes are enough for a survey by themselves: four points, or as much in lines. */
  readonly surveyed: number;
  /** Plays with a moment that has at least one mark. */
  readonly marked: number;
};

export type Games = {
  /** Newest date of play first; games without a date last. */
  readonly list: () => GameSummary[];
  /** Everything of a game, each family in the order it was made. Throws NOT_FOUND. */
  readonly open: (gameId: string) => GameRecords;
  /** Adds a whole game in one transaction. What it starts with is not an edit and cannot be undone. */
  readonly add: (records: GameRecords) => void;
  /** Removes a game with everything it owns and its history; false when it was not there. */
  readonly remove: (gameId: string) => boolean;
};

const summaries = `
  SELECT
    game.id, title, played_on AS playedOn, level, home_name AS homeName, away_name AS awayName,
    (SELECT count(*) FROM film WHERE game_id = game.id) AS films,
    (SELECT count(*) FROM play WHERE game_id = game.id) AS plays,
    (SELECT count(DISTINCT play_id) FROM moment WHERE game_id = game.id AND
      (SELECT sum(CASE WHEN kind = 'point' THEN 2 WHEN json_valid(clicks_json) THEN min(2, json_array_length(clicks_json)) ELSE 0 END) FROM stake
        WHERE stake.game_id = game.id AND moment_id = moment.id) >= 8) AS surveyed,
    (SELECT count(DISTINCT play_id) FROM moment WHERE game_id = game.id AND
      EXISTS (SELECT 1 FROM mark WHERE mark.game_id = game.id AND moment_id = moment.id)) AS marked
  FROM game
  ORDER BY played_on IS NULL, played_on DESC, game.rowid DESC
`;

export function openGames(db: Sqlite, tables: Tables, history: History): Games {
  const selectSummaries = db.prepare<[], GameSummary>(summaries);
  const add = db.transaction((records: GameRecords) => {
    const rows = [
      ["game", [records.game]],
      ["film", records.films],
      ["play", records.plays],
      ["angle", records.angles],
      ["moment", records.moments],
      ["stake", records.stakes],
      ["carry", records.carries],
      ["mark", records.marks],
      ["grade", records.grades],
      ["ruling", records.rulings],
      ["note", records.notes],
      ["seal", records.seals],
    ] as const;
    for (const [family, list] of rows) {
      for (const record of list) tableOf(tables, family).insert(recordShapes[family].parse(record));
    }
  });
  const remove = db.transaction((gameId: string): boolean => {
    const { changes } = db.prepare<[string]>("DELETE FROM game WHERE id = ?").run(gameId);
    // The grades that went with it have left a version each.
    for (const table of ["version", "conflict", "brought", "alternative"])
      db.prepare<[string]>(`DELETE FROM ${table} WHERE game_id = ?`).run(gameId);
    return changes > 0;
  });
  return {
    list: () => selectSummaries.all(),
    open: (gameId) => {
      const game = tables.game.get(gameId);
      if (game === null) throw new Failure("NOT_FOUND", "This game is no longer in the library.");
      return {
        game,
        films: tables.film.ofGame(gameId),
        plays: tables.play.ofGame(gameId),
        angles: tables.angle.ofGame(gameId),
        moments: tables.moment.ofGame(gameId),
        stakes: tables.stake.ofGame(gameId),
        carries: tables.carry.ofGame(gameId),
        marks: tables.mark.ofGame(gameId),
        grades: tables.grade.ofGame(gameId),
        rulings: tables.ruling.ofGame(gameId),
        notes: tables.note.ofGame(gameId),
        seals: tables.seal.ofGame(gameId),
      };
    },
    add: (records) => void add.immediate(records),
    remove: (gameId) => {
      const removed = remove.immediate(gameId);
      history.forget(gameId);
      return removed;
    },
  };
}
