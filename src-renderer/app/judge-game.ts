import { type FieldLayout, fieldOf } from "#core/field/template";
import type { GameRecords } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import { filmSurveys } from "#core/scoring/film-surveys";
import { type JudgedPlay, judgePlayRecords } from "#core/scoring/judge-play";
import type { Client } from "./client.ts";

export type JudgedGame = {
  readonly records: GameRecords;
  readonly layout: FieldLayout;
  readonly book: Book;
  readonly judged: ReadonlyMap<string, JudgedPlay>;
};

/** Between two plays the window gets its turn. */
const pause = () => new Promise<void>((resolve) => setTimeout(resolve, 4));

/** Another game of the library, judged by its own book. Rejects with the signal's reason. */
export async function judgeGame(client: Client, gameId: string, signal: AbortSignal): Promise<JudgedGame> {
  const { filmStates: _, sequence: __, history: ___, ...records } = await client.games.open({ gameId }, { signal });
  const book = await client.books.open({ bookId: records.game.bookId }, { signal });
  const layout = fieldOf(records.game);
  const surveys = new Map(records.films.map((film) => [film.id, filmSurveys(records, film, layout)]));
  const marked = new Set(records.moments.map(({ playId }) => playId));
  const judged = new Map<string, JudgedPlay>();
  for (const play of records.plays.filter(({ id }) => marked.has(id))) {
    signal.throwIfAborted();
    judged.set(
      play.id,
      judgePlayRecords(records, play, { surveysOf: (filmId) => surveys.get(filmId) ?? null, layout, book }),
    );
    await pause();
  }
  return { records, layout, book, judged };
}
