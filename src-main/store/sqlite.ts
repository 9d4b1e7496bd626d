import type BetterSqlite3 from "better-sqlite3";

export type Sqlite = BetterSqlite3.Database;
export type SqliteConstructor = new (path: string, options?: BetterSqlite3.Options) => Sqlite;

const neededNapi = 10;

/** Why this Node cannot load the library's engine, or null when it can. Loading it anyway ends the whole process. */
export function whyNotHere(versions: {
  readonly node?: string | undefined;
  readonly napi?: string | undefined;
}): string | null {
  if (Number.parseInt(versions.napi ?? "0", 10) >= neededNapi) return null;
  return `Crewglass needs Node 24 or newer and this is Node ${versions.node ?? "(unknown)"}: start it with npm start, which brings its own.`;
}

/** Loads the engine. Call only after `whyNotHere` has answered null. */
export async function loadSqlite(): Promise<SqliteConstructor> {
  const loaded = await import("better-sqlite3");
  return loaded.default;
}

/** The code of an error that SQLite or the file system raised; null for anything else. */
export function systemCode(error: unknown): string | null {
  if (!(error instanceof Error) || !("code" in error) || typeof error.code !== "string") return null;
  return error.code;
}

export function isDiskFull(code: string | null): boolean {
  return code === "SQLITE_FULL" || code === "ENOSPC" || code === "EDQUOT";
}

export function isDamage(code: string | null): boolean {
  return code !== null && (code.startsWith("SQLITE_CORRUPT") || code === "SQLITE_NOTADB");
}

export function isReadOnly(code: string | null): boolean {
  return (
    code !== null && (code.startsWith("SQLITE_READONLY") || code === "EROFS" || code === "EACCES" || code === "EPERM")
  );
}
