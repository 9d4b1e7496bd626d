import { closeSync, openSync } from "node:fs";
import { loadSqlite, type Sqlite } from "./sqlite.ts";

export type Watching = {
  /** Told how far the work is. */
  readonly progress?: ((done: number, total: number) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
};

/** See Library.copyTo. */
export type CopyTo = (path: string, watching: Watching) => Promise<void>;

/** Some two megabytes: a step that nobody notices. */
const pagesAtOnce = 500;

/** Copies by SQLite's online backup, and leaves one file that needs no log beside it. */
export async function copyLibrary(db: Sqlite, path: string, { progress, signal }: Watching): Promise<void> {
  signal?.throwIfAborted();
  // What is in the log goes into the library first: the copy is then the younger of the two files until something is written.
  db.pragma("wal_checkpoint(TRUNCATE)");
  // As private as the library itself.
  closeSync(openSync(path, "wx", 0o600));
  await db.backup(path, {
    progress: ({ totalPages, remainingPages }) => {
      signal?.throwIfAborted();
      progress?.(totalPages - remainingPages, totalPages);
      return pagesAtOnce;
    },
  });
  const Database = await loadSqlite();
  const copy = new Database(path);
  try {
    copy.pragma("journal_mode = DELETE");
  } finally {
    copy.close();
  }
}
