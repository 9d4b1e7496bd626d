import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from "node:fs";
import { basename, dirname, extname, join } from "node:path";
import type { Migration } from "./migration.ts";
import type { Sqlite } from "./sqlite.ts";

/** Written into every library's header, so that another program's database is never taken for one of ours. */
export const applicationId = 0x43_72_67_6c;

export function newestSchema(migrations: readonly Migration[]): number {
  return migrations.at(-1)?.number ?? 0;
}

/**
 * Brings a library to the newest schema in one transaction. A library that holds anything is copied beside itself
 * first; the copy's path is returned, or null when none was needed. Throws what SQLite throws, with the library as it
 * was.
 */
export function upgrade(db: Sqlite, path: string, from: number, migrations: readonly Migration[]): string | null {
  const due = migrations.filter((migration) => migration.number > from);
  if (due.length === 0) return null;
  const copy = from === 0 ? null : copyBefore(db, path, from);
  // Tables are rebuilt by some migrations, and a rebuilt table must not cascade away what refers to it.
  db.pragma("foreign_keys = OFF");
  db.transaction(() => {
    for (const migration of due) migration.up(db);
    const broken = db.pragma("foreign_key_check") as unknown[];
    if (broken.length > 0) throw new Error(`the upgrade left ${broken.length} rows without their owners`);
    db.pragma(`application_id = ${applicationId}`);
    db.pragma(`user_version = ${newestSchema(migrations)}`);
  }).immediate();
  db.pragma("foreign_keys = ON");
  return copy;
}

/** Copies the library to a sibling that says its schema. Complete and on disk before it has its name. */
function copyBefore(db: Sqlite, path: string, schema: number): string {
  const kind = extname(path);
  const stem = join(dirname(path), basename(path, kind));
  let copy = `${stem} (schema ${schema})${kind}`;
  for (let number = 2; existsSync(copy); number += 1) copy = `${stem} (schema ${schema}, ${number})${kind}`;
  const unfinished = `${copy}.part`;
  rmSync(unfinished, { force: true });
  try {
    db.prepare("VACUUM INTO ?").run(unfinished);
    const file = openSync(unfinished, "r+");
    try {
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(unfinished, copy);
  } catch (error) {
    rmSync(unfinished, { force: true });
    throw error;
  }
  return copy;
}
