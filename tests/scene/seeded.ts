/** Repeatable randomness for the scene: the same seed draws the same film and the same clicks. */

export type Draw = () => number;

/** Mulberry32: uniform numbers in [0, 1) from a 32-bit seed. */
export function seededDraw(seed: number): Draw {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal from two uniforms (Box and Muller). */
export function gaussian(draw: Draw): number {
  return Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
}

export function between(draw: Draw, low: number, high: number): number {
  return low + (high - low) * draw();
}

/** A seed from a few words, so that each person or play owns a stream of its own (FNV-1a). */
export function seedOf(...words: (string | number)[]): number {
  let hash = 0x811c9dc5;
  for (const letter of words.join("/")) hash = Math.imul(hash ^ letter.charCodeAt(0), 0x01000193);
  return hash >>> 0;
}

const tileSize = 512;

/** White noise on a torus, read bilinearly: one octave of texture, mean 0, values in [-1, 1]. */
export type NoiseTile = Float32Array;

export function noiseTile(seed: number): NoiseTile {
  const draw = seededDraw(seed);
  return Float32Array.from({ length: tileSize * tileSize }, () => 2 * draw() - 1);
}

export function readNoise(tile: NoiseTile, x: number, y: number): number {
  const xFloor = Math.floor(x);
  const yFloor = Math.floor(y);
  const xPart = x - xFloor;
  const yPart = y - yFloor;
  const x0 = xFloor & (tileSize - 1);
  const x1 = (x0 + 1) & (tileSize - 1);
  const row0 = (yFloor & (tileSize - 1)) * tileSize;
  const row1 = ((yFloor + 1) & (tileSize - 1)) * tileSize;
  const top = tile[row0 + x0]! + (tile[row0 + x1]! - tile[row0 + x0]!) * xPart;
  const bottom = tile[row1 + x0]! + (tile[row1 + x1]! - tile[row1 + x0]!) * xPart;
  return top + (bottom - top) * yPart;
}
