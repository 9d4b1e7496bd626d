/**
 * Every operation between the window and the service: name, request, reply, errors. The window imports the types only.
 */
import { eventIterator, oc } from "@orpc/contract";
import { z } from "zod";
import type { Book } from "../mechanics/book.ts";
import { bookShape } from "../mechanics/book-shape.ts";
import { errorCodes } from "./errors.ts";
import {
  conflictFamilies,
  conflictShape,
  listedPacketShape,
  packetLookShape,
  packetOptionsShape,
  partCountShape,
  sha256Shape,
} from "./packet-shapes.ts";
import { backupShape, closedReasons, foundShape, readBackupShape, workShape } from "./library-shapes.ts";
import { assetKeyShape, reportDocumentShape } from "./report-shapes.ts";
import { settingsShape } from "./settings.ts";
import {
  angleShape,
  carryShape,
  changeShape,
  filmShape,
  gameShape,
  gradeShape,
  idShape,
  markShape,
  momentShape,
  noteShape,
  playShape,
  rulingShape,
  sealShape,
  stakeShape,
} from "./shapes.ts";

const failureDetails = z.strictObject({
  command: z.string().optional(),
  codec: z.string().optional(),
  path: z.string().optional(),
});
type Errors = Record<(typeof errorCodes)[number], { data: typeof failureDetails }>;
const errors = Object.fromEntries(errorCodes.map((code) => [code, { data: failureDetails }])) as Errors;
const op = oc.errors(errors);

const label = z.string().trim().min(1).max(200);
/** No system has a place whose name holds NUL, and Node takes one for a mistake of the program. */
const path = z
  .string()
  .min(1)
  .max(4096)
  .refine((value) => !value.includes("\0"), "no path");

/** What can be taken back or made again next in a game, by name; null when there is nothing. */
const historyShape = z.strictObject({ undo: z.string().nullable(), redo: z.string().nullable() });
const editedShape = z.strictObject({
  sequence: z.int(),
  changes: z.array(changeShape),
  history: historyShape,
});

const filmStateShape = z.strictObject({ filmId: idShape, state: z.enum(["present", "missing", "changed"]) });

export const libraryInfoShape = z.strictObject({
  path: z.string(),
  schemaVersion: z.int(),
  appVersion: z.string(),
  readOnly: z.boolean(),
  demoGameId: idShape.nullable(),
  /** The author of the grades that are given in this library. */
  observerId: idShape,
  /** Whether the shell can show the system's own file dialog; otherwise files are browsed through the service. */
  systemDialog: z.boolean(),
});

export const gameSummaryShape = z.strictObject({
  id: idShape,
  title: z.string(),
  playedOn: z.string().nullable(),
  level: z.string(),
  homeName: z.string(),
  awayName: z.string(),
  films: z.int(),
  plays: z.int(),
  /** Plays with a moment whose stakes are enough for a survey by themselves: four points, or as much in lines. */
  surveyed: z.int(),
  /** Plays with a moment that has at least one mark. */
  marked: z.int(),
});

const newGameShape = gameShape.omit({ id: true });
const sentBookShape: z.ZodType<Book, Book> = bookShape;

/** Where a file of a book is at fault, as "stations[2].depth.yards", and why. */
const bookFaultShape = z.strictObject({ path: z.string(), message: z.string() });
const readBookShape = z.discriminatedUnion("ok", [
  z.strictObject({ ok: z.literal(true), book: sentBookShape }),
  z.strictObject({ ok: z.literal(false), fault: bookFaultShape }),
]);
const bookText = z.string().max(2_000_000);

const listedBookShape = z.strictObject({
  id: idShape,
  name: z.string(),
  edition: z.string(),
  /** Own books lie in the library and can be changed; shipped ones are copied first. */
  origin: z.enum(["shipped", "own"]),
  extends: z.string().nullable(),
  /** Why an own book cannot be used, as when the book it extends is gone; null while it is sound. */
  fault: bookFaultShape.nullable(),
});

