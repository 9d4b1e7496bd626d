/** Opens a library and the service over it, the same in both shells, and puts another library in its place when asked. */
import { randomUUID } from "node:crypto";
import { existsSync, readFileSync, statSync } from "node:fs";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { performance } from "node:perf_hooks";
import type { AnyRouter } from "@orpc/server";
import type { ClosedReason } from "#core/contract/library-shapes";
import { Failure } from "#core/contract/errors";
import { type BackupKeeper, createBackupKeeper } from "../backups/backup-keeper.ts";
import { listBackups } from "../backups/backup-shelf.ts";
import { putInPlace } from "../backups/put-in-place.ts";
import { seedDemo } from "../demo/seed-demo.ts";
import { createFilmTools } from "../film/film-tools.ts";
import { serveFilm } from "../film/serve-film.ts";
import { type Log, openLog } from "../log/log.ts";
import { reportWriters } from "../reports/report-writers.ts";
import { createClosedService } from "../service/closed-service.ts";
import { createService, type DemoGame } from "../service/create-service.ts";
import { fileFailure } from "../service/file-failure.ts";
import type { LibraryDoor, Opening } from "../service/library-procedures.ts";
import type { FilmTools } from "../service/film-tools.ts";
import type { Library } from "../store/library.ts";
import { openLibrary } from "../store/open-library.ts";
import { dataFolder } from "./data-folder.ts";
import { unpackedFolder } from "./unpacked-folder.ts";
import type { Workstation, WorkstationOptions, WorkstationOptionsOfDevelopers } from "./workstation.ts";

type State = { readonly opening: Opening; readonly router: AnyRouter } & (
  | { readonly library: Library; readonly keeper: BackupKeeper }
  | { readonly library: null; readonly keeper: null }
);

const clock = (): Date => new Date();
/** What is no library, and has no backups, is a person's own file; a library that is somebody else's for now is not to be touched. */
function mayReplace(reason: ClosedReason, backups: number): boolean {
  return reason === "gone" || reason === "damaged" || (reason === "not-a-library" && backups > 0);
}

/** `programFolder` is the folder of package.json, in which the demo's film lies too. */
export async function openWorkstation(
  programFolder: string,
  options: WorkstationOptionsOfDevelopers,
): Promise<Workstation> {
  const path = resolve(options.libraryPath.trim());
  const version = versionOf(programFolder);
  const log = openLog({
    path: join(dataFolder(), "logs", "crewglass.log"),
    clock,
    print: (line, error) => (options.printsErrorsWhole === true ? console.error(line, error) : console.error(line)),
  });
  log.note("start", {
    version,
    node: process.versions.node,
    electron: process.versions.electron ?? null,
    system: process.platform,
    arch: process.arch,
  });
  process.on("uncaughtExceptionMonitor", (error) => log.bug("ended by an error", error));
  const replaced: (() => void)[] = [];
  let state: State;

  const door: LibraryDoor = {
    opening: () => state.opening,
    tryAgain: async () => {
      if (state.library === null) await enter({ anew: false });
      return state.opening;
    },
    replaceWith: async (backupPath) => {
      const before = state;
      // A backup of what is kept whole is not needed, and would push out an older one.
      await before.keeper?.stop({ last: false });
      before.library?.close();
      try {
        const kept = putInPlace(path, backupPath, before.library === null ? "damaged" : "replaced", clock());
        log.note("replaced", { by: backupPath === null ? "new" : "backup", kept: kept !== null });
        return kept;
      } catch (error) {
        throw fileFailure(error, path) ?? error;
      } finally {
        await enter({ anew: backupPath === null });
      }
    },
  };
  const entering = { path, programFolder, version, log, door, options };
  const enter = async (how: { readonly anew: boolean }): Promise<void> => {
    const wasOpen = state.library !== null;
    state = await stateOf({ ...entering, ...how });
    // From closed to closed nothing is different for whoever asks.
    if (!wasOpen && state.library === null) return;
    for (const listener of replaced) listener();
  };
  state = await stateOf({ ...entering, anew: false });

  return {
    opening: () => state.opening,
    router: () => state.router,
    onReplaced: (listener) => void replaced.push(listener),
    serveFilm: (request) => serveFilm(request, (filmId) => state.library?.film(filmId) ?? null),
    logBug: (error) => log.bug("shell failed", error),
    close: async () => {
      await state.keeper?.stop();
      state.library?.close();
      log.note("end");
    },
  };
}

