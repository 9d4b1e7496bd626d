import { gameShape } from "#core/contract/shapes";
import type { CrewMember } from "#core/game/records";
import { type Excerpt, excerptOf, folded, holdsWords } from "#core/search/find-words";
import type { Sqlite } from "./sqlite.ts";

export type FoundIn = "game" | "official" | "film" | "ruling" | "grade" | "note";

/** One text of the library that has what was looked for. */
export type Found = {
  readonly in: FoundIn;
  readonly gameId: string;
  readonly game: string;
  readonly playedOn: string | null;
  /** Number of its play; null where it is of the whole game. */
  readonly play: number | null;
  readonly position: string | null;
  /** What was said of it: the criterion of a grade, or how a ruling was judged. */
  readonly about: string | null;
  readonly authorId: string | null;
  readonly excerpt: Excerpt;
  /** Where in the film it is looked at; null where the game has none. */
  readonly at: { readonly filmId: string; readonly timeSec: number } | null;
};

export type Finder = (wanted: {
  /** Folded. */
  readonly words: readonly string[];
  /** Whose private notes are looked into. */
  readonly observerId: string;
}) => Iterable<Found[]>;

type GameRow = {
  readonly id: string;
  readonly title: string;
  readonly played_on: string | null;
  readonly level: string;
  readonly home_name: string;
  readonly away_name: string;
  readonly crew_json: string;
};
type FilmRow = { readonly id: string; readonly game_id: string; readonly label: string; readonly path: string };
type SaidRow = {
  readonly row: number;
  readonly game_id: string;
  readonly play_id: string | null;
  readonly position: string | null;
  readonly author_id: string;
  readonly first: string;
  readonly second: string;
  readonly about: string | null;
};
type PlayRow = {
  readonly number: number;
  readonly film_id: string;
  readonly start_sec: number;
  readonly snap_sec: number | null;
};

const crewShape = gameShape.shape.crew;

/** So many rows at a time, so that nobody who writes has to wait. */
const piece = 4000;

/** What people wrote, by the table that holds it: the columns that are looked into. */
const saidIn = [
  { in: "ruling", table: "ruling", first: "foul", second: "comment", about: "kind || ', ' || class", own: false },
  { in: "grade", table: "grade", first: "reason", second: "comment", about: "criterion", own: false },
  { in: "note", table: "note", first: "text", second: "''", about: "NULL", own: true },
] as const;

/**
 * Looks for words in the names of games, teams, officials and films and in what was written to grades, rulings and the person's own
 * notes. Words may stand partly in the game's names, partly in the text: "holding herons". A piece at a time; pieces may be empty.
 */
export function openFinder(db: Sqlite): Finder {
  const selectGames = db.prepare<[], GameRow>(
    "SELECT id, title, played_on, level, home_name, away_name, crew_json FROM game ORDER BY played_on IS NULL, played_on DESC, rowid",
  );
  const selectFilms = db.prepare<[], FilmRow>("SELECT id, game_id, label, path FROM film ORDER BY rowid");
  const selectFirstFilm = db
    .prepare<[string], string>("SELECT id FROM film WHERE game_id = ? ORDER BY order_number, rowid LIMIT 1")
    .pluck();
  const selectPlay = db.prepare<[string, string], PlayRow>(
    "SELECT number, film_id, start_sec, snap_sec FROM play WHERE game_id = ? AND id = ?",
  );
  const said = saidIn.map(({ in: where, table, first, second, about, own }) => ({
    where,
    own,
    select: db.prepare<[number, number], SaidRow>(`
      SELECT rowid AS row, game_id, play_id, position, author_id, ${first} AS first, ${second} AS second, ${about} AS about
      FROM ${table} WHERE rowid > ? AND (${first} <> '' OR ${second} <> '') ORDER BY rowid LIMIT ?
    `),
  }));

  return function* find({ words, observerId }) {
    const games = new Map(selectGames.all().map((row) => [row.id, { row, crew: crewOf(row) }]));
    const filmAt = (gameId: string) => {
      const filmId = selectFirstFilm.get(gameId);
      return filmId === undefined ? null : { filmId, timeSec: 0 };
    };
    const ofGame = ({ id, title, played_on: playedOn }: GameRow) => ({ gameId: id, game: title, playedOn });
    const names: Found[] = [];
    for (const { row, crew } of games.values()) {
      const about = { ...ofGame(row), play: null, about: null, authorId: null };
      const text = [row.title, `${row.home_name} and ${row.away_name}`, row.level, row.played_on ?? ""]
        .filter((part) => part !== "")
        .join(" · ");
      const beside = folded(text);
      if (holdsWords(beside, "", words))
        names.push({ ...about, in: "game", position: null, excerpt: excerptOf(text, words), at: null });
      for (const { name, position } of crew)
        if (holdsWords(folded(name), `${beside} ${folded(position)}`, words))
          names.push({ ...about, in: "official", position, excerpt: excerptOf(name, words), at: null });
    }
    yield names;

    yield selectFilms.all().flatMap(({ id, game_id: gameId, label, path }): Found[] => {
      const game = games.get(gameId)?.row;
      const text = [label, path.split(/[\\/]/u).at(-1) ?? ""]
        .filter((part, at, all) => part !== "" && all.indexOf(part) === at)
        .join(" · ");
      if (!game || !holdsWords(folded(text), folded(game.title), words)) return [];
      const at = { filmId: id, timeSec: 0 };
      return [
        {
          ...ofGame(game),
          in: "film",
          play: null,
          position: null,
          about: null,
          authorId: null,
          excerpt: excerptOf(text, words),
          at,
        },
      ];
    });

    for (const { where, own, select } of said) {
      for (let rows = select.all(0, piece); rows.length > 0; rows = select.all(rows.at(-1)?.row ?? 0, piece))
        yield rows.flatMap((row): Found[] => {
          if (own && row.author_id !== observerId) return [];
          const text = [row.first, row.second].filter((part) => part !== "").join(" · ");
          const plain = folded(text);
          // Most texts have none of the words: the names around them are not looked at.
          if (!words.some((word) => plain.includes(word))) return [];
          const game = games.get(row.game_id);
          if (!game) return [];
          const official = game.crew.find(({ position }) => position === row.position)?.name ?? "";
          const beside = `${game.row.title} ${game.row.home_name} ${game.row.away_name} ${row.position ?? ""} ${official}`;
          if (!holdsWords(plain, folded(beside), words)) return [];
          const play = row.play_id === null ? undefined : selectPlay.get(row.game_id, row.play_id);
          return [
            {
              ...ofGame(game.row),
              in: where,
              play: play?.number ?? null,
              position: row.position,
              about: row.about,
              authorId: row.author_id,
              excerpt: excerptOf(text, words),
              at: play ? { filmId: play.film_id, timeSec: play.snap_sec ?? play.start_sec } : filmAt(row.game_id),
            },
          ];
        });
    }
  };
}

/** Nobody where another program has spoilt it: the rest can be found all the same. */
function crewOf({ crew_json: text }: GameRow): readonly CrewMember[] {
  try {
    return crewShape.safeParse(JSON.parse(text)).data ?? [];
  } catch {
    return [];
  }
}
