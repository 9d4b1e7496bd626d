import { multiplyHomographies } from "../field/homography.ts";
import { bend, straighten } from "../field/lens.ts";
import type { Seeing } from "../field/seen-through.ts";
import { type ImagePoint, imagePoint } from "../field/units.ts";
import type { WorkingScale } from "./anchor-picture.ts";
import type { GreyImage } from "./grey-image.ts";

/** A working picture and the survey of its frame; the survey is in film pixels. */
export type FollowFrame = { readonly picture: GreyImage; readonly seeing: Seeing };

/** Pixels of a working picture, ends excluded. */
export type Box = { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };

/** A part of a working picture, row by row from its top left pixel. */
export type Window = {
  readonly left: number;
  readonly top: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly grey: Float64Array;
  /** By how many greys each pixel differs from what usually lies there: near 0 but where somebody moves. */
  readonly apart: Float64Array;
  /** 1 where somebody nearer to the camera is known to be. */
  readonly claimed: Uint8Array;
};

/** Of fewer frames that show a spot no median is made. */
const leastLayers = 3;

/**
 * Reads a part of one frame, held against the same directions in other frames: the camera's motion between them is taken
 * out by their surveys, and the median of the others is what lies there when nobody passes. Null where less than a strip
 * of it is in the picture.
 */
export function windowOf(
  { picture, seeing }: FollowFrame,
  others: readonly FollowFrame[],
  scale: WorkingScale,
  box: Box,
  claims: Uint8Array,
): Window | null {
  const left = Math.max(0, Math.floor(box.left));
  const top = Math.max(0, Math.floor(box.top));
  const widthPx = Math.min(picture.widthPx, Math.ceil(box.right)) - left;
  const heightPx = Math.min(picture.heightPx, Math.ceil(box.bottom)) - top;
  if (widthPx < 4 || heightPx < 4) return null;
  const grey = new Float64Array(widthPx * heightPx);
  const claimed = new Uint8Array(widthPx * heightPx);
  for (let row = 0, i = 0; row < heightPx; row++) {
    for (let at = (top + row) * picture.widthPx + left, column = 0; column < widthPx; column++, at++, i++) {
      grey[i] = picture.data[at]!;
      claimed[i] = claims[at]!;
    }
  }
  const part = { left, top, widthPx, heightPx };
  const layers = others.map((other) => layerOf(part, seeing, other, scale));
  const apart = new Float64Array(grey.length);
  const sorted: number[] = [];
  for (let i = 0; i < apart.length; i++) {
    sorted.length = 0;
    for (const layer of layers) if (!Number.isNaN(layer[i]!)) insert(sorted, layer[i]!);
    if (sorted.length >= leastLayers) apart[i] = grey[i]! - sorted[sorted.length >> 1]!;
  }
  return { ...part, grey, apart, claimed };
}

/** What another frame shows in the directions of a window; NaN where it shows nothing. */
function layerOf(
  { left, top, widthPx, heightPx }: Pick<Window, "left" | "top" | "widthPx" | "heightPx">,
  seeing: Seeing,
  other: FollowFrame,
  scale: WorkingScale,
): Float64Array {
  const layer = new Float64Array(widthPx * heightPx).fill(Number.NaN);
  const map = between(seeing, other.seeing);
  const corner = (x: number, y: number): readonly [number, number] | null => {
    const at = map(imagePoint(x * scale.filmPerWorkingU, y * scale.filmPerWorkingV));
    return at && [at.uPx / scale.filmPerWorkingU, at.vPx / scale.filmPerWorkingV];
  };
  // A window is small enough for the map to be taken as straight between its corners.
  const a = corner(left, top);
  const b = corner(left + widthPx, top);
  const c = corner(left, top + heightPx);
  const d = corner(left + widthPx, top + heightPx);
  if (!a || !b || !c || !d) return layer;
  const { widthPx: wide, heightPx: high, data } = other.picture;
  for (let row = 0, i = 0; row < heightPx; row++) {
    const down = (row + 0.5) / heightPx;
    const [fromX, fromY] = [a[0] + down * (c[0] - a[0]) - 0.5, a[1] + down * (c[1] - a[1]) - 0.5];
    const [toX, toY] = [b[0] + down * (d[0] - b[0]) - 0.5, b[1] + down * (d[1] - b[1]) - 0.5];
    for (let column = 0; column < widthPx; column++, i++) {
      const along = (column + 0.5) / widthPx;
      const x = fromX + along * (toX - fromX);
      const y = fromY + along * (toY - fromY);
      if (!(x >= 0 && y >= 0 && x < wide - 1 && y < high - 1)) continue;
      const u = Math.floor(x);
      const v = Math.floor(y);
      const at = v * wide + u;
      const upper = data[at]! + (x - u) * (data[at + 1]! - data[at]!);
      const lower = data[at + wide]! + (x - u) * (data[at + wide + 1]! - data[at + wide]!);
      layer[i] = upper + (y - v) * (lower - upper);
    }
  }
  return layer;
}

/** From film pixels of one frame to those of another whose camera stands at the same place. */
function between(from: Seeing, to: Seeing): (at: ImagePoint) => ImagePoint | null {
  const map = multiplyHomographies(to.homography, from.inverse);
  const { widthPx, heightPx } = from.image;
  // A survey's map may carry either sign; what both frames show lies where the middle of the picture does.
  const sign = Math.sign(map[6] * (widthPx / 2) + map[7] * (heightPx / 2) + map[8]);
  return (at) => {
    const { uPx, vPx } = from.lens ? straighten(from.lens, from.image, at) : at;
    const w = map[6] * uPx + map[7] * vPx + map[8];
    if (sign * w <= 0) return null;
    const there = imagePoint((map[0] * uPx + map[1] * vPx + map[2]) / w, (map[3] * uPx + map[4] * vPx + map[5]) / w);
    return to.lens ? bend(to.lens, to.image, there) : there;
  };
}

function insert(sorted: number[], value: number): void {
  let at = sorted.length;
  for (; at > 0 && sorted[at - 1]! > value; at--) sorted[at] = sorted[at - 1]!;
  sorted[at] = value;
}
