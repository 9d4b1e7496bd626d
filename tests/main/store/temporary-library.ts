import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import type { Library } from "../../../src-main/store/library.ts";
import type { Migration } from "../../../src-main/store/migration.ts";
import { openLibrary, type OpenLibraryResult } from "../../../src-main/store/open-library.ts";

/** A real folder, gone when the test ends. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-test-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true, maxRetries: 3 }));
  return folder;
}

let made = 0;

export async function tryLibrary(path: string, migrations?: readonly Migration[]): Promise<OpenLibraryResult> {
  const result = await openLibrary({
    path,
    clock: () => new Date("2026-09-19T18:30:00Z"),
    newId: () => `made-${(made += 1)}`,
    ...(migrations === undefined ? {} : { migrations }),
  });
  if (result.ok) onTestFinished(() => result.library.close());
  return result;
}

export async function mustOpen(path: string): Promise<Library> {
  const result = await tryLibrary(path);
  if (!result.ok) throw new Error(result.failure.sentence);
  return result.library;
}

export async function openTemporary(): Promise<Library> {
  return mustOpen(join(temporaryFolder(), "library.crewglass"));
}
