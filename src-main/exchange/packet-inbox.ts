import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { appendFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Failure } from "#core/contract/errors";
import { packetEnding } from "#core/exchange/packet";
import { writingFile } from "../service/file-failure.ts";

export type InboxLimits = {
  /** Larger than any packet may be: what goes on beyond it is not written down. */
  readonly fileBytes: number;
  /** What may lie here at a time, of all files together: a season of packets is a tenth of it. */
  readonly totalBytes: number;
  readonly files: number;
};
export const inboxLimits: InboxLimits = {
  fileBytes: 512 * 1024 * 1024,
  totalBytes: 1024 * 1024 * 1024,
  files: 5000,
};

/** Where files lie that were dropped onto the window, which knows what is in them and not where they are. Gone with the program. */
export function createPacketInbox(limits = inboxLimits) {
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
      if (size > limits.fileBytes) throw new Failure("INVALID", "This file is too large to be a packet.");
      const inAll = [...sizes.values()].reduce((sum, one) => sum + one, bytes.length);
      if (inAll > limits.totalBytes || (before === undefined && sizes.size >= limits.files))
        throw new Failure(
          "INVALID",
          "Too much was dropped and not taken in: take in what waits, or name the folder that the packets lie in.",
        );
      sizes.set(own, size);
      const path = join(folder, `${own}${packetEnding}`);
      await writingFile(path, () => appendFile(path, bytes));
      return { id: own, path };
    },
    /** Lets go of a file that was taken in, or is no packet. What lies elsewhere is left alone. */
    release: async (path: string): Promise<void> => {
      const own = [...sizes.keys()].find((id) => folder !== null && path === join(folder, `${id}${packetEnding}`));
      if (own === undefined) return;
      sizes.delete(own);
      await rm(path, { force: true });
    },
  };
}

function makeFolder(): string {
  const made = mkdtempSync(join(tmpdir(), "crewglass-inbox-"));
  process.once("exit", () => rmSync(made, { recursive: true, force: true }));
  return made;
}
