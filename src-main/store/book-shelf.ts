import type { Sqlite } from "./sqlite.ts";

/** The files of a person's own mechanics books, by the book's id. Nothing here reads a book: a file is text. */
export type BookShelf = {
  /** In the order they were first put here. */
  readonly list: () => { id: string; file: string }[];
  readonly get: (id: string) => string | null;
  readonly put: (id: string, file: string) => void;
  /** False when it was not there. */
  readonly remove: (id: string) => boolean;
  /** How many games of the library are judged by a book. */
  readonly gamesWith: (id: string) => number;
};

export function openBookShelf(db: Sqlite): BookShelf {
  const selectAll = db.prepare<[], { id: string; file: string }>("SELECT id, file FROM book ORDER BY rowid");
  const select = db.prepare<[string], { file: string }>("SELECT file FROM book WHERE id = ?");
  const upsert = db.prepare<[string, string]>(
    "INSERT INTO book (id, file) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET file = excluded.file",
  );
  const remove = db.prepare<[string]>("DELETE FROM book WHERE id = ?");
  const games = db.prepare<[string], { games: number }>("SELECT count(*) AS games FROM game WHERE book_id = ?");
  return {
    list: () => selectAll.all(),
    get: (id) => select.get(id)?.file ?? null,
    put: (id, file) => void upsert.run(id, file),
    remove: (id) => remove.run(id).changes > 0,
    gamesWith: (id) => games.get(id)?.games ?? 0,
  };
}