const versionShape = z.strictObject({
  recordId: idShape,
  family: z.enum(["grade", "ruling"]),
  act: z.enum(["given", "changed", "taken back"]),
  /** The points, or the ruling in words, as they were said. */
  said: z.string(),
  reason: z.string(),
  authorId: idShape,
  at: z.string(),
});

/** Indexes into the lists that the first piece brings, the number of the play or null, and points or null. */
const seasonRowShape = z.tuple([
  z.int(),
  z.int().nullable(),
  z.int(),
  z.int(),
  z.int(),
  z.number().nullable(),
  z.int(),
]);
const seasonPieceShape = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("lists"),
    games: z.array(gameShape.pick({ id: true, title: true, playedOn: true, level: true, crew: true })),
    positions: z.array(z.string()),
    criteria: z.array(z.string()),
    scaleIds: z.array(z.string()),
    authors: z.array(z.strictObject({ id: z.string(), name: z.string() })),
    grades: z.int(),
  }),
  /** Game, play, position, criterion, scale, points, author. */
  z.strictObject({ kind: z.literal("rows"), rows: z.array(seasonRowShape) }),
]);

const auditRowShape = z.strictObject({
  game: z.string(),
  gameId: idShape,
  play: z.int().nullable(),
  position: z.string().nullable(),
  family: z.enum(["grade", "ruling"]),
  act: z.enum(["given", "changed", "taken back"]),
  said: z.string(),
  reason: z.string(),
  authorId: idShape,
  at: z.string(),
});

/** Whether the library is open; where it is not, why, and what a person can do about it. */
const openingShape = z.discriminatedUnion("state", [
  z.strictObject({ state: z.literal("open") }),
  z.strictObject({
    state: z.literal("closed"),
    path: z.string(),
    reason: z.enum(closedReasons),
    sentence: z.string(),
    /** Whether another library can be put in its place: a backup, or a new one. */
    canReplace: z.boolean(),
    backups: z.int(),
    appVersion: z.string(),
  }),
]);
const kept = z.string().nullable();
const ofBackup = z.strictObject({ name: z.string().min(1).max(300) });

const ofExport = z.strictObject({ exportId: idShape });
const exportedName = z.string().min(1).max(120);
/** A piece of a file: three million bytes at most, so that no message grows large. */
const base64 = z.base64().max(4_000_000);

