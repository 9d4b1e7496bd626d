import { createHash } from "node:crypto";
import { open } from "node:fs/promises";

const blockBytes = 1024 * 1024;

/**
 * Knows a film again without reading all of it: SHA-256 over its size (eight bytes, little end first) and its first,
 * middle and last mebibyte. A file of three mebibytes or less is read whole. Seven gigabytes take a few milliseconds.
 */
export async function fingerprintFilm(
  path: string,
): Promise<{ readonly fingerprint: string; readonly sizeBytes: number }> {
  const file = await open(path, "r");
  try {
    const { size } = await file.stat();
    const hash = createHash("sha256");
    const sizeField = Buffer.alloc(8);
    sizeField.writeBigUInt64LE(BigInt(size));
    hash.update(sizeField);
    const block = Buffer.alloc(blockBytes);
    const starts =
      size <= 3 * blockBytes ? wholeFile(size) : [0, Math.floor((size - blockBytes) / 2), size - blockBytes];
    for (const start of starts) {
      const { bytesRead } = await file.read(block, 0, Math.min(blockBytes, size - start), start);
      hash.update(block.subarray(0, bytesRead));
    }
    return { fingerprint: hash.digest("hex"), sizeBytes: size };
  } finally {
    await file.close();
  }
}

function wholeFile(size: number): number[] {
  return Array.from({ length: Math.ceil(size / blockBytes) }, (_, index) => index * blockBytes);
}
