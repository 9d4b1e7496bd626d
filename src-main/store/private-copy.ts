import { chmodSync, copyFileSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/**
 * A copy of a library that lies where nothing can be written. SQLite wants to write beside a file even to read it (an
 * unfinished write-ahead log is part of the library), so a read-only library is read from a copy that only this person
 * can see, removed on close.
 */
export type PrivateCopy = { readonly path: string; readonly remove: () => void };

export function copyPrivately(libraryPath: string): PrivateCopy {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-"));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  try {
    const path = join(folder, "library.crewglass");
    for (const suffix of ["", "-wal", "-journal"]) {
      if (suffix !== "" && !existsSync(libraryPath + suffix)) continue;
      copyFileSync(libraryPath + suffix, path + suffix);
      chmodSync(path + suffix, 0o600);
    }
    return { path, remove };
  } catch (error) {
    remove();
    throw error;
  }
}
