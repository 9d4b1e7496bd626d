import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
} from "node:fs";
import { join } from "node:path";
import { Failure } from "#core/contract/errors";
import type { CopyTo, Watching } from "../store/copy-library.ts";
import { backupFolderOf, backupName, type NamedBackup, readBackupName } from "./backup-names.ts";
import { readBackup } from "./read-backup.ts";
import { backupsToDrop } from "./thinning.ts";

export type Backup = NamedBackup & { readonly path: string; readonly sizeBytes: number };

const unfinished = ".part";

/** The backups of a library, the newest first; none when the folder is not there. */
export function listBackups(libraryPath: string): Backup[] {
  const folder = backupFolderOf(libraryPath);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .flatMap((name) => {
      const named = readBackupName(libraryPath, name);
      const path = join(folder, name);
      const stat = named === null ? undefined : statSync(path, { throwIfNoEntry: false });
      return named === null || stat?.isFile() !== true ? [] : [{ ...named, path, sizeBytes: stat.size }];
    })
    .toSorted((a, b) => b.number - a.number);
}

/**
 * Makes a backup: copied under another name, looked through by opening it, on disk, and only then given its name. The ones that are no
 * longer needed go after that, and never before. Throws LIBRARY_FAILED when the copy is not whole, which says that the library is not.
 */
export async function makeBackup(
  libraryPath: string,
  copyTo: CopyTo,
  at: Date,
  watching: Watching = {},
): Promise<Backup> {
  const folder = backupFolderOf(libraryPath);
  // What is in it is as private as the library.
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  for (const name of readdirSync(folder)) if (name.includes(unfinished)) rmSync(join(folder, name), { force: true });
  const number = (listBackups(libraryPath)[0]?.number ?? 0) + 1;
  const path = join(folder, backupName(libraryPath, number, at));
  const part = path + unfinished;
  try {
    await copyTo(part, { ...watching, progress: (done, total) => watching.progress?.(done, 2 * total) });
    const read = await readBackup(part, {
      ...watching,
      progress: (done, total) => watching.progress?.(total + done, 2 * total),
    });
    if (!read.ok) {
      throw new Failure(
        "LIBRARY_FAILED",
        `A backup was made and is not whole: ${read.fault}. The library itself may be damaged. The earlier backups are kept: look the library through on this page.`,
        { path: libraryPath },
      );
    }
    toDisk(part);
    renameSync(part, path);
    toDisk(folder);
  } catch (error) {
    for (const suffix of ["", "-journal", "-wal", "-shm"]) rmSync(part + suffix, { force: true });
    throw error;
  }
  for (const old of backupsToDrop(listBackups(libraryPath))) rmSync(join(folder, old.name), { force: true });
  return { name: backupName(libraryPath, number, at), number, madeAt: at, path, sizeBytes: statSync(path).size };
}

/** Waits until a file, or the names in a folder, are on the disk itself. */
export function toDisk(path: string): void {
  const isFolder = statSync(path).isDirectory();
  // Windows gives no handle to a folder; there the name is on disk with the file.
  if (isFolder && process.platform === "win32") return;
  const file = openSync(path, isFolder ? "r" : "r+");
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
