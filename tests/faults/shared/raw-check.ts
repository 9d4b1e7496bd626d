/**
 * What SQLite itself says of a library's files, by a connection that knows nothing of the program. The files are copied first
 * (the file and its log), so that looking at them changes nothing of what the program finds.
 */
import { copyFileSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";

/** Faults in sentences. `look` may ask for more of the same copy. */
export function rawFaults(libraryPath: string, look: (db: BetterSqlite3.Database) => string[] = () => []): string[] {
  if (!existsSync(libraryPath)) return [];
  const folder = mkdtempSync(join(tmpdir(), "crewglass-faults-copy-"));
  try {
    const copy = join(folder, "library.crewglass");
    for (const suffix of ["", "-wal", "-journal"])
      if (existsSync(libraryPath + suffix)) copyFileSync(libraryPath + suffix, copy + suffix);
    const db = new BetterSqlite3(copy);
    try {
      const integrity = (db.pragma("integrity_check") as { integrity_check: string }[])
        .map((row) => row.integrity_check)
        .filter((line) => line !== "ok");
      const owners = (db.pragma("foreign_key_check") as { table: string }[]).map(
        ({ table }) => `a row of ${table} has lost its owner`,
      );
      return [...integrity, ...owners, ...look(db)];
    } finally {
      db.close();
    }
  } catch (error) {
    return [`SQLite cannot read the library: ${String(error)}`];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
