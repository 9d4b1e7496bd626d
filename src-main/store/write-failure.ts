import { Failure } from "#core/contract/errors";
import { isDamage, isDiskFull, isReadOnly, systemCode } from "./sqlite.ts";

/**
 * What a person is told when SQLite refuses a read or a write; null when the error is our own bug and must be thrown
 * on. By the time this runs the transaction has been rolled back, so the library is as it was before the edit.
 */
export function failureOf(error: unknown, path: string): Failure | null {
  if (error instanceof Failure) return error;
  const code = systemCode(error);
  if (code === null || !code.startsWith("SQLITE_")) return null;
  const details = { path };
  if (isDiskFull(code)) {
    return new Failure(
      "DISK_FULL",
      `The disk that holds ${path} is full. This edit was not written and everything before it is kept: free some space and do it again.`,
      details,
    );
  }
  if (isReadOnly(code)) {
    return new Failure(
      "READ_ONLY",
      `${path} has become read-only. This edit was not written: make it writable and do it again.`,
      details,
    );
  }
  if (code === "SQLITE_CONSTRAINT_FOREIGNKEY") {
    return new Failure(
      "INVALID",
      "The edit would leave something without what it belongs to, such as a mark without its moment. Nothing was written.",
    );
  }
  if (isDamage(code)) {
    return new Failure(
      "LIBRARY_FAILED",
      `${path} is damaged and this could not be read or written. Close Crewglass, keep a copy of the file, and open an earlier copy with --library PATH.`,
      details,
    );
  }
  if (
    code.startsWith("SQLITE_CONSTRAINT") ||
    code === "SQLITE_ERROR" ||
    code === "SQLITE_MISUSE" ||
    code === "SQLITE_MISMATCH"
  )
    return null;
  return new Failure(
    "LIBRARY_FAILED",
    `The disk refused the library ${path} (${code}). This edit was not written: look at the disk or its connection, then do it again.`,
    details,
  );
}

/** Runs a read or a write, and turns what SQLite throws into a failure with a sentence. */
export function reportingFailures<T>(path: string, run: () => T): T {
  try {
    return run();
  } catch (error) {
    throw failureOf(error, path) ?? error;
  }
}