export const contract = {
  library: {
    /** The one question that is answered whether or not the library opened; with `backups` and `diagnostics`. */
    opening: op.output(openingShape),
    /** Opens a library that did not open, when what kept it closed may be gone. */
    tryAgain: op.output(openingShape),
    /** Begins a new library where one cannot be opened; what lies there is kept, and its path is given. */
    startAnew: op.output(z.strictObject({ kept })),
    /** Looks the open library through, table by table. */
    check: op.output(eventIterator(workShape(z.array(z.string())))),
    info: op.output(libraryInfoShape),
    /** Looks for words in names, and in what was written to grades, rulings and one's own notes; the first so many. */
    find: op
      .input(z.strictObject({ text: z.string().max(200) }))
      .output(z.strictObject({ found: z.array(foundShape), more: z.boolean() })),
    settings: op.output(settingsShape),
    /** Keeps what is given and leaves the rest; gives all of it as it is then. */
    set: op.input(settingsShape.partial()).output(settingsShape),
  },
  backups: {
    /** The newest first. `failure` says why none could be made lately. */
    list: op.output(
      z.strictObject({ folder: z.string(), backups: z.array(backupShape), failure: z.string().nullable() }),
    ),
    make: op.output(eventIterator(workShape(backupShape))),
    /** Looks a backup through and says what it holds. */
    look: op.input(ofBackup).output(eventIterator(workShape(readBackupShape))),
    /** Puts a backup in the library's place. What lay there is kept, and its path is given; every window then begins anew. */
    restore: op.input(ofBackup).output(eventIterator(workShape(z.strictObject({ kept })))),
  },
  /** For whoever must find out what went wrong; nothing here names a person, a game or a path. */
  diagnostics: {
    read: op.output(
      z.strictObject({
        facts: z.array(z.strictObject({ of: z.string(), is: z.string() })),
        log: z.array(z.string()),
        logPath: z.string().nullable(),
      }),
    ),
    /** The licences of everything in the program; null where it was not built. */
    licences: op.output(z.strictObject({ text: z.string().nullable() })),
    /** Something failed inside the window: its kind and where, as the log keeps it. */
    windowFailed: op.input(
      z.strictObject({ name: z.string().max(80), message: z.string().max(2000), stack: z.string().max(8000) }),
    ),
  },
  games: {
    list: op.output(z.array(gameSummaryShape)),
    create: op.input(newGameShape).output(gameShape),
    remove: op.input(z.strictObject({ gameId: idShape })).output(z.strictObject({ removed: z.boolean() })),
    /** Brings the demo game back as it was first, when it has been removed; leaves it alone when it is there. */
    restoreDemo: op.output(z.strictObject({ gameId: idShape })),
    open: op.input(z.strictObject({ gameId: idShape })).output(
      z.strictObject({
        game: gameShape,
        films: z.array(filmShape),
        plays: z.array(playShape),
        angles: z.array(angleShape),
        moments: z.array(momentShape),
        stakes: z.array(stakeShape),
        carries: z.array(carryShape),
        marks: z.array(markShape),
        grades: z.array(gradeShape),
        rulings: z.array(rulingShape),
        notes: z.array(noteShape),
        seals: z.array(sealShape),
        filmStates: z.array(filmStateShape),
        sequence: z.int(),
        history: historyShape,
      }),
    ),
    commit: op
      .input(z.strictObject({ gameId: idShape, label, changes: z.array(changeShape).min(1).max(5000) }))
      .output(editedShape),
    /** Every version of every grade and ruling of a game, the oldest first. */
    versions: op.input(z.strictObject({ gameId: idShape })).output(z.array(versionShape)),
    undo: op.input(z.strictObject({ gameId: idShape })).output(editedShape),
    redo: op.input(z.strictObject({ gameId: idShape })).output(editedShape),
    /** Edits of a game as they are written, from whichever window they come; ends when the game is removed. */
    watch: op.input(z.strictObject({ gameId: idShape })).output(eventIterator(editedShape)),
  },
  films: {
    /** Looks at the file, refuses what cannot be played with the command that would help, and keeps it by reference. */
    attach: op.input(z.strictObject({ gameId: idShape, path })).output(editedShape),
    /** Says where a film that moved is now: its file, which must have the film's fingerprint, or a folder it lies in. */
    relocate: op.input(z.strictObject({ gameId: idShape, filmId: idShape, path })).output(editedShape),
    states: op.input(z.strictObject({ gameId: idShape })).output(z.array(filmStateShape)),
  },
  files: {
    /** Folders and film files (or packets) of a folder of this machine; null asks for the person's own folder. */
    browse: op
      .input(z.strictObject({ folder: path.nullable(), of: z.enum(["film", "packet"]).default("film") }))
      .output(
        z.strictObject({
          folder: z.string(),
          parent: z.string().nullable(),
          entries: z.array(
            z.strictObject({
              name: z.string(),
              path: z.string(),
              kind: z.enum(["folder", "film", "packet"]),
              sizeBytes: z.int().nullable(),
            }),
          ),
        }),
      ),
    /** Opens the system's dialog where the shell has one; null when the person closed it. */
    pickFilm: op.output(z.string().nullable()),
  },
  season: {
    /** What a season is totalled from, in pieces: the games first, then the grades. */
    data: op.output(eventIterator(seasonPieceShape)),
    /** Who said what of whom and when, every version of it, the oldest first; in pieces. */
    audit: op.output(eventIterator(z.array(auditRowShape))),
  },
  /** Files for a person to keep: each export is a new folder, there only when everything in it is whole. */
  exports: {
    begin: op.input(z.strictObject({ folder: path, name: label })).output(ofExport),
    /** A piece of a file; `isFirst` makes it. */
    append: op.input(ofExport.extend({ file: exportedName, base64, isFirst: z.boolean() })),
    /** A still or moving picture of the reports to come, piece by piece. */
    keep: op.input(ofExport.extend({ key: assetKeyShape, type: z.enum(["image/jpeg", "video/webm"]), base64 })),
    /** Lets go of the pictures kept so far. */
    forget: op.input(ofExport),
    report: op.input(
      ofExport.extend({
        file: exportedName,
        document: reportDocumentShape,
        forms: z
          .array(z.enum(["html", "pdf"]))
          .min(1)
          .max(2),
      }),
    ),
    finish: op.input(ofExport).output(z.strictObject({ folder: z.string(), files: z.array(z.string()).readonly() })),
    cancel: op.input(ofExport).output(z.strictObject({ cancelled: z.boolean() })),
    /** Opens the folder of a finished export in the system's own window of files. */
    show: op.input(ofExport),
  },
  /** Evaluations that travel from library to library, a file a game. */
  packets: {
    /** What a packet would hold, in sentences, before it leaves; nothing is written. */
    preview: op
      .input(z.strictObject({ gameId: idShape, options: packetOptionsShape }))
      .output(z.strictObject({ holds: z.array(z.string()), sizeBytes: z.int() })),
    /** Writes a packet into a new folder of the folder, through the exports: `exports.show` opens it. */
    write: op
      .input(z.strictObject({ gameId: idShape, folder: path, options: packetOptionsShape }))
      .output(ofExport.extend({ folder: z.string(), files: z.array(z.string()).readonly() })),
    /** Takes in a file that was dropped onto the window, piece by piece: the first without an id. */
    drop: op
      .input(z.strictObject({ id: idShape.nullable(), base64 }))
      .output(z.strictObject({ id: idShape, path: z.string() })),
    /** What a file holds and what importing it would do. INVALID says why it cannot be imported. */
    look: op.input(z.strictObject({ path })).output(packetLookShape),
    /** Imports all of it or nothing; its signal stops it until it begins to write. */
    import: op.input(z.strictObject({ path })).output(
      z.strictObject({
        packetId: sha256Shape,
        gameId: idShape,
        isNewGame: z.boolean(),
        counts: z.array(partCountShape),
        did: z.array(z.string()),
      }),
    ),
    /** What was imported, the last first. */
    list: op.output(z.array(listedPacketShape)),
    /** What two sides say otherwise, with both; the side that counts until a person has chosen stands first. */
    conflicts: op.output(z.array(conflictShape)),
    /** Chooses a side. It is kept as a version; the other stays among the versions. */
    settle: op
      .input(
        z.strictObject({
          gameId: idShape.nullable(),
          family: z.enum(conflictFamilies),
          subject: z.string().min(1).max(300),
          versionId: sha256Shape,
        }),
      )
      .output(z.strictObject({ conflicts: z.array(conflictShape) })),
  },
  books: {
    list: op.output(z.array(listedBookShape)),
    open: op.input(z.strictObject({ bookId: idShape })).output(sentBookShape),
    /** The text of a book's file: what is exported and edited. */
    file: op.input(z.strictObject({ bookId: idShape })).output(z.strictObject({ text: bookText })),
    /** Reads the text of a file as it is typed; nothing is kept. */
    check: op.input(z.strictObject({ text: bookText })).output(readBookShape),
    /** Keeps the text of an own book, new or in place of the one that it was made from; a faulty one is not kept. */
    save: op.input(z.strictObject({ text: bookText, replaces: idShape.nullable() })).output(readBookShape),
    /** An own book that says what another one says, whole. */
    copy: op.input(z.strictObject({ bookId: idShape })).output(z.strictObject({ bookId: idShape })),
    /** Keeps a file under its own id, or under the next free one when that is taken. */
    import: op.input(z.strictObject({ text: bookText })).output(readBookShape),
    remove: op.input(z.strictObject({ bookId: idShape })).output(z.strictObject({ removed: z.boolean() })),
  },
};

export type Contract = typeof contract;
