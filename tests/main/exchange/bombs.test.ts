/**
 * Archives made to unpack to more than anybody has room for: OWASP ASVS 5.0, 5.2.3; D. Fifield, "A better zip bomb", USENIX WOOT
 * 2019 (https://www.bamsoftware.com/hacks/zipbomb/), whose overlapping files are built here by its own account. Each is refused,
 * and what memory that took is measured.
 */
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { crc32, deflateRawSync } from "node:zlib";
import { unzipSync, zipSync } from "fflate";
import { expect, test } from "vitest";
import { packetBytes } from "../../../src-main/exchange/packet-file.ts";
import { aPacket } from "../../core/exchange/build-packet.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { repacked } from "./repack.ts";

const mib = 1024 * 1024;
const sound = Buffer.from(packetBytes(aPacket()));
const names = Object.keys(unzipSync(sound));

type Reading = { readonly ok: boolean; readonly sentence: string; readonly tookMs: number; readonly moreMib: number };

/** Read in a process of its own, whose memory at its highest says what the reading took. */
function refused(title: string, bytes: Buffer, wouldBeMib: number): string {
  const path = join(temporaryFolder(), "bomb.crewpacket");
  writeFileSync(path, bytes);
  const program = join(import.meta.dirname, "read-and-measure.ts");
  const { stdout, stderr } = spawnSync(process.execPath, [program, path], { encoding: "utf8" });
  expect(stderr).toBe("");
  const { ok, sentence, tookMs, moreMib } = JSON.parse(stdout) as Reading;
  console.log(
    `${title}: ${(bytes.length / mib).toFixed(2)} MiB that would be ${wouldBeMib.toFixed(0)}, refused in ${tookMs.toFixed(0)} ms with ${moreMib.toFixed(0)} MiB more`,
  );
  expect(ok).toBe(false);
  // The limit of one file inside is 128 MiB; a bomb gets nowhere near.
  expect(moreMib).toBeLessThan(64);
  expect(tookMs).toBeLessThan(5000);
  return sentence;
}

type File = {
  readonly name: string;
  readonly crc: number;
  readonly packed: Buffer;
  readonly size: number;
  readonly at: number;
};

/** APPNOTE 4.3.7: what stands before the bytes of a file. */
function localHeader({ name, crc, packed, size }: Omit<File, "at">, packedLength = packed.length): Buffer {
  const header = Buffer.alloc(30);
  header.writeUInt32LE(0x0403_4b50, 0);
  header.writeUInt16LE(20, 4);
  header.writeUInt16LE(8, 8);
  header.writeUInt32LE(crc, 14);
  header.writeUInt32LE(packedLength, 18);
  header.writeUInt32LE(size, 22);
  header.writeUInt16LE(name.length, 26);
  return Buffer.concat([header, Buffer.from(name)]);
}

/** APPNOTE 4.3.12 and 4.3.16: the list at the end. */
function listOf(files: readonly (Omit<File, "packed"> & { readonly packedLength: number })[], at: number): Buffer {
  const entries = files.map(({ name, crc, size, packedLength, at: offset }) => {
    const entry = Buffer.alloc(46);
    entry.writeUInt32LE(0x0201_4b50, 0);
    entry.writeUInt16LE(20, 4);
    entry.writeUInt16LE(20, 6);
    entry.writeUInt16LE(8, 10);
    entry.writeUInt32LE(crc, 16);
    entry.writeUInt32LE(packedLength, 20);
    entry.writeUInt32LE(size, 24);
    entry.writeUInt16LE(name.length, 28);
    entry.writeUInt32LE(offset, 42);
    return Buffer.concat([entry, Buffer.from(name)]);
  });
  const list = Buffer.concat(entries);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x0605_4b50, 0);
  end.writeUInt16LE(files.length, 8);
  end.writeUInt16LE(files.length, 10);
  end.writeUInt32LE(list.length, 12);
  end.writeUInt32LE(at, 16);
  return Buffer.concat([list, end]);
}

