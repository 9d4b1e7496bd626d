import type { CarriedFrame } from "./carried-frame.ts";

/**
 * Carried frames as text: base64 (RFC 4648) of a header and, for each frame, its index, its eight corners, the 36
 * entries of its covariance's lower triangle row by row, the visible share and the residual, all float32 little-endian.
 * The header is the magic number, a version and the number of frames.
 */
const magic = 0x43525259;
const version = 1;
const headerFloats = 3;
const frameFloats = 1 + 8 + 36 + 2;
/** Whole numbers up to here are exact in a float32. */
const mostFrameIndex = 2 ** 24;

const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/** Corners keep a thousandth of a pixel in a picture of 4,000. Throws for an index that a float32 does not hold. */
export function packFrames(frames: readonly CarriedFrame[]): string {
  const bytes = new Uint8Array(4 * (headerFloats + frameFloats * frames.length));
  const view = new DataView(bytes.buffer);
  view.setUint32(0, magic, true);
  view.setUint32(4, version, true);
  view.setUint32(8, frames.length, true);
  let at = 4 * headerFloats;
  const put = (value: number): void => {
    view.setFloat32(at, value, true);
    at += 4;
  };
  for (const { frameIndex, corners, covariance, visibleShare, residualGrey } of frames) {
    if (!(frameIndex >= 0 && frameIndex < mostFrameIndex)) throw new RangeError(`frame ${frameIndex} cannot be packed`);
    put(frameIndex);
    for (const corner of corners) put(corner);
    for (let i = 0; i < 8; i++) for (let j = 0; j <= i; j++) put(covariance[8 * i + j]!);
    put(visibleShare);
    put(residualGrey);
  }
  return toBase64(bytes);
}

/** Null for a text that is damaged, cut short, or holds what no carry gives. */
export function unpackFrames(text: string): CarriedFrame[] | null {
  const bytes = fromBase64(text);
  if (bytes === null || bytes.length < 4 * headerFloats) return null;
  const view = new DataView(bytes.buffer);
  if (view.getUint32(0, true) !== magic || view.getUint32(4, true) !== version) return null;
  const count = view.getUint32(8, true);
  if (bytes.length !== 4 * (headerFloats + frameFloats * count)) return null;
  let at = 4 * headerFloats;
  const take = (): number => {
    at += 4;
    return view.getFloat32(at - 4, true);
  };
  const frames: CarriedFrame[] = [];
  for (let n = 0; n < count; n++) {
    const frameIndex = take();
    const corners = Array.from({ length: 8 }, take);
    const covariance: number[] = Array.from({ length: 64 }, () => 0);
    for (let i = 0; i < 8; i++) {
      for (let j = 0; j <= i; j++) {
        const entry = take();
        covariance[8 * i + j] = entry;
        covariance[8 * j + i] = entry;
      }
    }
    const frame = { frameIndex, corners, covariance, visibleShare: take(), residualGrey: take() };
    if (!isSound(frame)) return null;
    const before = frames.at(-1);
    if (before !== undefined && frameIndex !== before.frameIndex + 1) return null;
    frames.push(frame);
  }
  return frames;
}

function isSound({ frameIndex, corners, covariance, visibleShare, residualGrey }: CarriedFrame): boolean {
  if (!Number.isInteger(frameIndex) || frameIndex < 0 || frameIndex >= mostFrameIndex) return false;
  if (!corners.every(Number.isFinite) || !covariance.every(Number.isFinite)) return false;
  for (let i = 0; i < 8; i++) {
    for (let j = 0; j < i; j++) {
      // Rounded to float32, a correlation may pass one by a hair, never by more.
      const most = covariance[9 * i]! * covariance[9 * j]!;
      if (!(covariance[9 * i]! >= 0) || covariance[8 * i + j]! ** 2 > most * 1.00001) return false;
    }
  }
  return covariance[0]! >= 0 && visibleShare >= 0 && visibleShare <= 1 && residualGrey >= 0;
}

function toBase64(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let i = 0; i < bytes.length; i += 3) {
    const rest = bytes.length - i;
    const word = (bytes[i]! << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
    const letter = (shift: number): string => alphabet[(word >> shift) & 63]!;
    parts.push(letter(18), letter(12), rest > 1 ? letter(6) : "=", rest > 2 ? letter(0) : "=");
  }
  return parts.join("");
}

const values: ReadonlyMap<string, number> = new Map(Array.from(alphabet, (letter, i) => [letter, i]));

function fromBase64(text: string): Uint8Array<ArrayBuffer> | null {
  if (text.length % 4 !== 0) return null;
  const padding = text.endsWith("==") ? 2 : text.endsWith("=") ? 1 : 0;
  const letters = text.length - padding;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  let word = 0;
  let to = 0;
  for (let i = 0; i < letters; i++) {
    const value = values.get(text[i]!);
    if (value === undefined) return null;
    word = ((word << 6) | value) & 0xffffff;
    if (i % 4 === 1) bytes[to++] = (word >> 4) & 255;
    else if (i % 4 === 2) bytes[to++] = (word >> 2) & 255;
    else if (i % 4 === 3) bytes[to++] = word & 255;
  }
  return bytes;
}
