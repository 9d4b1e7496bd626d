import type { BackupKeeper } from "../backups/backup-keeper.ts";
import { Failure } from "#core/contract/errors";
import { emptyGame } from "#core/game/records";
import type { Edited } from "../store/history.ts";
import { createExportDesk, type ReportWriters } from "../reports/export-desk.ts";
import type { Library } from "../store/library.ts";
import { createBooks } from "./books.ts";
import { browseFolder } from "./browse-folder.ts";
import { createEditHub } from "./edit-hub.ts";
import type { Log } from "../log/log.ts";
import { createImplementer } from "./implementer.ts";
import { type LibraryDoor, libraryProcedures } from "./library-procedures.ts";
import { findInLibrary } from "./find.ts";
import { faultsOf } from "./library-work.ts";
import { readingFile } from "./file-failure.ts";
import type { FilmTools } from "./film-tools.ts";
import { createFilms } from "./films.ts";
import { createSeason } from "./season.ts";
import { isPacketName } from "#core/exchange/packet";
import { createPacketInbox } from "../exchange/packet-inbox.ts";
import { createPackets } from "./packets.ts";
import { createSettings } from "./settings.ts";
import { streamed } from "./streamed.ts";

/** The game that comes with the program. */
export type DemoGame = {
  /** Its id, or null when the person has removed it. */
  readonly gameId: () => string | null;
  /** Brings it back when it is not there. */
  readonly restore: () => Promise<string>;
};

export type ServiceOptions = {
  readonly library: Library;
  readonly filmTools: FilmTools;
  /** The system's file dialog, null in a shell that has none; gives null when the person closed it. */
  readonly shell: {
    readonly pickFilm: (() => Promise<string | null>) | null;
    readonly homeFolder: string;
    /** Opens a folder in the system's own window of files; null in a shell that cannot. */
    readonly showFolder: ((path: string) => Promise<void>) | null;
  };
  /** Loaded when a report is first written: they are large. */
  readonly reportWriters: () => Promise<ReportWriters>;
  /** Null in a program that was built without the demo film. */
  readonly demo: DemoGame | null;
  readonly version: string;
  readonly log: Log;
  readonly backups: BackupKeeper;
  readonly door: LibraryDoor;
  /** See LibraryProceduresOptions. */
  readonly licences: () => string | null;
};

