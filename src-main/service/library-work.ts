import { Failure } from "#core/contract/errors";
import { backupFolderOf } from "../backups/backup-names.ts";
import { type Backup, listBackups } from "../backups/backup-shelf.ts";
import { readBackup } from "../backups/read-backup.ts";
import type { Watching } from "../store/copy-library.ts";
import type { Library } from "../store/library.ts";
import { readingFile } from "./file-failure.ts";

/** A backup as the window is told of it. */
export const told = ({ name, madeAt, sizeBytes }: Backup) => ({ name, madeAt: madeAt.toISOString(), sizeBytes });

/** What can be asked of the backups of a library whether or not it is open. */
export function createBackupReader(libraryPath: string) {
  const named = (name: string): Backup => {
    const found = listBackups(libraryPath).find((backup) => backup.name === name);
    if (found !== undefined) return found;
    throw new Failure("NOT_FOUND", "This backup is no longer there: look at the list again.");
  };
  return {
    list: (failure: string | null) => ({
      folder: backupFolderOf(libraryPath),
      backups: listBackups(libraryPath).map(told),
      failure,
    }),
    look: (name: string, watching: Watching) => readingFile("the backup", () => readBackup(named(name).path, watching)),
    /** The path of a backup that was looked through just now and is whole. Throws NOT_FOUND, LIBRARY_FAILED. */
    whole: async (name: string, watching: Watching): Promise<string> => {
      const { path } = named(name);
      const read = await readingFile("the backup", () => readBackup(path, watching));
      if (read.ok) return path;
      throw new Failure(
        "LIBRARY_FAILED",
        `This backup was not put in the library's place: ${read.fault}. Nothing was changed: choose an earlier one.`,
      );
    },
  };
}

/** Everything that is wrong with an open library, in SQLite's words; none when it is whole. */
export async function faultsOf(library: Library, { progress, signal }: Watching): Promise<string[]> {
  const all: string[] = [];
  for await (const { done, total, faults } of library.lookThrough()) {
    signal?.throwIfAborted();
    all.push(...faults);
    progress?.(done, total);
  }
  return all;
}
