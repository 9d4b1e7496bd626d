import { dirname } from "node:path";
import { assertNever } from "#core/field/units";
import { isDamage, isDiskFull, isReadOnly, systemCode } from "./sqlite.ts";

export const openFailureReasons = [
  "node-too-old",
  "no-folder",
  "read-only-folder",
  "not-a-library",
  "damaged",
  "log-alone",
  "linked",
  "newer",
  "in-use",
  "disk-full",
  "failed",
] as const;
export type OpenFailureReason = (typeof openFailureReasons)[number];

/** Why a library did not open. `sentence` says what to do; the file is as it was. */
export type OpenFailure = { readonly reason: OpenFailureReason; readonly path: string; readonly sentence: string };

export type OpenFault =
  | { readonly reason: "node-too-old"; readonly sentence: string }
  | { readonly reason: "newer"; readonly schema: number; readonly readable: number }
  | { readonly reason: "in-use"; readonly holder: string | null }
  | { readonly reason: "no-folder" | "failed"; readonly code: string }
  | { readonly reason: "read-only-folder" | "not-a-library" | "damaged" | "log-alone" | "linked" | "disk-full" };

export function openFailure(path: string, fault: OpenFault): OpenFailure {
  return { reason: fault.reason, path, sentence: sentenceOf(path, fault) };
}

function sentenceOf(path: string, fault: OpenFault): string {
  const folder = dirname(path);
  switch (fault.reason) {
    case "node-too-old":
      return fault.sentence;
    case "no-folder":
      return `The folder ${folder} is not there and cannot be made (${fault.code}): make it or connect its disk, or choose another place with --library PATH.`;
    case "read-only-folder":
      return `The folder ${folder} is read-only, so no new library can be made in it: make it writable, or choose another place with --library PATH.`;
    case "not-a-library":
      return `${path} is not a Crewglass library, or its beginning is damaged, and was left as it is: choose a library, or a place for a new one, with --library PATH.`;
    case "damaged":
      return `${path} is damaged and was left as it is: put a backup in its place (the window offers those that lie beside it, and keeps the damaged file; a copy from before an upgrade may lie there too), or start a new library with --library PATH.`;
    case "log-alone":
      return `${path} is not there, but the log of its newest edits is (${path}-wal): put the file back beside it, or choose a place for a new library with --library PATH.`;
    case "linked":
      return `${path} has another name on this disk (a hard link), and its newest edits may lie in a log beside that one: open it by the name beside which a file ending in -wal lies, and where there is none take the other name away.`;
    case "newer":
      return `${path} was made by a newer Crewglass (schema ${fault.schema}); this one reads up to ${fault.readable}: update the program. The library is untouched.`;
    case "in-use":
      return `${fault.holder ?? "Another program"} has ${path} open: use the window that is already open, or close it and start again.`;
    case "disk-full":
      return `The disk that holds ${folder} is full, so the library could not be opened: free some space and start again. Nothing was lost.`;
    case "failed":
      return `${path} could not be opened (${fault.code}): look at the disk or its connection and start again, or choose another place with --library PATH.`;
    default:
      return assertNever(fault);
  }
}

/** The fault behind what SQLite or the file system threw at a file that looked like a database; null for our own bug. */
export function faultOf(error: unknown): Exclude<OpenFault, { reason: "node-too-old" | "newer" }> | null {
  const code = systemCode(error);
  if (code === null) return null;
  if (isDiskFull(code)) return { reason: "disk-full" };
  if (isDamage(code)) return { reason: "damaged" };
  if (code.startsWith("SQLITE_BUSY") || code.startsWith("SQLITE_LOCKED")) return { reason: "in-use", holder: null };
  if (isReadOnly(code) || code.startsWith("SQLITE_IOERR") || code === "SQLITE_CANTOPEN" || /^E[A-Z]+$/u.test(code)) {
    return { reason: "failed", code };
  }
  return null;
}
