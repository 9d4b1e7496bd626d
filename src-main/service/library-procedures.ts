import type { ClosedReason } from "#core/contract/library-shapes";
import { Failure } from "#core/contract/errors";
import type { BackupKeeper } from "../backups/backup-keeper.ts";
import type { Log } from "../log/log.ts";
import type { Library } from "../store/library.ts";
import { readDiagnostics } from "./diagnostics.ts";
import type { Implementer } from "./implementer.ts";
import { createBackupReader, told } from "./library-work.ts";
import { streamed } from "./streamed.ts";

export type Opening =
  | { readonly state: "open" }
  | {
      readonly state: "closed";
      readonly path: string;
      readonly reason: ClosedReason;
      readonly sentence: string;
      readonly canReplace: boolean;
      readonly backups: number;
      readonly appVersion: string;
    };

/** What opens the library under the service, and puts another in its place. */
export type LibraryDoor = {
  readonly opening: () => Opening;
  /** Opens a library that is closed, when that has become possible. */
  readonly tryAgain: () => Promise<Opening>;
  /**
   * Puts a backup, or a new library (null), in the library's place, keeps what lay there, and begins anew. Gives the path of what was
   * kept. What it throws has left the library as it was.
   */
  readonly replaceWith: (backupPath: string | null) => Promise<string | null>;
};

export type LibraryProceduresOptions = {
  readonly libraryPath: string;
  /** Null while none is open. */
  readonly library: Library | null;
  /** Null while no library is open. */
  readonly backups: BackupKeeper | null;
  readonly door: LibraryDoor;
  readonly version: string;
  readonly log: Log;
  /** The licences of everything in the program; null where it was not built. */
  readonly licences: () => string | null;
};

/** The part of the contract that is answered whether or not a library is open. */
export function libraryProcedures(os: Implementer, options: LibraryProceduresOptions) {
  const { libraryPath, backups, door, log } = options;
  const reader = createBackupReader(libraryPath);
  return {
    library: {
      opening: os.library.opening.handler(() => door.opening()),
      tryAgain: os.library.tryAgain.handler(() => door.tryAgain()),
      startAnew: os.library.startAnew.handler(async () => {
        if (door.opening().state === "open") {
          throw new Failure("INVALID", "The library is open: a new one is begun with --library PATH.");
        }
        return { kept: await door.replaceWith(null) };
      }),
    },
    backups: {
      list: os.backups.list.handler(() => reader.list(backups?.failure() ?? null)),
      make: os.backups.make.handler(({ signal }) =>
        streamed(async (watching) => {
          if (backups === null)
            throw new Failure("LIBRARY_FAILED", "No library is open, so there is nothing to back up.");
          return told(await backups.make(watching));
        }, signal),
      ),
      look: os.backups.look.handler(({ input: { name }, signal }) =>
        streamed((watching) => reader.look(name, watching), signal),
      ),
      restore: os.backups.restore.handler(({ input: { name }, signal }) =>
        streamed(async (watching) => {
          const path = await reader.whole(name, watching);
          watching.signal?.throwIfAborted();
          return { kept: await door.replaceWith(path) };
        }, signal),
      ),
    },
    diagnostics: {
      read: os.diagnostics.read.handler(() => readDiagnostics(options)),
      licences: os.diagnostics.licences.handler(() => ({ text: options.licences() })),
      windowFailed: os.diagnostics.windowFailed.handler(({ input: { name, message, stack } }) => {
        log.bug("window failed", Object.assign(new Error(message), { name, stack }));
      }),
    },
  };
}
