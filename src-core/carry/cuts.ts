import type { GreyImage } from "./grey-image.ts";

/** The size of picture that cuts are looked for in. */
export const cutGrey = { widthPx: 64, heightPx: 36 } as const;

/** Frames to either side over which a change between frames counts as usual. */
const usualFrames = 12;
/** A change this many times the usual one is a cut. */
const cutRatio = 3.5;
/** Mean change in greys below which nothing is a cut, however still the film is. */
const leastChangeGrey = 2;

/** A picture at the size that cuts are looked for in, by the mean of what each of its pixels covers. */
export function cutGreyOf({ widthPx, heightPx, data }: GreyImage): GreyImage {
  const small = new Uint8Array(cutGrey.widthPx * cutGrey.heightPx);
  for (let row = 0; row < cutGrey.heightPx; row++) {
    const top = Math.floor((row * heightPx) / cutGrey.heightPx);
    const bottom = Math.max(top + 1, Math.floor(((row + 1) * heightPx) / cutGrey.heightPx));
    for (let column = 0; column < cutGrey.widthPx; column++) {
      const left = Math.floor((column * widthPx) / cutGrey.widthPx);
      const right = Math.max(left + 1, Math.floor(((column + 1) * widthPx) / cutGrey.widthPx));
      let sum = 0;
      for (let y = top; y < bottom; y++) for (let x = left; x < right; x++) sum += data[y * widthPx + x]!;
      small[row * cutGrey.widthPx + column] = Math.round(sum / ((bottom - top) * (right - left)));
    }
  }
  return { ...cutGrey, data: small };
}

/** Mean absolute difference of two pictures of one size, greys. */
export function changeBetween(a: GreyImage, b: GreyImage): number {
  let sum = 0;
  for (let i = 0; i < a.data.length; i++) sum += Math.abs(a.data[i]! - b.data[i]!);
  return sum / a.data.length;
}

/**
 * Places in the sequence where a new scene begins: the first picture of each but the first. `greys` are successive
 * frames at `cutGrey` size. A place is a cut when the picture changes by several times the median change around it.
 */
export function findCuts(greys: readonly GreyImage[]): number[] {
  return cutsInChanges(greys.map((grey, i) => (i === 0 ? 0 : changeBetween(greys[i - 1]!, grey))));
}

/** The same from the changes alone: each frame's to the one before it, the first one's 0. Greys. */
export function cutsInChanges(changes: ArrayLike<number>): number[] {
  const cuts: number[] = [];
  for (let i = 1; i < changes.length; i++) {
    const change = changes[i]!;
    if (change < leastChangeGrey) continue;
    const around: number[] = [];
    for (let j = Math.max(1, i - usualFrames); j <= Math.min(changes.length - 1, i + usualFrames); j++) {
      if (j !== i) around.push(changes[j]!);
    }
    around.sort((a, b) => a - b);
    const usual = around.length === 0 ? 0 : around[around.length >> 1]!;
    if (change > cutRatio * usual) cuts.push(i);
  }
  return cuts;
}
