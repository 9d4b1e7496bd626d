/**
 * A grey picture, one byte a pixel, row by row from the top left. Pixel (column, row) covers the unit square from that
 * corner, so its centre lies at column + 0.5, row + 0.5: the same convention as the image frame of the film.
 */
export type GreyImage = { readonly widthPx: number; readonly heightPx: number; readonly data: Uint8Array };

/** About how wide a picture is worked on, whatever the film's size: half of 720p. */
export const workingWidthPx = 640;

/** How many film pixels, along each side, make one pixel of the working picture. */
export function workingFactor(filmWidthPx: number): number {
  return Math.max(1, Math.round(filmWidthPx / workingWidthPx));
}

/**
 * The mean of each square of `factor` × `factor` pixels. Columns and rows that do not fill a square are left out at the
 * right and at the bottom, so a pixel of the answer covers exactly `factor` pixels of the plane.
 *
 * `strideBytes` is the distance from one row of the plane to the next; it may be longer than the row.
 */
export function shrink(
  plane: Uint8Array,
  strideBytes: number,
  widthPx: number,
  heightPx: number,
  factor: number,
): GreyImage {
  const width = Math.floor(widthPx / factor);
  const height = Math.floor(heightPx / factor);
  const data = new Uint8Array(width * height);
  if (factor === 1) {
    for (let row = 0; row < height; row++) {
      data.set(plane.subarray(row * strideBytes, row * strideBytes + width), row * width);
    }
  } else if (factor === 2) {
    for (let row = 0; row < height; row++) {
      let from = 2 * row * strideBytes;
      const to = row * width;
      for (let column = 0; column < width; column++, from += 2) {
        const below = from + strideBytes;
        data[to + column] = (plane[from]! + plane[from + 1]! + plane[below]! + plane[below + 1]! + 2) >> 2;
      }
    }
  } else {
    const sums = new Uint32Array(width);
    const area = factor * factor;
    for (let row = 0; row < height; row++) {
      sums.fill(area >> 1);
      for (let part = 0; part < factor; part++) {
        let from = (row * factor + part) * strideBytes;
        for (let column = 0; column < width; column++) {
          let sum = 0;
          for (let i = 0; i < factor; i++) sum += plane[from + i]!;
          sums[column]! += sum;
          from += factor;
        }
      }
      for (let column = 0; column < width; column++) data[row * width + column] = Math.floor(sums[column]! / area);
    }
  }
  return { widthPx: width, heightPx: height, data };
}

/** Half the size, by the mean of 2 × 2 pixels. */
export function halve(image: GreyImage): GreyImage {
  return shrink(image.data, image.widthPx, image.widthPx, image.heightPx, 2);
}

/** The picture and its halves, largest first; a level is never narrower or lower than 16 px. */
export function pyramidOf(image: GreyImage, levels: number): GreyImage[] {
  const pyramid = [image];
  for (let top = image; pyramid.length < levels && Math.min(top.widthPx, top.heightPx) >= 32;) {
    top = halve(top);
    pyramid.push(top);
  }
  return pyramid;
}
