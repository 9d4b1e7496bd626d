import { statfsSync, statSync } from "node:fs";
import { availableParallelism, freemem, release, totalmem } from "node:os";
import { dirname } from "node:path";
import { performance } from "node:perf_hooks";
import { listBackups } from "../backups/backup-shelf.ts";
import type { Log } from "../log/log.ts";
import type { Library } from "../store/library.ts";

export type DiagnosticsOptions = {
  readonly version: string;
  readonly libraryPath: string;
  /** Null while no library is open. */
  readonly library: Library | null;
  readonly log: Log;
};

type Fact = { readonly of: string; readonly is: string };

const logLines = 200;
const mb = (bytes: number): string => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;

/** What somebody who helps needs to know, and nothing that names a person, a game or a place. */
export function readDiagnostics({ version, libraryPath, library, log }: DiagnosticsOptions) {
  return {
    facts: [...programFacts(version), ...libraryFacts(libraryPath, library)],
    log: log.tail(logLines),
    logPath: log.path,
  };
}

function programFacts(version: string): Fact[] {
  const { electron, node } = process.versions;
  return [
    { of: "Crewglass", is: version },
    { of: "Shell", is: electron === undefined ? `browser, Node ${node}` : `Electron ${electron}, Node ${node}` },
    { of: "System", is: `${process.platform} ${release()} ${process.arch}` },
    { of: "Machine", is: `${availableParallelism()} cores, ${mb(freemem())} of ${mb(totalmem())} memory free` },
    {
      of: "Program",
      is: `${mb(process.memoryUsage().rss)} of memory, up ${Math.round(performance.now() / 60_000)} min`,
    },
  ];
}

function libraryFacts(path: string, library: Library | null): Fact[] {
  const size = (suffix: string): number => statSync(path + suffix, { throwIfNoEntry: false })?.size ?? 0;
  const backups = listBackups(path);
  const [last] = backups;
  return [
    ...(library === null
      ? [{ of: "Library", is: "not open" }]
      : [
          { of: "Library", is: `schema ${library.schemaVersion}${library.readOnly ? ", read-only" : ""}` },
          { of: "Engine", is: `SQLite ${library.engineVersion}` },
          { of: "Games", is: String(library.listGames().length) },
        ]),
    { of: "File", is: `${mb(size(""))}, log ${mb(size("-wal"))}` },
    { of: "Free on its disk", is: freeOn(dirname(path)) },
    {
      of: "Backups",
      is:
        last === undefined
          ? "none"
          : `${backups.length}, the last of ${last.madeAt.toISOString()}, ${mb(last.sizeBytes)}`,
    },
  ];
}

function freeOn(folder: string): string {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return mb(bavail * bsize);
  } catch {
    return "cannot be told";
  }
}
