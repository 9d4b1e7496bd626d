import { copyFileSync, existsSync, renameSync, rmSync } from "node:fs";
import { dirname } from "node:path";
import { keptName } from "./backup-names.ts";
import { toDisk } from "./backup-shelf.ts";

/** What SQLite keeps beside a database and would read into the next one of that name. */
const beside = ["-wal", "-shm", "-journal"] as const;

/**
 * Puts a backup, or nothing, where a closed library lies, and keeps what lay there under a name that says why. A program that ends half
 * way leaves the place empty at worst, which the next start says and does not fill by itself. Gives the path of what was kept, null
 * when nothing lay there.
 */
export function putInPlace(
  libraryPath: string,
  backupPath: string | null,
  word: "damaged" | "replaced",
  at: Date,
): string | null {
  const part = `${libraryPath}.part`;
  rmSync(part, { force: true });
  if (backupPath !== null) {
    copyFileSync(backupPath, part);
    toDisk(part);
  }
  // The log goes first: beside another file of its name it would be read into that.
  const left = [...beside, ""].filter((suffix) => existsSync(libraryPath + suffix));
  const kept = left.length > 0 ? freeName(keptName(libraryPath, word, at)) : null;
  if (kept !== null) for (const suffix of left) renameSync(libraryPath + suffix, kept + suffix);
  if (backupPath !== null) renameSync(part, libraryPath);
  toDisk(dirname(libraryPath));
  return kept;
}

function freeName(path: string): string {
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? path : path.replace(/\)(\.[^.]*)?$/u, `, ${number})$1`);
    if (!existsSync(name)) return name;
  }
}
