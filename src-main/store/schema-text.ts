import type { Migration } from "./migration.ts";
import type { Sqlite, SqliteConstructor } from "./sqlite.ts";

type SchemaPart = {
  readonly type: string;
  readonly name: string;
  readonly tbl_name: string;
  readonly sql: string | null;
};

const partsOf = (db: Sqlite): SchemaPart[] =>
  db.prepare<[], SchemaPart>("SELECT type, name, tbl_name, sql FROM sqlite_schema").all();

/** The tables and indexes that a library of a schema number has, as the migrations make them. */
export function schemaOf(Database: SqliteConstructor, number: number, migrations: readonly Migration[]): SchemaPart[] {
  const db = new Database(":memory:");
  try {
    for (const migration of migrations) if (migration.number <= number) migration.up(db);
    return partsOf(db);
  } finally {
    db.close();
  }
}

/**
 * Whether a library has every part, to the letter. SQLite's own check looks at pages and rows and believes whatever the
 * schema says, so a changed letter in a table's name would be found only when it is used. Parts beyond these do no harm.
 */
export function hasSchema(db: Sqlite, parts: readonly SchemaPart[]): boolean {
  const key = (part: SchemaPart) => JSON.stringify([part.type, part.name, part.tbl_name, part.sql]);
  const present = new Set(partsOf(db).map(key));
  return parts.every((part) => present.has(key(part)));
}