/** One kernel of zeros that every file but the manifest unpacks, each from a header of its own that the one before quotes. */
function overlapping(kernelBytes: number): Buffer {
  const manifest = Buffer.from(unzipSync(sound)["manifest.json"]!);
  const head = { name: "manifest.json", crc: crc32(manifest), packed: deflateRawSync(manifest), size: manifest.length };
  const start = Buffer.concat([localHeader(head), head.packed]);
  const kernel = {
    packed: deflateRawSync(Buffer.alloc(kernelBytes), { level: 9 }),
    content: Buffer.alloc(kernelBytes),
  };
  let { packed, content } = kernel;
  const quoted: { name: string; crc: number; size: number; packedLength: number; header: Buffer }[] = [];
  for (const name of names.filter((one) => one !== "manifest.json").toReversed()) {
    const one = { name, crc: crc32(content), packed, size: content.length };
    const header = localHeader(one);
    quoted.unshift({ name, crc: one.crc, size: one.size, packedLength: packed.length, header });
    // A stored block that is not the last (RFC 1951, 3.2.4) holds the header; the file before goes on into this one.
    const block = Buffer.alloc(5);
    block.writeUInt16LE(header.length, 1);
    block.writeUInt16LE(~header.length & 0xffff, 3);
    packed = Buffer.concat([block, header, packed]);
    content = Buffer.concat([header, content]);
  }
  let at = start.length;
  const listed = quoted.map((one) => {
    const file = { ...one, at };
    at += one.header.length + 5;
    return file;
  });
  // The first file's bytes are all that follow its header; the list comes after them.
  const [first] = quoted;
  const body = Buffer.concat([first!.header, packed.subarray(5 + first!.header.length)]);
  const { packed: _, ...own } = head;
  const all = [{ ...own, packedLength: head.packed.length, at: 0 }, ...listed];
  return Buffer.concat([start, body, listOf(all, start.length + body.length)]);
}

test("overlapping files, of which each unpacks what the others do", () => {
  const small = overlapping(4000);
  // It is what it says: an independent reader unpacks each of them.
  const unpacked = unzipSync(small);
  expect(Object.keys(unpacked)).toHaveLength(names.length);
  expect(Object.values(unpacked).reduce((sum, one) => sum + one.length, 0)).toBeGreaterThan(50_000);
  expect(refused("overlapping, small", small, 0.1)).toMatch(/not what the manifest says/u);
  const large = overlapping(20 * mib);
  expect(large.length).toBeLessThan(mib);
  expect(refused("overlapping, 14 files of 20 MiB", large, 280)).toMatch(/times its size/u);
});

test("one file under all names", () => {
  const packed = deflateRawSync(Buffer.alloc(50 * mib), { level: 9 });
  const file = { name: "game.jsonl", crc: crc32(Buffer.alloc(50 * mib)), packed, size: 50 * mib };
  const start = Buffer.concat([localHeader(file), packed]);
  const all = names.map((name) => ({ ...file, name, packedLength: packed.length, at: 0 }));
  const bytes = Buffer.concat([start, listOf(all, start.length)]);
  expect(refused("one file under all names", bytes, 50 * names.length)).toMatch(/larger than it may be|two names/u);
});

test("a high ratio, told and untold", () => {
  const bomb = repacked(sound, (parts) => parts.set("marks.jsonl", "\0".repeat(40 * mib)));
  expect(refused("40 MiB of nothing", bomb, 40)).toMatch(/times its size/u);
  const lying = Buffer.from(bomb);
  const at = lying.lastIndexOf("marks.jsonl") - 46;
  lying.writeUInt32LE(900_000, at + 24);
  expect(refused("40 MiB that say 0.9", lying, 40)).toMatch(/does not unpack/u);
  lying.writeUInt32LE(0, at + 24);
  expect(refused("40 MiB that say nothing", lying, 40)).toMatch(/^This packet is damaged/u);
});

test("archives in archives are bytes, and never opened", () => {
  let inner = zipSync({ "grades.jsonl": new Uint8Array(10 * mib) });
  for (let depth = 0; depth < 5; depth++)
    inner = zipSync(Object.fromEntries(Array.from({ length: 10 }, (_, index) => [`${index}.zip`, inner])));
  expect(refused("ten to the fifth of archives", Buffer.from(inner), 1e6)).toMatch(/has no place in a packet|files/u);
  const entries = { ...unzipSync(sound), "grades.jsonl": inner };
  expect(refused("an archive for a file", Buffer.from(zipSync(entries)), 1e6)).toMatch(
    /not what the manifest says|times its size/u,
  );
});

test("more files than anybody counts", () => {
  const many = Array.from({ length: 65_000 }, (_, index) => ({
    name: `${index}`,
    crc: 0,
    size: 0,
    packedLength: 0,
    at: 0,
  }));
  expect(refused("65,000 files", listAlone(many), 1)).toMatch(/holds 65000 files/u);
  const lying = listAlone(many.slice(0, 20_000));
  lying.writeUInt16LE(3, lying.length - 22 + 8);
  lying.writeUInt16LE(3, lying.length - 22 + 10);
  expect(refused("20,000 files that say 3", lying, 1)).toMatch(/^This packet is damaged/u);
});

/** A list alone, behind what makes it look like an archive. */
function listAlone(files: Parameters<typeof listOf>[0]): Buffer {
  const start = Buffer.from("PK\u0003\u0004", "latin1");
  return Buffer.concat([start, listOf(files, start.length)]);
}
