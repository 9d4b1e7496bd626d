import { setImmediate as nextTurn } from "node:timers/promises";
import type { Sqlite } from "./sqlite.ts";

/** What has been looked at so far, in tables, and what SQLite finds wrong there, in its own words. */
export type LookedAt = { readonly done: number; readonly total: number; readonly faults: readonly string[] };

const mostFaults = 20;

/**
 * Looks a library through, a table with its indexes at a time: pages, rows, indexes, and owners of rows. Whoever else needs
 * this process gets it between two tables.
 */
export async function* lookThrough(db: Sqlite): AsyncGenerator<LookedAt, void> {
  const tables = db
    .prepare<[], string>(
      "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'",
    )
    .pluck()
    .all();
  for (const [index, table] of tables.entries()) {
    yield { done: index + 1, total: tables.length, faults: faultsIn(db, table) };
    await nextTurn();
  }
}

function faultsIn(db: Sqlite, table: string): string[] {
  const name = `"${table.replaceAll('"', '""')}"`;
  const found = db.pragma(`integrity_check(${name})`) as { integrity_check: string }[];
  const orphans = db.pragma(`foreign_key_check(${name})`) as unknown[];
  return [
    ...found.map((row) => row.integrity_check).filter((line) => line !== "ok"),
    ...(orphans.length === 0 ? [] : [`${orphans.length} of ${table} have lost their owners`]),
  ].slice(0, mostFaults);
}
