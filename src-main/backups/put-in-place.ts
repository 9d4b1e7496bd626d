import { copyFileSync, existsSync, linkSync, renameSync, rmSync } from "node:fs";
import { dirname } from "node:path";
import { keptName } from "./backup-names.ts";
import { toDisk } from "./backup-shelf.ts";

/** What SQLite keeps beside a database and would read into the next one of that name. */
const beside = ["-wal", "-shm", "-journal"] as const;

/**
 * Puts a backup, or nothing, where a closed library lies, and keeps what lay there under a name that says why. At every
 * instant either the one or the other lies there whole. Gives the path of what was kept, null when nothing lay there.
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
  const left = beside.filter((suffix) => existsSync(libraryPath + suffix));
  const kept = existsSync(libraryPath) || left.length > 0 ? freeName(keptName(libraryPath, word, at)) : null;
  if (kept !== null) {
    if (existsSync(libraryPath)) secondName(libraryPath, kept);
    for (const suffix of left) renameSync(libraryPath + suffix, kept + suffix);
  }
  if (backupPath === null) rmSync(libraryPath, { force: true });
  else renameSync(part, libraryPath);
  toDisk(dirname(libraryPath));
  return kept;
}

/** A second name for the same file, so that the first is never without one; a copy where a disk knows no such thing. */
function secondName(path: string, other: string): void {
  try {
    linkSync(path, other);
  } catch {
    copyFileSync(path, other);
    toDisk(other);
  }
}

function freeName(path: string): string {
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? path : path.replace(/\)(\.[^.]*)?$/u, `, ${number})$1`);
    if (!existsSync(name)) return name;
  }
}
