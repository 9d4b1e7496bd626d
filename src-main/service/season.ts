import { setImmediate as othersFirst } from "node:timers/promises";
import type { Library } from "../store/library.ts";

const rowsAPiece = 10_000;
const auditRowsAPiece = 2000;

/** The grades of a library as a season takes them in. Others are served between two pieces. */
export function createSeason(library: Library, observerName: () => string) {
  return {
    async *data(signal: AbortSignal | undefined) {
      const games = library
        .listGames()
        .map(({ id }) => library.openCrew(id))
        .map(({ id, title, playedOn, level, crew }) => ({ id, title, playedOn, level, crew: [...crew] }));
      const lists = {
        games: indexed(games.map(({ id }) => id)),
        positions: indexed<string>([]),
        criteria: indexed<string>([]),
        scales: indexed<string>([]),
        authors: indexed<string>([]),
      };
      // A first walk finds what the lists hold, so that they go ahead of the rows.
      for (const piece of library.season.grades(rowsAPiece)) {
        for (const row of piece) {
          lists.positions.of(row.position);
          lists.criteria.of(row.criterion);
          lists.scales.of(row.scaleId);
          lists.authors.of(row.authorId);
        }
        await othersFirst();
        signal?.throwIfAborted();
      }
      const own = library.note("observer-id");
      yield {
        kind: "lists" as const,
        games,
        positions: lists.positions.all,
        criteria: lists.criteria.all,
        scaleIds: lists.scales.all,
        authors: lists.authors.all.map((id) => ({ id, name: id === own ? observerName() : library.observerName(id) })),
        grades: library.season.count(),
      };
      for (const piece of library.season.grades(rowsAPiece)) {
        yield {
          kind: "rows" as const,
          rows: piece.map((row): [number, number | null, number, number, number, number | null, number] => [
            lists.games.of(row.gameId),
            row.play,
            lists.positions.of(row.position),
            lists.criteria.of(row.criterion),
            lists.scales.of(row.scaleId),
            row.points,
            lists.authors.of(row.authorId),
          ]),
        };
        await othersFirst();
        signal?.throwIfAborted();
      }
    },
    async *audit(signal: AbortSignal | undefined) {
      for (const piece of library.season.said(auditRowsAPiece)) {
        yield piece.map(({ game, gameId, play, position, family, act, said, reason, authorId, at }) => ({
          game,
          gameId,
          play,
          position,
          family,
          act,
          said,
          reason,
          authorId,
          at,
        }));
        await othersFirst();
        signal?.throwIfAborted();
      }
    },
  };
}

/** Numbers given to values as they come up. */
function indexed<T>(known: readonly T[]) {
  const all = [...known];
  const numbers = new Map(all.map((value, index) => [value, index]));
  return {
    all,
    of: (value: T): number => {
      const there = numbers.get(value);
      if (there !== undefined) return there;
      numbers.set(value, all.length);
      all.push(value);
      return all.length - 1;
    },
  };
}
