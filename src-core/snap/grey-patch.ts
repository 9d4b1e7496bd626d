import type { ImagePoint } from "../field/units.ts";

/**
 * A rectangle of a frame's luma, 0 to 255, row by row. Pixel (i, j) of the patch covers u from `leftPx + i` to
 * `leftPx + i + 1` and v from `topPx + j` to `topPx + j + 1`, in film pixels; its level is that of its centre.
 */
export type GreyPatch = {
  readonly leftPx: number;
  readonly topPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8Array;
};

/** Half the side, px, of the patch that a snap makes full use of, with the click in its middle. Smaller ones do. */
export const snapPatchReachPx = 36;

/** A level that was not in the patch. */
export const missing = -1;

/**
 * Rows of samples along a line and across it: row k lies `alongFromPx + k * alongStepPx` from the origin along the
 * angle, sample m of a row `acrossFromPx + m * acrossStepPx` along the normal (the angle turned from u toward v).
 */
export type Band = {
  readonly origin: ImagePoint;
  readonly angleRadians: number;
  readonly alongFromPx: number;
  readonly alongStepPx: number;
  readonly alongCount: number;
  readonly acrossFromPx: number;
  readonly acrossStepPx: number;
  readonly acrossCount: number;
};

/** Reads a band bilinearly, row by row, `missing` where it leaves the pixel centres of the patch. */
export function readBand(patch: GreyPatch, band: Band, into: Float32Array): void {
  const { widthPx: width, heightPx: height, data } = patch;
  const cos = Math.cos(band.angleRadians);
  const sin = Math.sin(band.angleRadians);
  const originX = band.origin.uPx - patch.leftPx - 0.5;
  const originY = band.origin.vPx - patch.topPx - 0.5;
  const stepX = -sin * band.acrossStepPx;
  const stepY = cos * band.acrossStepPx;
  const maxX = width - 1;
  const maxY = height - 1;
  let at = 0;
  for (let k = 0; k < band.alongCount; k++) {
    const along = band.alongFromPx + k * band.alongStepPx;
    let x = originX + cos * along - sin * band.acrossFromPx;
    let y = originY + sin * along + cos * band.acrossFromPx;
    const endX = x + (band.acrossCount - 1) * stepX;
    const endY = y + (band.acrossCount - 1) * stepY;
    const whole =
      Math.min(x, endX) >= 1e-6 &&
      Math.min(y, endY) >= 1e-6 &&
      Math.max(x, endX) < maxX - 1e-6 &&
      Math.max(y, endY) < maxY - 1e-6;
    for (let m = 0; m < band.acrossCount; m++, x += stepX, y += stepY) {
      if (!whole && !(x >= 0 && y >= 0 && x < maxX && y < maxY)) {
        into[at++] = missing;
        continue;
      }
      const column = x | 0;
      const row = y | 0;
      const fx = x - column;
      const fy = y - row;
      const i = row * width + column;
      const a = data[i]!;
      const b = data[i + width]!;
      const top = a + (data[i + 1]! - a) * fx;
      into[at++] = top + (b + (data[i + width + 1]! - b) * fx - top) * fy;
    }
  }
}
