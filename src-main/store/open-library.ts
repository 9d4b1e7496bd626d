import {
  accessSync,
  closeSync,
  constants,
  existsSync,
  mkdirSync,
  openSync,
  readSync,
  realpathSync,
  statSync,
} from "node:fs";
import { dirname, resolve } from "node:path";
import { readHolder, removeHolderNote, writeHolderNote } from "./holder-note.ts";
import { type Library, libraryOf } from "./library.ts";
import type { Migration } from "./migration.ts";
import { migrations as releasedMigrations } from "./migrations/list.ts";
import { mayHaveLogElsewhere } from "./other-names.ts";
import { faultOf, openFailure, type OpenFailure, type OpenFault } from "./open-failure.ts";
import { copyPrivately, type PrivateCopy } from "./private-copy.ts";
import { loadSqlite, type Sqlite, type SqliteConstructor, systemCode, whyNotHere } from "./sqlite.ts";
import { hasSchema, schemaOf } from "./schema-text.ts";
import { applicationId, newestSchema, upgrade } from "./upgrade.ts";

export type OpenLibraryOptions = {
  readonly path: string;
  readonly clock: () => Date;
  readonly newId: () => string;
  /** Tests open libraries of schemas that were never released. */
  readonly migrations?: readonly Migration[];
};

export type OpenLibraryResult =
  | { readonly ok: true; readonly library: Library }
  | { readonly ok: false; readonly failure: OpenFailure };

/** Thrown inside this file to leave the opening half way, with the fault to report. */
class Refused extends Error {
  readonly fault: OpenFault;
  constructor(fault: OpenFault) {
    super(fault.reason);
    this.fault = fault;
  }
}

const sqliteMagic = Buffer.from("SQLite format 3\0", "latin1");
const waitForOthersMs = 1000;

/**
 * Opens the library at a path, making the folder and the file when they are not there, and bringing an older schema up
 * to date after a copy. A library or folder that cannot be written opens for reading. Whatever is refused is left as it
 * was found; only our own bugs are thrown.
 */
export async function openLibrary(options: OpenLibraryOptions): Promise<OpenLibraryResult> {
  const path = resolve(options.path.trim());
  const why = whyNotHere(process.versions);
  if (why !== null) return { ok: false, failure: openFailure(path, { reason: "node-too-old", sentence: why }) };
  const Database = await loadSqlite();

  let db: Sqlite | null = null;
  let copy: PrivateCopy | null = null;
  try {
    makeFolder(dirname(path));
    // SQLite keeps its log beside the file itself, wherever a symbolic link to it lies.
    const file = existsSync(path) ? realpathSync(path) : path;
    const found = holdsAnything(file);
    const readOnly = !isWritable(dirname(file)) || (found && !isWritable(file));
    if (readOnly && !found) throw new Refused({ reason: "read-only-folder" });
    const isLinked = found && mayHaveLogElsewhere(file);
    copy = readOnly ? copyPrivately(file) : null;

    // Evaluations are private: nobody else on this machine reads a library that was made here, nor what SQLite puts beside it.
    if (!found) closeSync(openSync(path, "a", 0o600));
    db = new Database(copy?.path ?? path, { timeout: waitForOthersMs });
    takeAlone(db);
    // Known only once nobody else has it: a program that has it open may have its log beside the other name.
    if (isLinked) throw new Refused({ reason: "linked" });
    const { schema, migrations } = examine(Database, db, options.migrations ?? releasedMigrations);
    const copyBeforeUpgrade = upgrade(db, copy?.path ?? path, schema, migrations);
    if (readOnly) db.pragma("query_only = ON");
    else writeHolderNote(path, options.clock());

    const privateCopy = copy;
    const library = libraryOf({
      db,
      path,
      schemaVersion: newestSchema(migrations),
      readOnly,
      copyBeforeUpgrade: readOnly ? null : copyBeforeUpgrade,
      isNew: schema === 0,
      clock: options.clock,
      newId: options.newId,
      onClose: () => (privateCopy === null ? removeHolderNote(path) : privateCopy.remove()),
    });
    return { ok: true, library };
  } catch (error) {
    db?.close();
    copy?.remove();
    const fault = error instanceof Refused ? error.fault : faultOf(error);
    if (fault === null) throw error;
    const named = fault.reason === "in-use" ? { ...fault, holder: readHolder(path) } : fault;
    return { ok: false, failure: openFailure(path, named) };
  }
}

function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    const code = systemCode(error);
    const fault = faultOf(error);
    if (fault?.reason === "disk-full") throw error;
    throw new Refused({ reason: "no-folder", code: code ?? "unknown" });
  }
}

/** Whether there is a library to look after at a path: a database file with anything in it. */
function holdsAnything(path: string): boolean {
  if (!existsSync(path)) {
    // A new file under this name would be the end of the log.
    if (existsSync(`${path}-wal`)) throw new Refused({ reason: "log-alone" });
    return false;
  }
  const { size } = statSync(path);
  if (!statSync(path).isFile()) throw new Refused({ reason: "not-a-library" });
  if (size === 0) {
    if (existsSync(`${path}-wal`)) throw new Refused({ reason: "damaged" });
    return false;
  }
  const head = Buffer.alloc(sqliteMagic.length);
  const file = openSync(path, "r");
  try {
    readSync(file, head, 0, head.length, 0);
  } finally {
    closeSync(file);
  }
  if (!head.equals(sqliteMagic)) throw new Refused({ reason: "not-a-library" });
  return true;
}

function isWritable(path: string): boolean {
  try {
    accessSync(path, constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Takes the library for this process; throws SQLITE_BUSY when another has it. */
function takeAlone(db: Sqlite): void {
  // In this mode the lock is kept until the process ends, and the log needs no shared memory beside the file.
  db.pragma("locking_mode = EXCLUSIVE");
  db.pragma("trusted_schema = OFF");
  db.pragma("cell_size_check = ON");
  db.exec("BEGIN EXCLUSIVE; COMMIT");
}

/** Looks at a library without writing: whose it is, how old, and whether whole. */
function examine(
  Database: SqliteConstructor,
  db: Sqlite,
  migrations: readonly Migration[],
): { schema: number; migrations: readonly Migration[] } {
  const number = (name: string) => Number(db.pragma(name, { simple: true }));
  const schema = number("user_version");
  const owner = number("application_id");
  const tables = Number(db.prepare("SELECT count(*) FROM sqlite_schema").pluck().get());
  const untouched = schema === 0 && owner === 0 && tables === 0;
  if (!untouched && owner !== applicationId) throw new Refused({ reason: "not-a-library" });
  const readable = newestSchema(migrations);
  if (schema > readable) throw new Refused({ reason: "newer", schema, readable });
  if (db.pragma("quick_check(1)", { simple: true }) !== "ok") throw new Refused({ reason: "damaged" });
  if (!hasSchema(db, schemaOf(Database, schema, migrations))) throw new Refused({ reason: "damaged" });
  db.pragma("journal_mode = WAL");
  // A commit is answered only when the disk has it; with a log, NORMAL would lose the last ones with the power.
  db.pragma("synchronous = FULL");
  db.pragma("foreign_keys = ON");
  return { schema, migrations };
}
