/**
 * A number painted into a frame as large black and white blocks, which survive compression, scaling and colour
 * conversion, and read back from the pixels. 6 × 4 blocks: 16 bits of the number, most significant first, row by row,
 * then 8 check bits; a frame that is turned, mirrored or torn reads as null. Runs in Node and in the browser.
 */
const columns = 6;
const rows = 4;
const numberBits = 16;
const checkBits = columns * rows - numberBits;

/** The block code of a number below 65536 as grey pixels, row by row, with uneven ground so that frames need bits. */
export function paintCode(number: number, widthPx: number, heightPx: number): Uint8Array {
  const bits = (number << checkBits) | checkOf(number);
  const pixels = new Uint8Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    const row = Math.floor((y * rows) / heightPx);
    for (let x = 0; x < widthPx; x++) {
      const column = Math.floor((x * columns) / widthPx);
      const isWhite = (bits >> (columns * rows - 1 - (row * columns + column))) & 1;
      const texture = (x * 7 + y * 13 + number * 5) & 15;
      pixels[y * widthPx + x] = isWhite === 1 ? 220 - texture : 20 + texture;
    }
  }
  return pixels;
}

/** The number in an image, or null when its check bits do not fit. */
export function readCode(image: { data: ArrayLike<number>; width: number; height: number }): number | null {
  let bits = 0;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      bits = (bits << 1) | (brightness(image, (column + 0.5) / columns, (row + 0.5) / rows) > 127 ? 1 : 0);
    }
  }
  const number = bits >> checkBits;
  return (bits & ((1 << checkBits) - 1)) === checkOf(number) ? number : null;
}

function brightness(
  { data, width, height }: { data: ArrayLike<number>; width: number; height: number },
  across: number,
  down: number,
): number {
  let sum = 0;
  let count = 0;
  for (let dy = -2; dy <= 2; dy++) {
    for (let dx = -2; dx <= 2; dx++) {
      const at = 4 * ((Math.floor(down * height) + dy) * width + Math.floor(across * width) + dx);
      sum += data[at + 1] ?? 0;
      count++;
    }
  }
  return sum / count;
}

function checkOf(number: number): number {
  return ((number * 167 + 91) ^ (number >> 5)) & ((1 << checkBits) - 1);
}
