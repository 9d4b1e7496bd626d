import type { z } from "zod";
import { Failure } from "#core/contract/errors";
import type { Family, RecordOf } from "#core/game/records";
import type { Sqlite } from "./sqlite.ts";

export type Column = string | number | null;
export type Row = { readonly [column: string]: Column };

/** How one family lies in its table. `fromRow` only rearranges; the shape then checks all of it. */
export type RowLayout<F extends Family> = {
  readonly family: F;
  /** The column that names the owning game: `id` for the game's own table. */
  readonly gameColumn: "game_id" | "id";
  readonly shape: z.ZodType<RecordOf[F]>;
  readonly toRow: (record: RecordOf[F]) => Row;
  readonly fromRow: (row: Row) => unknown;
};

export type RowTable<F extends Family> = {
  /** The record as it lies in the library, or null. Throws LIBRARY_FAILED naming table and id when it cannot be read. */
  readonly get: (id: string) => RecordOf[F] | null;
  readonly has: (id: string) => boolean;
  /** The records of a game in the order they were made. */
  readonly ofGame: (gameId: string) => RecordOf[F][];
  readonly insert: (record: RecordOf[F]) => void;
  readonly update: (record: RecordOf[F]) => void;
  readonly remove: (id: string) => void;
};

/** Thrown by `fromRow` when a JSON column holds no JSON. */
class NotJson extends Error {}

export function parseJson(text: Column | undefined): unknown {
  if (text === null || text === undefined) return null;
  try {
    return JSON.parse(String(text));
  } catch {
    throw new NotJson("a column that should hold JSON does not");
  }
}

export function rowTable<F extends Family>(db: Sqlite, layout: RowLayout<F>): RowTable<F> {
  const { family, gameColumn } = layout;
  const columns = (db.pragma(`table_info(${family})`) as { name: string }[]).map((column) => column.name);
  const select = db.prepare<[string], Row>(`SELECT * FROM ${family} WHERE id = ?`);
  const selectId = db.prepare<[string], { id: string }>(`SELECT id FROM ${family} WHERE id = ?`);
  const selectGame = db.prepare<[string], Row>(`SELECT * FROM ${family} WHERE ${gameColumn} = ? ORDER BY rowid`);
  const insert = db.prepare<Row>(
    `INSERT INTO ${family} (${columns.join(", ")}) VALUES (${columns.map((column) => `@${column}`).join(", ")})`,
  );
  const set = columns.filter((column) => column !== "id").map((column) => `${column} = @${column}`);
  const update = db.prepare<Row>(`UPDATE ${family} SET ${set.join(", ")} WHERE id = @id`);
  const remove = db.prepare<[string]>(`DELETE FROM ${family} WHERE id = ?`);

  const read = (row: Row): RecordOf[F] => {
    const unreadable = (what: string) =>
      new Failure(
        "LIBRARY_FAILED",
        `The library's ${family} ${String(row["id"])} cannot be read (${what}). Nothing was changed; keep a copy of the library file, and open an earlier copy if you have one.`,
      );
    let loose: unknown;
    try {
      loose = layout.fromRow(row);
    } catch (error) {
      if (error instanceof NotJson) throw unreadable(error.message);
      throw error;
    }
    const checked = layout.shape.safeParse(loose);
    if (checked.success) return checked.data;
    const issue = checked.error.issues[0];
    throw unreadable(`${issue?.path.join(".") ?? ""}: ${issue?.message ?? "not as it should be"}`);
  };

  return {
    get: (id) => {
      const row = select.get(id);
      return row === undefined ? null : read(row);
    },
    has: (id) => selectId.get(id) !== undefined,
    ofGame: (gameId) => selectGame.all(gameId).map(read),
    insert: (record) => void insert.run(layout.toRow(record)),
    update: (record) => void update.run(layout.toRow(record)),
    remove: (id) => void remove.run(id),
  };
}
