import { crc32, inflateRawSync } from "node:zlib";
import { fromBufferPromise, type Entry, type ZipFile } from "yauzl";
import { manifestName, packetParts, partName } from "#core/exchange/packet";
import type { PacketLimits } from "./packet-limits.ts";

/** Thrown where a file is no packet that can be read; the message goes on “This packet is damaged: …”. */
export class Unreadable extends Error {}

const known: ReadonlySet<string> = new Set([manifestName, ...packetParts.map(partName)]);
const atOnceBytes = 256 * 1024;
const stored = 0;
const deflated = 8;

/** The entries of an archive by name, every one known and plain. Nothing is unpacked yet, and nothing is ever put at a path. */
export async function openArchive(
  bytes: Buffer,
  limits: PacketLimits,
): Promise<{
  readonly read: (name: string, signal?: AbortSignal) => Promise<Buffer>;
  readonly names: ReadonlySet<string>;
}> {
  const zip = await trying("the archive does not open", () =>
    fromBufferPromise(bytes, { lazyEntries: true, strictFileNames: true, validateEntrySizes: true }),
  );
  if (zip.entryCount > known.size) throw new Unreadable(`it holds ${zip.entryCount} files`);
  const entries = await trying("its list of files does not read", () => entriesOf(zip));
  let total = 0;
  const budget = (bytesMore: number) => {
    total += bytesMore;
    if (total > limits.totalBytes) throw new Unreadable("what it holds is larger than any packet");
  };
  return {
    names: new Set(entries.keys()),
    read: async (name, signal) => {
      const entry = entries.get(name);
      if (!entry) throw new Unreadable(`${name} is missing`);
      const most = name === manifestName ? limits.manifestBytes : limits.partBytes;
      return trying(
        `${name} does not unpack`,
        () => unpacked(zip, bytes, entry, { ...limits, partBytes: most }, budget, signal),
        signal,
      );
    },
  };
}

async function entriesOf(zip: ZipFile): Promise<Map<string, Entry>> {
  const entries = new Map<string, Entry>();
  for await (const entry of zip.eachEntry()) {
    const name = entry.fileName;
    if (!known.has(name)) throw new Unreadable(`“${shown(name)}” has no place in a packet`);
    if (entries.has(name)) throw new Unreadable(`${name} is there twice`);
    if (entry.isEncrypted()) throw new Unreadable(`${name} is locked with a password`);
    if (entry.compressionMethod !== stored && entry.compressionMethod !== deflated)
      throw new Unreadable(`${name} is packed in a way that packets are not`);
    if (!isPlainFile(entry)) throw new Unreadable(`${name} is no plain file`);
    entries.set(name, entry);
  }
  return entries;
}

/** By the upper half of the attributes where Unix made it: a link would lead out of the archive. */
function isPlainFile({ versionMadeBy, externalFileAttributes }: Entry): boolean {
  const isUnix = versionMadeBy >> 8 === 3;
  const kind = (externalFileAttributes >>> 16) & 0o170000;
  return !isUnix || kind === 0 || kind === 0o100000;
}

async function unpacked(
  zip: ZipFile,
  bytes: Buffer,
  entry: Entry,
  { partBytes: most, ratio, ratioFromBytes }: PacketLimits,
  budget: (bytesMore: number) => void,
  signal: AbortSignal | undefined,
): Promise<Buffer> {
  const { fileName: name, compressedSize, uncompressedSize } = entry;
  if (uncompressedSize > most) throw new Unreadable(`${name} is larger than it may be`);
  if (uncompressedSize > Math.max(ratioFromBytes, compressedSize * ratio))
    throw new Unreadable(`${name} unpacks to more than ${ratio} times its size`);
  budget(uncompressedSize);
  // The reader takes the name from the list at the end; other programs take it from here.
  const local = await zip.readLocalFileHeaderPromise(entry);
  if (!entry.fileNameRaw.equals(local.fileName)) throw new Unreadable(`${name} has two names`);
  const packed = bytes.subarray(local.fileDataStart, local.fileDataStart + compressedSize);
  const content = uncompressedSize <= atOnceBytes ? unpackedAtOnce(packed, entry) : await streamed(zip, entry, signal);
  if (content.length !== uncompressedSize) throw new Unreadable(`${name} is not as long as it says`);
  if (crc32(content) !== entry.crc32) throw new Unreadable(`${name} is not what it was`);
  return content;
}

/** A small file, whose stream would cost more than its bytes. It stops at the size it gives, as the other does. */
function unpackedAtOnce(packed: Buffer, { compressionMethod, uncompressedSize }: Entry): Buffer {
  if (compressionMethod === stored) return packed;
  return inflateRawSync(packed, { maxOutputLength: Math.max(1, uncompressedSize) });
}

/** A large file, piece by piece; the reader stops it at the first byte beyond the size it gives. */
async function streamed(zip: ZipFile, entry: Entry, signal: AbortSignal | undefined): Promise<Buffer> {
  const stream = await zip.openReadStreamPromise(entry);
  const pieces: Buffer[] = [];
  for await (const piece of stream as AsyncIterable<Buffer>) {
    signal?.throwIfAborted();
    pieces.push(piece);
  }
  return Buffer.concat(pieces);
}

/** What a file says of itself, short and without what would move the cursor. */
export function shown(text: string): string {
  return text.slice(0, 120).replaceAll(/[\p{Cc}\p{Cf}]/gu, "?");
}

/** What the reader of archives throws, as a fault of the file. */
async function trying<T>(what: string, run: () => Promise<T>, signal?: AbortSignal): Promise<T> {
  try {
    return await run();
  } catch (error) {
    if (error instanceof Unreadable || signal?.aborted) throw error;
    throw new Unreadable(`${what} (${error instanceof Error ? error.message : String(error)})`);
  }
}
