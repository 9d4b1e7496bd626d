import { statSync } from "node:fs";
import { Failure } from "#core/contract/errors";
import type { SaidVersion } from "#core/exchange/said-versions";
import type { Change } from "#core/game/changes";
import type { Film, Game, GameRecords } from "#core/game/records";
import { type BookShelf, openBookShelf } from "./book-shelf.ts";
import { type Finder, openFinder } from "./find-in-library.ts";
import { type GameSummary, openGames } from "./games.ts";
import { type Edited, type HistoryState, openHistory } from "./history.ts";
import { openLibraryNotes } from "./library-notes.ts";
import { type LookedAt, lookThrough } from "./look-through.ts";
import { openPacketShelf, type PacketShelf } from "./packet-shelf.ts";
import { openVersions, type Version } from "./versions.ts";
import type { Sqlite } from "./sqlite.ts";
import { openSeasonRows, type SeasonRows } from "./season-rows.ts";
import { copyLibrary, type CopyTo } from "./copy-library.ts";
import { openTables } from "./tables.ts";
import { reportingFailures } from "./write-failure.ts";

export type OpenedGame = GameRecords & { readonly sequence: number; readonly history: HistoryState };

/**
 * An open library. What a call that writes has returned from is on disk. Every call throws a Failure for what a person
 * can meet (each names its codes beyond LIBRARY_FAILED; writes add READ_ONLY and DISK_FULL), with nothing written.
 */
export type Library = {
  readonly path: string;
  readonly schemaVersion: number;
  /** Of SQLite. */
  readonly engineVersion: string;
  readonly readOnly: boolean;
  /** The copy that was made before an upgrade, or null when there was none to make. */
  readonly copyBeforeUpgrade: string | null;
  /** Whether this call of openLibrary made the library. */
  readonly isNew: boolean;
  readonly newId: () => string;
  readonly listGames: () => GameSummary[];
  /** NOT_FOUND. */
  readonly openGame: (gameId: string) => OpenedGame;
  /** The game's own record, without what it owns. NOT_FOUND. */
  readonly openCrew: (gameId: string) => Game;
  /** What SQLite finds wrong with the file, in its own words; none when it is whole. */
  readonly faults: () => string[];
  /** The same, a table at a time, so that the window goes on meanwhile. */
  readonly lookThrough: () => AsyncGenerator<LookedAt, void>;
  /**
   * Copies the library as it is to a file that is not there, while it is in use; what is edited meanwhile is in the copy. Progress is in
   * pages. Rejects with the signal's reason, or with what SQLite throws; a part of the file may then be left.
   */
  readonly copyTo: CopyTo;
  /** Grows with everything that is written through this handle. */
  readonly writes: () => number;
  /** The grades of all games, for a season. */
  readonly season: SeasonRows;
  /** Texts of the library that have the words, a piece at a time. */
  readonly find: Finder;
  /** What an observer calls themselves, where a packet said so; their id otherwise. */
  readonly observerName: (authorId: string) => string;
  /** Adds a whole game; what it starts with cannot be undone. */
  readonly addGame: (records: GameRecords) => void;
  readonly removeGame: (gameId: string) => boolean;
  readonly film: (filmId: string) => Film | null;
  /** NOT_FOUND. */
  readonly filmsOf: (gameId: string) => readonly Film[];
  /** NOT_FOUND, STALE, INVALID. See History. */
  readonly commit: (gameId: string, label: string, changes: readonly Change[]) => Edited;
  readonly undo: (gameId: string) => Edited;
  readonly redo: (gameId: string) => Edited;
  /** The person's own mechanics books. */
  readonly books: BookShelf;
  /** Every version of the grades and rulings of a game, the oldest first. */
  readonly versions: (gameId: string) => Version[];
  /** The same whole, with ids, and those that each follows. */
  readonly saidVersions: (gameId: string) => SaidVersion[];
  /** What came from other libraries. */
  readonly packets: PacketShelf;
  readonly note: (name: string) => string | null;
  readonly setNote: (name: string, value: string) => void;
  readonly close: () => void;
};

export type LibraryParts = {
  readonly db: Sqlite;
  /** Where the person's library lies, which is not the opened file when that is a private copy. */
  readonly path: string;
  readonly schemaVersion: number;
  readonly readOnly: boolean;
  readonly copyBeforeUpgrade: string | null;
  readonly isNew: boolean;
  readonly clock: () => Date;
  readonly newId: () => string;
  readonly onClose: () => void;
};

