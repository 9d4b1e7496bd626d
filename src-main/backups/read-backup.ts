import type { Watching } from "../store/copy-library.ts";
import { newestSchema, applicationId } from "../store/upgrade.ts";
import { lookThrough } from "../store/look-through.ts";
import { migrations } from "../store/migrations/list.ts";
import { hasSchema, schemaOf } from "../store/schema-text.ts";
import { loadSqlite, type Sqlite } from "../store/sqlite.ts";

export type BackupGame = {
  readonly title: string;
  readonly playedOn: string | null;
  readonly plays: number;
  readonly marks: number;
  readonly grades: number;
};

/** What a backup holds, as read from the file itself. */
export type BackupHolds = {
  readonly schema: number;
  readonly games: BackupGame[];
  /** When the last edit in it was made, as an ISO time; null when nothing was edited. */
  readonly lastEditAt: string | null;
};

/** `fault` says in words why it must not be put in the library's place. */
export type ReadBackup =
  | { readonly ok: true; readonly holds: BackupHolds }
  | { readonly ok: false; readonly fault: string };

/**
 * Opens a backup and looks it through: whether it is a library that this program reads, with every table, and whole. The
 * file is not changed. Rejects with the signal's reason, and with what the file system throws.
 */
export async function readBackup(path: string, { progress, signal }: Watching = {}): Promise<ReadBackup> {
  const Database = await loadSqlite();
  let db: Sqlite | null = null;
  try {
    db = new Database(path, { readonly: true, fileMustExist: true });
    const number = (name: string) => Number(db?.pragma(name, { simple: true }));
    if (number("application_id") !== applicationId) return { ok: false, fault: "it is no library of this program" };
    const schema = number("user_version");
    if (schema > newestSchema(migrations)) return { ok: false, fault: `a newer Crewglass made it (schema ${schema})` };
    if (!hasSchema(db, schemaOf(Database, schema, migrations))) return { ok: false, fault: "its tables are damaged" };
    for await (const { done, total, faults } of lookThrough(db)) {
      signal?.throwIfAborted();
      progress?.(done, total);
      if (faults.length > 0) return { ok: false, fault: `it is damaged (${faults[0]})` };
    }
    return { ok: true, holds: holdsOf(db, schema) };
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    // What cannot be read as a database is a damaged backup, whatever SQLite calls it.
    if (code.startsWith("SQLITE_")) return { ok: false, fault: `it cannot be read (${code})` };
    throw error;
  } finally {
    db?.close();
  }
}

function holdsOf(db: Sqlite, schema: number): BackupHolds {
  const has = (table: string) =>
    db.prepare("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?").get(table) !== undefined;
  const count = (table: string) => (has(table) ? `(SELECT count(*) FROM ${table} WHERE game_id = game.id)` : "0");
  const games = db
    .prepare<[], BackupGame>(
      `SELECT title, played_on AS playedOn, ${count("play")} AS plays, ${count("mark")} AS marks, ${count("grade")} AS grades
       FROM game ORDER BY played_on IS NULL, played_on DESC, rowid DESC`,
    )
    .all();
  const lastEditAt = db.prepare<[], string | null>("SELECT max(at) FROM history").pluck().get() ?? null;
  return { schema, games, lastEditAt };
}
