import { createHash } from "node:crypto";
import { mkdtempSync, openSync, closeSync, rmSync, truncateSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { createFilmTools } from "../../../src-main/film/film-tools.ts";
import { fingerprintFilm } from "../../../src-main/film/fingerprint.ts";

const mebibyte = 1024 * 1024;
let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-fingerprint-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function fileOf(name: string, content: Buffer): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

function noise(bytes: number): Buffer {
  let state = 99;
  const content = Buffer.alloc(bytes);
  for (let at = 0; at < bytes; at++) {
    state = (state * 1_103_515_245 + 12_345) & 0x7fffffff;
    content[at] = state >> 16;
  }
  return content;
}

function changeByte(path: string, at: number): void {
  const file = openSync(path, "r+");
  writeSync(file, Buffer.from([1, 2, 3]), 0, 1, at);
  closeSync(file);
}

describe("the fingerprint", () => {
  test("is the documented digest of size, first, middle and last mebibyte", async () => {
    const content = noise(5 * mebibyte + 333);
    const size = Buffer.alloc(8);
    size.writeBigUInt64LE(BigInt(content.length));
    const middle = Math.floor((content.length - mebibyte) / 2);
    const blocks = [
      content.subarray(0, mebibyte),
      content.subarray(middle, middle + mebibyte),
      content.subarray(content.length - mebibyte),
    ];
    const expected = createHash("sha256").update(size).update(Buffer.concat(blocks)).digest("hex");
    const path = fileOf("five.mp4", content);
    expect(await fingerprintFilm(path)).toEqual({ fingerprint: expected, sizeBytes: content.length });
  });

  test.each([0, 1, mebibyte, 2 * mebibyte + 5, 3 * mebibyte])(
    "of a file of %d bytes covers all of it",
    async (bytes) => {
      const content = noise(bytes);
      const size = Buffer.alloc(8);
      size.writeBigUInt64LE(BigInt(bytes));
      const expected = createHash("sha256").update(size).update(content).digest("hex");
      expect((await fingerprintFilm(fileOf(`small-${bytes}.mp4`, content))).fingerprint).toBe(expected);
    },
  );

  test.each([
    ["first", 17],
    ["middle", 4 * mebibyte],
    ["last", 8 * mebibyte - 1],
  ])("changes with a byte of the %s block", async (name, at) => {
    const path = fileOf(`${name}.mp4`, Buffer.alloc(8 * mebibyte));
    const before = await fingerprintFilm(path);
    changeByte(path, at);
    expect((await fingerprintFilm(path)).fingerprint).not.toBe(before.fingerprint);
  });

  test("changes with the size alone", async () => {
    const path = fileOf("zeros.mp4", Buffer.alloc(8 * mebibyte));
    const before = await fingerprintFilm(path);
    truncateSync(path, 8 * mebibyte + 1);
    expect((await fingerprintFilm(path)).fingerprint).not.toBe(before.fingerprint);
  });

  test("of seven gigabytes takes no longer than a glance", async () => {
    const path = fileOf("season.mp4", Buffer.alloc(0));
    // A sparse file: only its size is real, which is all that reading everything would stumble over.
    truncateSync(path, 7 * 1024 * mebibyte);
    const startMs = performance.now();
    expect((await fingerprintFilm(path)).sizeBytes).toBe(7_516_192_768);
    // Reading all of it would take a second and more at any disk's speed; measured: under 10 ms.
    expect(performance.now() - startMs).toBeLessThan(500);
  });
});

test("film names by their ending, whatever its case", () => {
  const { isFilmName } = createFilmTools();
  const names = ["a.MP4", "b.mov", "c.m2ts", "d.txt", "mp4", "e.mp4.part"];
  expect(names.filter((name) => isFilmName(name))).toEqual(["a.MP4", "b.mov", "c.m2ts"]);
});