/** The contract, implemented once for every shell. */
export function createService(options: ServiceOptions) {
  const { library, filmTools, shell, demo, version, log, reportWriters } = options;
  const os = createImplementer(log);
  const ofLibrary = libraryProcedures(os, { ...options, libraryPath: library.path });
  const hub = createEditHub();
  const films = createFilms(library, filmTools);
  const books = createBooks(library.books);
  const settings = createSettings(library);
  const season = createSeason(library, () => settings.get().observerName || "You");
  const exports = createExportDesk({ newId: library.newId, clock: () => new Date(), writers: reportWriters });
  const inbox = createPacketInbox();
  const packets = createPackets({ library, books, settings, exports, version, publish: hub.publish });
  const written = (gameId: string, edited: Edited) => {
    hub.publish(gameId, edited);
    return edited;
  };

  return os.router({
    backups: ofLibrary.backups,
    diagnostics: ofLibrary.diagnostics,
    library: {
      ...ofLibrary.library,
      check: os.library.check.handler(({ signal }) => streamed((watching) => faultsOf(library, watching), signal)),
      info: os.library.info.handler(() => ({
        path: library.path,
        schemaVersion: library.schemaVersion,
        appVersion: version,
        readOnly: library.readOnly,
        demoGameId: demo?.gameId() ?? null,
        observerId: library.note("observer-id") ?? "",
        systemDialog: shell.pickFilm !== null,
      })),
      find: os.library.find.handler(({ input: { text }, signal }) => findInLibrary(library, text, signal)),
      settings: os.library.settings.handler(() => settings.get()),
      set: os.library.set.handler(({ input }) => settings.set(input)),
    },
    games: {
      list: os.games.list.handler(() => library.listGames()),
      create: os.games.create.handler(({ input }) => {
        const game = { ...input, id: library.newId() };
        library.addGame({ ...emptyGame, game });
        return game;
      }),
      remove: os.games.remove.handler(({ input: { gameId } }) => {
        const removed = library.removeGame(gameId);
        hub.end(gameId);
        return { removed };
      }),
      restoreDemo: os.games.restoreDemo.handler(async () => {
        if (demo === null)
          throw new Failure(
            "NOT_HERE",
            "This copy of Crewglass comes without the demo film, so there is no demo game to bring back.",
          );
        return { gameId: await demo.restore() };
      }),
      open: os.games.open.handler(async ({ input: { gameId } }) => {
        const states = await films.states(library.filmsOf(gameId));
        // Read after the wait: what the window holds must be one moment of the library.
        const opened = library.openGame(gameId);
        return {
          ...opened,
          films: [...opened.films],
          plays: [...opened.plays],
          angles: [...opened.angles],
          moments: [...opened.moments],
          stakes: [...opened.stakes],
          carries: [...opened.carries],
          marks: [...opened.marks],
          grades: [...opened.grades],
          rulings: [...opened.rulings],
          notes: [...opened.notes],
          seals: [...opened.seals],
          filmStates: states,
        };
      }),
      commit: os.games.commit.handler(({ input: { gameId, label, changes } }) =>
        written(gameId, library.commit(gameId, label, changes)),
      ),
      versions: os.games.versions.handler(({ input: { gameId } }) => library.versions(gameId)),
      undo: os.games.undo.handler(({ input: { gameId } }) => written(gameId, library.undo(gameId))),
      redo: os.games.redo.handler(({ input: { gameId } }) => written(gameId, library.redo(gameId))),
      watch: os.games.watch.handler(({ input: { gameId }, signal }) => {
        // Whether it is there: the window has just read the game itself.
        library.openCrew(gameId);
        return hub.watch(gameId, signal);
      }),
    },
    films: {
      attach: os.films.attach.handler(async ({ input: { gameId, path } }) =>
        written(gameId, await films.attach(gameId, path)),
      ),
      relocate: os.films.relocate.handler(async ({ input: { gameId, filmId, path } }) =>
        written(gameId, await films.relocate(gameId, filmId, path)),
      ),
      states: os.films.states.handler(({ input: { gameId } }) => films.states(library.filmsOf(gameId))),
    },
    files: {
      browse: os.files.browse.handler(({ input: { folder, of } }) =>
        browseFolder(folder ?? shell.homeFolder, of, of === "film" ? filmTools.isFilmName : isPacketName),
      ),
      pickFilm: os.files.pickFilm.handler(async () => {
        if (shell.pickFilm === null)
          throw new Failure("NOT_HERE", "There is no system dialog here: pick the film from the list of folders.");
        return readingFile("the chosen film", shell.pickFilm);
      }),
    },
    season: {
      data: os.season.data.handler(({ signal }) => season.data(signal)),
      audit: os.season.audit.handler(({ signal }) => season.audit(signal)),
    },
    exports: {
      begin: os.exports.begin.handler(({ input: { folder, name } }) => exports.begin(folder, name)),
      append: os.exports.append.handler(({ input: { exportId, file, base64, isFirst } }) =>
        exports.append(exportId, file, Buffer.from(base64, "base64"), isFirst),
      ),
      keep: os.exports.keep.handler(({ input: { exportId, key, type, base64 } }) =>
        exports.keep(exportId, key, { type, bytes: Buffer.from(base64, "base64") }),
      ),
      forget: os.exports.forget.handler(({ input: { exportId } }) => exports.forget(exportId)),
      report: os.exports.report.handler(({ input: { exportId, file, document, forms }, signal }) =>
        exports.report(exportId, file, document, forms, signal),
      ),
      finish: os.exports.finish.handler(({ input: { exportId } }) => exports.finish(exportId)),
      cancel: os.exports.cancel.handler(({ input: { exportId } }) => ({ cancelled: exports.cancel(exportId) })),
      show: os.exports.show.handler(async ({ input: { exportId } }) => {
        const { folder } = exports.written(exportId);
        if (shell.showFolder === null)
          throw new Failure("NOT_HERE", `The folder cannot be opened from here. It lies at ${folder}.`, {
            path: folder,
          });
        await shell.showFolder(folder);
      }),
    },
    packets: {
      drop: os.packets.drop.handler(({ input: { id, base64 } }) => inbox.take(id, Buffer.from(base64, "base64"))),
      preview: os.packets.preview.handler(({ input }) => packets.preview(input.gameId, input.options)),
      write: os.packets.write.handler(({ input }) => packets.write(input.gameId, input.folder, input.options)),
      look: os.packets.look.handler(async ({ input: { path }, signal }) => {
        try {
          return await packets.look(path, signal);
        } catch (error) {
          if (error instanceof Failure && error.code === "INVALID") await inbox.release(path);
          throw error;
        }
      }),
      import: os.packets.import.handler(async ({ input: { path }, signal }) => {
        const imported = await packets.import(path, signal);
        await inbox.release(path);
        return imported;
      }),
      list: os.packets.list.handler(() => library.packets.list()),
      conflicts: os.packets.conflicts.handler(() => library.packets.conflicts()),
      settle: os.packets.settle.handler(({ input }) => ({ conflicts: packets.settle(input) })),
    },
    books: {
      list: os.books.list.handler(() => books.list()),
      open: os.books.open.handler(({ input: { bookId } }) => books.open(bookId)),
      file: os.books.file.handler(({ input: { bookId } }) => ({ text: books.file(bookId) })),
      check: os.books.check.handler(({ input: { text } }) => books.check(text)),
      save: os.books.save.handler(({ input: { text, replaces } }) => books.save(text, replaces)),
      copy: os.books.copy.handler(({ input: { bookId } }) => ({ bookId: books.copy(bookId) })),
      import: os.books.import.handler(({ input: { text } }) => books.import(text)),
      remove: os.books.remove.handler(({ input: { bookId } }) => ({ removed: books.remove(bookId) })),
    },
  });
}

export type Service = ReturnType<typeof createService>;