type Entering = {
  readonly path: string;
  readonly programFolder: string;
  readonly version: string;
  readonly log: Log;
  readonly door: LibraryDoor;
  readonly options: WorkstationOptions;
  /** Whether a library is to be begun although backups of an earlier one lie there. */
  readonly anew: boolean;
};

async function stateOf({ path, programFolder, version, log, door, options, anew }: Entering): Promise<State> {
  const licences = () => licencesOf(programFolder);
  const closed = (reason: ClosedReason, sentence: string): State => {
    log.note("closed", { reason });
    const backups = listBackups(path).length;
    const opening: Opening = {
      state: "closed",
      path,
      reason,
      sentence,
      canReplace: mayReplace(reason, backups),
      backups,
      appVersion: version,
    };
    return {
      opening,
      router: createClosedService({ libraryPath: path, door, version, log, licences }),
      library: null,
      keeper: null,
    };
  };

  const begunMs = performance.now();
  if (!anew && isGone(path)) {
    return closed(
      "gone",
      `${path} is gone, or empty, and backups of it are there: put one in its place, put the file back and try again, or begin a new library.`,
    );
  }
  const opened = await openLibrary({ path, clock, newId: randomUUID });
  if (!opened.ok) return closed(opened.failure.reason, opened.failure.sentence);
  const { library } = opened;
  log.note("opened", {
    schema: library.schemaVersion,
    readOnly: library.readOnly,
    new: library.isNew,
    upgraded: library.copyBeforeUpgrade !== null,
    bytes: statSync(path).size,
    ms: Math.round(performance.now() - begunMs),
  });
  const keeper = createBackupKeeper({
    library,
    clock,
    told: (result) =>
      "made" in result
        ? log.note("backup", { number: result.made.number, bytes: result.made.sizeBytes, ms: Math.round(result.ms) })
        : log.note("no backup", { code: result.failed.code }),
  });
  const filmTools = createFilmTools();
  const { pickFilm, showFolder } = options;
  const router = createService({
    library,
    filmTools,
    shell: { pickFilm, showFolder, homeFolder: homedir() },
    reportWriters: () => reportWriters(programFolder),
    demo: await demoOf(programFolder, library, filmTools, log),
    version,
    log,
    backups: keeper,
    door,
    licences,
  });
  return { opening: { state: "open" }, router, library, keeper };
}

/** Nothing lies at the path, or an empty file as a crash may leave one, and backups of what lay there do. */
function isGone(path: string): boolean {
  const stat = statSync(path, { throwIfNoEntry: false });
  return (stat === undefined || (stat.isFile() && stat.size === 0)) && listBackups(path).length > 0;
}

/** The demo's film and clicks lie beside the program; a library without them is still a library. */
async function demoOf(
  programFolder: string,
  library: Library,
  filmTools: FilmTools,
  log: Log,
): Promise<DemoGame | null> {
  const filmPath = join(unpackedFolder(programFolder), "src-main", "demo", "film.mp4");
  const clicksPath = join(programFolder, "src-main", "demo", "clicks.json");
  if (!existsSync(filmPath) || !existsSync(clicksPath)) return null;
  try {
    return await seedDemo({ library, filmTools, filmPath, clicksPath });
  } catch (error) {
    // Everything else is there.
    if (error instanceof Failure) log.note("no demo game", { code: error.code });
    else log.bug("no demo game", error);
    return null;
  }
}

/** Written by the build; the sources run by themselves have none. */
function licencesOf(programFolder: string): string | null {
  const path = join(programFolder, "out", "licences.txt");
  return existsSync(path) ? readFileSync(path, "utf8") : null;
}

function versionOf(programFolder: string): string {
  const { version } = JSON.parse(readFileSync(join(programFolder, "package.json"), "utf8")) as { version: string };
  return version;
}
