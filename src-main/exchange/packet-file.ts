import { createHash } from "node:crypto";
import { randomUUID } from "node:crypto";
import { open, rename, rm } from "node:fs/promises";
import { zipSync } from "fflate";
import { canonicalText } from "#core/exchange/canonical";
import {
  type Manifest,
  manifestName,
  type Packet,
  packetFormat,
  packetFormatVersion,
  packetParts,
  partName,
} from "#core/exchange/packet";

/** No time of its own: a packet says in its manifest when it was made. */
const noTime = new Date(1980, 0, 1);
/** Read and write for the owner, read for others, as a plain file (APPNOTE 4.4.15, Unix in the upper half). */
const plainFile = 0o10_0644 << 16;

export const sha256Of = (bytes: Uint8Array | string): string => createHash("sha256").update(bytes).digest("hex");

/**
 * The bytes of a packet: the same for the same content, on every machine. The deflate is JavaScript's own, as those of Node and
 * of Electron differ.
 */
export function packetBytes(packet: Packet): Uint8Array {
  const { head } = packet;
  const bytes = new Map(
    packetParts.map((part) => {
      const records = part === "game" ? [packet.game] : packet[part];
      return [partName(part), Buffer.from(records.map((record) => `${canonicalText(record)}\n`).join(""))] as const;
    }),
  );
  const files = [...bytes].map(([name, content]) => ({ name, sizeBytes: content.length, sha256: sha256Of(content) }));
  const manifest: Manifest = { format: packetFormat, formatVersion: packetFormatVersion, ...head, files };
  return zipped([[manifestName, Buffer.from(`${canonicalText(manifest)}\n`)], ...bytes]);
}

export function zipped(entries: readonly (readonly [name: string, content: Uint8Array])[]): Uint8Array {
  const options = { mtime: noTime, os: 3, attrs: plainFile, level: 6 } as const;
  return zipSync(Object.fromEntries(entries.map(([name, content]) => [name, [content, options]])));
}

/** Writes a packet: complete and on disk before it has its name. Throws what the file system throws. */
export async function writePacket(path: string, packet: Packet): Promise<void> {
  const bytes = packetBytes(packet);
  const part = `${path}.${randomUUID()}.part`;
  try {
    const file = await open(part, "wx");
    try {
      await file.writeFile(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(part, path);
  } catch (error) {
    await rm(part, { force: true });
    throw error;
  }
}
