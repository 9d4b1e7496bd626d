import { open } from "node:fs/promises";
import { isAbsolute } from "node:path";
import type { z } from "zod";
import { anyManifestShape, manifestShape, packetGameShape, packetListShapes } from "#core/contract/packet-shapes";
import {
  type Manifest,
  manifestName,
  type Packet,
  packetFormatVersion,
  type PacketList,
  packetLists,
  type PacketPart,
  packetParts,
  partName,
} from "#core/exchange/packet";
import { packetFault } from "#core/exchange/packet-faults";
import { readOnly } from "../film/read-only.ts";
import { sha256 } from "../store/versions.ts";
import { openArchive, Unreadable } from "./archive.ts";
import { jsonLines, jsonOf } from "./json-lines.ts";
import { sha256Of } from "./packet-file.ts";
import { packetLimits, type PacketLimits } from "./packet-limits.ts";

export type ReadPacket =
  | { readonly ok: true; readonly packet: Packet; readonly packetId: string }
  | {
      readonly ok: false;
      readonly reason: "not-a-packet" | "damaged" | "newer" | "too-large";
      /** What to do. */
      readonly sentence: string;
    };

export type Reading = {
  readonly signal?: AbortSignal | undefined;
  /** Share of the packet that is read, 0 to 1. */
  readonly onProgress?: ((share: number) => void) | undefined;
  readonly limits?: PacketLimits;
};

/** Reads a packet whole, or refuses it with what to do. Throws what the file system throws, and an AbortError. */
export async function readPacket(path: string, reading: Reading = {}): Promise<ReadPacket> {
  if (!isAbsolute(path)) return refusal("not-a-packet", "Give the packet's whole path, from the root or the drive.");
  const file = await open(path, readOnly);
  try {
    const facts = await file.stat();
    if (!facts.isFile()) return refusal("not-a-packet", `${path} is no file: choose the packet itself.`);
    if (facts.size > packetLimits.fileBytes)
      return refusal(
        "too-large",
        `This file is larger than any packet (${Math.round(facts.size / 1e6)} MB): look whether it is the right one.`,
      );
    return await readPacketBytes(await file.readFile(), reading);
  } finally {
    await file.close();
  }
}

export async function readPacketBytes(
  bytes: Buffer,
  { signal, onProgress, limits = packetLimits }: Reading = {},
): Promise<ReadPacket> {
  if (bytes.length < 4 || bytes.readUInt32LE(0) !== 0x04034b50)
    return refusal("not-a-packet", "This file is no packet of Crewglass: look whether it is the right one.");
  try {
    signal?.throwIfAborted();
    const archive = await openArchive(bytes, limits);
    const manifestBytes = await archive.read(manifestName, signal);
    const any = jsonOf(manifestName, manifestBytes, anyManifestShape);
    if (any.formatVersion > packetFormatVersion)
      return refusal(
        "newer",
        `This packet was made by a newer Crewglass (packet format ${any.formatVersion}); this one reads up to ${packetFormatVersion}: update the program. Nothing was imported.`,
      );
    const manifest = jsonOf(manifestName, manifestBytes, manifestShape);
    assertListed(manifest, archive.names);
    const parts = new Map<PacketPart, unknown[]>();
    for (const [index, part] of packetParts.entries()) {
      const content = await archive.read(partName(part), signal);
      const listed = manifest.files[index];
      if (listed?.sizeBytes !== content.length || listed.sha256 !== sha256Of(content))
        throw new Unreadable(`${partName(part)} is not what the manifest says`);
      const shape: z.ZodType<unknown> = part === "game" ? packetGameShape : packetListShapes[part];
      parts.set(part, await jsonLines(partName(part), content, shape, mostOf(part, limits), signal));
      onProgress?.((index + 1) / packetParts.length);
    }
    const packet = packetOf(manifest, parts);
    const fault = packetFault(packet, sha256);
    if (fault !== null) throw new Unreadable(fault);
    return { ok: true, packet, packetId: sha256Of(bytes) };
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error;
    return refusal(
      "damaged",
      `This packet is damaged or was changed: ${error.message}. Nothing was imported: ask whoever sent it to send it again.`,
    );
  }
}

function refusal(reason: Extract<ReadPacket, { ok: false }>["reason"], sentence: string): ReadPacket {
  return { ok: false, reason, sentence };
}

/** The files are those of the format and lie in its order; a manifest can neither hide one nor name one that is not there. */
function assertListed({ files }: Manifest, names: ReadonlySet<string>): void {
  const wanted = packetParts.map(partName);
  if (files.length !== wanted.length || wanted.some((name, index) => files[index]?.name !== name))
    throw new Unreadable("the manifest lists other files than a packet has");
  const missing = wanted.find((name) => !names.has(name));
  if (missing !== undefined) throw new Unreadable(`${missing} is missing`);
}

function mostOf(part: PacketPart, { lines, lineBytes }: PacketLimits) {
  const isLong = part === "books" || part === "carries" || part === "versions";
  return { lines, lineBytes: isLong ? lineBytes[part] : lineBytes.other };
}

function packetOf(manifest: Manifest, parts: ReadonlyMap<PacketPart, unknown[]>): Packet {
  const games = parts.get("game") as Packet["game"][];
  const [game] = games;
  if (!game || games.length !== 1) throw new Unreadable("it is not of one game");
  const { format: _, formatVersion: __, files: ___, ...head } = manifest;
  // Each list was read by its own shape.
  const lists = Object.fromEntries(packetLists.map((list) => [list, parts.get(list)])) as unknown as Pick<
    Packet,
    PacketList
  >;
  return { head, game, ...lists };
}
