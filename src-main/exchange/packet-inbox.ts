import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { appendFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Failure } from "#core/contract/errors";
import { packetEnding } from "#core/exchange/packet";
import { writingFile } from "../service/file-failure.ts";

/** Larger than any packet may be: what goes on beyond it is not written down. */
const mostBytes = 512 * 1024 * 1024;

/** Where files lie that were dropped onto the window, which knows what is in them and not where they are. Gone with the program. */
export function createPacketInbox() {
  let folder: string | null = null;
  const sizes = new Map<string, number>();
  return {
    /** Takes a piece of a file, the first with no id, and gives the path that it lies at. */
    take: async (id: string | null, bytes: Uint8Array): Promise<{ id: string; path: string }> => {
      folder ??= makeFolder();
      const own = id ?? randomUUID();
      const before = sizes.get(own);
      if (id !== null && before === undefined) throw new Failure("NOT_FOUND", "This file is no longer being taken in.");
      const size = (before ?? 0) + bytes.length;
      if (size > mostBytes) throw new Failure("INVALID", "This file is too large to be a packet.");
      sizes.set(own, size);
      const path = join(folder, `${own}${packetEnding}`);
      await writingFile(path, () => appendFile(path, bytes));
      return { id: own, path };
    },
  };
}

function makeFolder(): string {
  const made = mkdtempSync(join(tmpdir(), "crewglass-inbox-"));
  process.once("exit", () => rmSync(made, { recursive: true, force: true }));
  return made;
}
