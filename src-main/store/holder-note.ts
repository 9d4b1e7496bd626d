import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { z } from "zod";

/**
 * A small file beside an open library that says who has it. It only gives the sentence a name: what keeps a second
 * program out is SQLite's own lock, which the system drops the moment its process ends, however it ends.
 */
const holderShape = z.strictObject({ pid: z.int().positive(), since: z.iso.datetime() });

const notePath = (libraryPath: string) => `${libraryPath}-open`;

/** Says that this process has the library. A note that cannot be written is not worth refusing the library for. */
export function writeHolderNote(libraryPath: string, since: Date): void {
  try {
    writeFileSync(notePath(libraryPath), JSON.stringify({ pid: process.pid, since: since.toISOString() }));
  } catch {
    return;
  }
}

export function removeHolderNote(libraryPath: string): void {
  try {
    rmSync(notePath(libraryPath), { force: true });
  } catch {
    return;
  }
}

/** Who has the library, as a sentence's subject; null when no living process has left a note. */
export function readHolder(libraryPath: string): string | null {
  let json: unknown;
  try {
    json = JSON.parse(readFileSync(notePath(libraryPath), "utf8"));
  } catch {
    return null;
  }
  const note = holderShape.safeParse(json);
  if (!note.success || !isAlive(note.data.pid)) return null;
  return `Another Crewglass (process ${note.data.pid}, since ${note.data.since})`;
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && "code" in error && error.code === "EPERM";
  }
}
