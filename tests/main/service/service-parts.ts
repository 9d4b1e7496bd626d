/** Parts of a service whose library stays open and where it is. */
import { Failure } from "#core/contract/errors";
import { createBackupKeeper } from "../../../src-main/backups/backup-keeper.ts";
import type { Log } from "../../../src-main/log/log.ts";
import type { ServiceOptions } from "../../../src-main/service/create-service.ts";
import type { LibraryDoor } from "../../../src-main/service/library-procedures.ts";
import type { Library } from "../../../src-main/store/library.ts";

const noDoor: LibraryDoor = {
  opening: () => ({ state: "open" }),
  tryAgain: async () => ({ state: "open" }),
  replaceWith: () => Promise.reject(new Failure("NOT_HERE", "This library stays where it is.")),
};

export type Bug = { readonly message: string; readonly error: unknown };

/** `logged` is what reached the log as a bug of ours. */
export function serviceParts(library: Library): {
  readonly parts: Pick<ServiceOptions, "library" | "log" | "backups" | "door" | "demo" | "version" | "licences">;
  readonly logged: Bug[];
} {
  const logged: Bug[] = [];
  const log: Log = {
    note: () => {},
    bug: (message, error) => void logged.push({ message, error }),
    tail: () => [],
    path: null,
  };
  const clock = () => new Date("2026-09-19T18:30:00Z");
  const backups = createBackupKeeper({ library, clock, told: () => {} });
  return { parts: { library, log, backups, door: noDoor, demo: null, version: "0.1.0", licences: () => null }, logged };
}
