import { statSync } from "node:fs";
import { performance } from "node:perf_hooks";
import { Failure } from "#core/contract/errors";
import type { Watching } from "../store/copy-library.ts";
import type { Library } from "../store/library.ts";
import { isDiskFull, isReadOnly, systemCode } from "../store/sqlite.ts";
import { backupFolderOf } from "./backup-names.ts";
import { type Backup, listBackups, makeBackup } from "./backup-shelf.ts";

export type BackupKeeper = {
  /** Makes one now, after the one that is being made. Throws DISK_FULL, READ_ONLY, LIBRARY_FAILED, or the signal's reason. */
  readonly make: (watching?: Watching) => Promise<Backup>;
  /** Why the last try failed, as a sentence; null once one has been made. */
  readonly failure: () => string | null;
  /** Makes a last one where something was written since, unless told not to, and no more. Never rejects. */
  readonly stop: (options?: { readonly last?: boolean }) => Promise<void>;
};

export type BackupKeeperOptions = {
  readonly library: Pick<Library, "path" | "readOnly" | "copyTo" | "writes">;
  readonly clock: () => Date;
  /** Told of each that was made or failed; `ms` is how long it took. */
  readonly told: (result: { readonly made: Backup; readonly ms: number } | { readonly failed: Failure }) => void;
  readonly firstMs?: number;
  readonly everyMs?: number;
};

const oneMinuteMs = 60_000;

/**
 * Makes backups of an open library by itself: a minute after it was opened where it holds more than its last backup, and then every ten
 * minutes while it is edited. The times between are of a clock that nobody sets.
 */
export function createBackupKeeper(options: BackupKeeperOptions): BackupKeeper {
  const { library, clock, told, firstMs = oneMinuteMs, everyMs = 10 * oneMinuteMs } = options;
  let failure: string | null = null;
  let saved = isSaved(library.path) ? library.writes() : -1;
  let dueMs = performance.now() + firstMs;
  let underWay: Promise<unknown> = Promise.resolve();
  const stopping = new AbortController();

  const one = async (watching: Watching): Promise<Backup> => {
    const begunMs = performance.now();
    dueMs = begunMs + everyMs;
    const writes = library.writes();
    try {
      const made = await makeBackup(library.path, library.copyTo, clock(), watching);
      saved = writes;
      failure = null;
      told({ made, ms: performance.now() - begunMs });
      return made;
    } catch (error) {
      if (watching.signal?.aborted === true) throw error;
      const failed = failureOf(error, backupFolderOf(library.path));
      if (failed === null) throw error;
      failure = failed.message;
      told({ failed });
      throw failed;
    }
  };
  const make = (watching: Watching = {}): Promise<Backup> => {
    if (library.readOnly) {
      return Promise.reject(
        new Failure("READ_ONLY", `${library.path} can only be read, so no backup is made beside it.`, {
          path: library.path,
        }),
      );
    }
    const next = underWay.then(() => one(watching));
    underWay = next.catch(() => {});
    return next;
  };

  const look = () => {
    if (performance.now() < dueMs || library.writes() === saved) return;
    dueMs = performance.now() + everyMs;
    // A failure has been told, and is tried again in ten minutes.
    void make({ signal: stopping.signal }).catch(() => {});
  };
  const timer = library.readOnly ? null : setInterval(look, Math.min(firstMs, oneMinuteMs / 4));
  timer?.unref();

  let stopped: Promise<void> | null = null;
  const stop = async (last: boolean): Promise<void> => {
    if (timer !== null) clearInterval(timer);
    stopping.abort();
    await underWay;
    if (last && !library.readOnly && library.writes() !== saved) await make().catch(() => {});
  };
  return {
    make,
    failure: () => failure,
    stop: ({ last = true } = {}) => (stopped ??= stop(last)),
  };
}

/** Null for our own bug. */
function failureOf(error: unknown, folder: string): Failure | null {
  if (error instanceof Failure) return error;
  const code = systemCode(error);
  if (code === null) return null;
  const details = { path: folder };
  if (isDiskFull(code)) {
    return new Failure(
      "DISK_FULL",
      `No backup was made: the disk that holds ${folder} is full. Free some space; the earlier backups are kept.`,
      details,
    );
  }
  if (isReadOnly(code)) {
    return new Failure(
      "READ_ONLY",
      `No backup was made: ${folder} may not be written by you. Make it writable; the earlier backups are kept.`,
      details,
    );
  }
  return new Failure(
    "LIBRARY_FAILED",
    `No backup was made: ${folder} could not be written (${code}). Look at its disk; the earlier backups are kept.`,
    details,
  );
}

/** Whether nothing was written since the last backup, by the times of the files. */
function isSaved(libraryPath: string): boolean {
  const last = listBackups(libraryPath)[0];
  if (last === undefined) return false;
  const madeMs = statSync(last.path).mtimeMs;
  return ["", "-wal"].every((suffix) => {
    const stat = statSync(libraryPath + suffix, { throwIfNoEntry: false });
    return stat === undefined || stat.size === 0 || stat.mtimeMs <= madeMs;
  });
}