export function libraryOf(parts: LibraryParts): Library {
  const { db, path, readOnly } = parts;
  const tables = openTables(db);
  const history = openHistory(db, tables, parts.clock);
  const games = openGames(db, tables, history);
  const notes = openLibraryNotes(db);
  const season = openSeasonRows(db);
  const find = openFinder(db);
  const shelf = openBookShelf(db);
  const versions = openVersions(db);
  const packets = openPacketShelf({ db, tables, games, history, versions, shelf, notes, clock: parts.clock });
  const selectWrites = db.prepare<[], number>("SELECT total_changes()").pluck();
  const born = readOnly ? null : fileIdentity(path);

  const assertWritable = () => {
    if (readOnly) {
      throw new Failure(
        "READ_ONLY",
        `${path} is read-only and is open for reading: make it writable and start again to edit.`,
        { path },
      );
    }
    // SQLite would go on writing into a file that has lost its name, and the edit would be gone at the next start.
    if (fileIdentity(path) !== born) {
      throw new Failure(
        "LIBRARY_FAILED",
        `${path} was moved, removed or replaced while it was open. This edit was not written: put the file back where it was and do it again.`,
        { path },
      );
    }
  };
  const mustHave = (gameId: string): Game => {
    const game = tables.game.get(gameId);
    if (game !== null) return game;
    throw new Failure("NOT_FOUND", "This game is no longer in the library.");
  };
  const reading = <T>(run: () => T): T => reportingFailures(path, run);
  const writing = <T>(run: () => T): T =>
    reportingFailures(path, () => {
      assertWritable();
      return run();
    });

  return {
    path,
    schemaVersion: parts.schemaVersion,
    engineVersion: db.prepare<[], string>("SELECT sqlite_version()").pluck().get() ?? "",
    readOnly,
    copyBeforeUpgrade: parts.copyBeforeUpgrade,
    isNew: parts.isNew,
    newId: parts.newId,
    listGames: () => reading(games.list),
    openGame: (gameId) => reading(() => ({ ...games.open(gameId), ...history.at(gameId) })),
    openCrew: (gameId) => reading(() => mustHave(gameId)),
    filmsOf: (gameId) =>
      reading(() => {
        mustHave(gameId);
        return tables.film.ofGame(gameId);
      }),
    faults: () =>
      reading(() => {
        const found = db.pragma("integrity_check(20)") as { integrity_check: string }[];
        const owners = db.pragma("foreign_key_check") as { table: string }[];
        return [
          ...found.map((row) => row.integrity_check).filter((line) => line !== "ok"),
          ...owners.slice(0, 20).map(({ table }) => `a row of ${table} has lost its owner`),
        ];
      }),
    lookThrough: () => lookThrough(db),
    copyTo: (to, watching) => copyLibrary(db, to, watching),
    writes: () => Number(selectWrites.get()),
    season: {
      count: () => reading(season.count),
      grades: (piece) => season.grades(piece),
      said: (piece) => season.said(piece),
    },
    find: (wanted) => eachReported(find(wanted), reading),
    observerName: (authorId) => {
      const named = reading(packets.list).find((one) => one.observerId === authorId && (one.observerName ?? "") !== "");
      return named?.observerName ?? `Observer ${authorId.slice(0, 8)}`;
    },
    addGame: (records) => writing(() => games.add(records)),
    removeGame: (gameId) => writing(() => games.remove(gameId)),
    film: (filmId) => reading(() => tables.film.get(filmId)),
    commit: (gameId, label, changes) => writing(() => history.commit(gameId, label, changes)),
    undo: (gameId) => writing(() => history.undo(gameId)),
    redo: (gameId) => writing(() => history.redo(gameId)),
    books: {
      list: () => reading(shelf.list),
      get: (id) => reading(() => shelf.get(id)),
      put: (id, file) => writing(() => shelf.put(id, file)),
      remove: (id) => writing(() => shelf.remove(id)),
      gamesWith: (id) => reading(() => shelf.gamesWith(id)),
    },
    versions: (gameId) => reading(() => versions.ofGame(gameId)),
    saidVersions: (gameId) => reading(() => versions.whole(gameId)),
    packets: {
      plan: (packet, around) => reading(() => packets.plan(packet, around)),
      take: (packet, packetId, around) => writing(() => packets.take(packet, packetId, around)),
      list: () => reading(packets.list),
      conflicts: () => reading(packets.conflicts),
      settle: (choice, authorId) => writing(() => packets.settle(choice, authorId)),
    },
    note: (name) => reading(() => notes.get(name)),
    setNote: (name, value) => writing(() => notes.set(name, value)),
    close: () => {
      if (!db.open) return;
      db.close();
      parts.onClose();
    },
  };
}

/** What goes wrong while a piece is read is a Failure too. */
function* eachReported<T>(pieces: Iterable<T>, reading: <R>(run: () => R) => R): Iterable<T> {
  const iterator = pieces[Symbol.iterator]();
  for (;;) {
    const next = reading(() => iterator.next());
    if (next.done === true) return;
    yield next.value;
  }
}

function fileIdentity(path: string): string | null {
  try {
    const { dev, ino } = statSync(path, { bigint: true });
    return `${dev}/${ino}`;
  } catch {
    return null;
  }
}
