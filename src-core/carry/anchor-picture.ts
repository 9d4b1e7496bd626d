import type { ImageSize } from "../field/camera.ts";
import type { Homography } from "../field/homography.ts";
import { type GreyImage, pyramidOf } from "./grey-image.ts";

/** How a working picture lies in the film's own picture. */
export type WorkingScale = {
  /** Displayed size of the film. */
  readonly film: ImageSize;
  /** Film pixels to one pixel of the working picture. */
  readonly filmPerWorkingU: number;
  readonly filmPerWorkingV: number;
};

/**
 * Coordinates in which pictures are aligned: origin in the middle of the working picture, half its width the unit in
 * both directions, so that the eight numbers of a map are of like size.
 */
export type AlignFrame = { readonly middleX: number; readonly middleY: number; readonly unitPx: number };

export function alignFrameOf(image: GreyImage): AlignFrame {
  return { middleX: image.widthPx / 2, middleY: image.heightPx / 2, unitPx: image.widthPx / 2 };
}

/** Film pixels to align coordinates, and back. */
export function fromFilm(frame: AlignFrame, scale: WorkingScale): Homography {
  const { middleX, middleY, unitPx } = frame;
  return [
    1 / (scale.filmPerWorkingU * unitPx),
    0,
    -middleX / unitPx,
    0,
    1 / (scale.filmPerWorkingV * unitPx),
    -middleY / unitPx,
    0,
    0,
    1,
  ];
}

/** The pixels of one level that alignment reads, each with what its grey does when the picture is bent a little. */
export type AnchorLevel = {
  readonly count: number;
  /** Centres, in align coordinates. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly grey: Float64Array;
  /**
   * Eight a pixel: change of the grey by the eight numbers p of the map
   * (x, y) → ((1 + p0) x + p1 y + p2, p3 x + (1 + p4) y + p5) / (1 + p6 x + p7 y).
   */
  readonly slopes: Float64Array;
  /** How far above the ground's edge each lies, in align units; 0 on the ground. See `GroundEdge`. */
  readonly above: Float64Array;
  /** Which tile of the picture each lies in, for what neighbouring pixels share of their errors. */
  readonly tile: Uint16Array;
};

/**
 * The line of the picture beyond which things stand rather than lie: a x + b y + c in align coordinates, (a, b) of unit
 * length, positive on the ground's side. A camera held by hand sways by inches, and what stands behind the field then
 * shifts against the ground; without this line the two are aligned as one plane, which is right for a tripod.
 */
export type GroundEdge = { readonly a: number; readonly b: number; readonly c: number };

export const tileColumns = 12;
export const tileRows = 7;

export type AnchorPicture = {
  readonly frame: AlignFrame;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly groundEdge: GroundEdge | null;
  /** Finest first. */
  readonly levels: readonly AnchorLevel[];
};

export const pyramidLevels = 4;

/** Pixels wanted on a level, finest first. */
const wantedPixels = [4800, 2400, 1200, 600];
/** Cells over which the choice is spread, along the picture's width, finest first. */
const cellColumns = [32, 24, 16, 12];
/**
 * Least slopes, greys a pixel, tried in turn until a quarter of the wanted pixels is found. Faint texture comes last:
 * encoders hold it still for frames on end while the camera drifts, and what is drawn boldly they move.
 */
const leastSlopes = [10, 5, 2.5, 1.2];
/** Distance from the border that a chosen pixel keeps, for its slope to be known. */
const borderPx = 2;

/**
 * Chooses the pixels to align by: the steepest ones of each cell of a grid, so that they are spread over the whole
 * picture and not heaped on its boldest edge.
 */
export function anchorPicture(image: GreyImage, groundEdge: GroundEdge | null): AnchorPicture {
  const frame = alignFrameOf(image);
  const pyramid = pyramidOf(image, pyramidLevels);
  return {
    frame,
    widthPx: image.widthPx,
    heightPx: image.heightPx,
    groundEdge,
    levels: pyramid.map((level, depth) => {
      const columns = cellColumns[depth]!;
      const rows = Math.max(1, Math.round((columns * level.heightPx) / level.widthPx));
      let chosen: number[] = [];
      for (const leastSlope of leastSlopes) {
        chosen = chooseSteep(level, columns, rows, Math.round(wantedPixels[depth]! / (columns * rows)), leastSlope);
        if (chosen.length >= wantedPixels[depth]! / 4) break;
      }
      return measureLevel(level, chosen, 2 ** depth, frame, image, groundEdge);
    }),
  };
}

/** Positions in `data` of the steepest pixels of each cell. */
function chooseSteep(
  { widthPx, heightPx, data }: GreyImage,
  columns: number,
  rows: number,
  perCell: number,
  leastSlope: number,
): number[] {
  const chosen: number[] = [];
  // The steepest of a cell, kept sorted by falling steepness.
  const best = new Int32Array(perCell);
  const steep = new Float64Array(perCell);
  for (let cellRow = 0; cellRow < rows; cellRow++) {
    const top = Math.max(borderPx, Math.floor((cellRow * heightPx) / rows));
    const bottom = Math.min(heightPx - borderPx, Math.floor(((cellRow + 1) * heightPx) / rows));
    for (let cellColumn = 0; cellColumn < columns; cellColumn++) {
      const left = Math.max(borderPx, Math.floor((cellColumn * widthPx) / columns));
      const right = Math.min(widthPx - borderPx, Math.floor(((cellColumn + 1) * widthPx) / columns));
      let held = 0;
      for (let row = top; row < bottom; row++) {
        for (let column = left; column < right; column++) {
          const at = row * widthPx + column;
          const across = data[at + 1]! - data[at - 1]!;
          const down = data[at + widthPx]! - data[at - widthPx]!;
          const square = across * across + down * down;
          if (square < 4 * leastSlope * leastSlope) continue;
          if (held === perCell && square <= steep[held - 1]!) continue;
          let place = held < perCell ? held++ : held - 1;
          for (; place > 0 && steep[place - 1]! < square; place--) {
            steep[place] = steep[place - 1]!;
            best[place] = best[place - 1]!;
          }
          steep[place] = square;
          best[place] = at;
        }
      }
      for (let i = 0; i < held; i++) chosen.push(best[i]!);
    }
  }
  return chosen;
}

function measureLevel(
  { widthPx, data }: GreyImage,
  chosen: readonly number[],
  pitchPx: number,
  frame: AlignFrame,
  whole: GreyImage,
  groundEdge: GroundEdge | null,
): AnchorLevel {
  const count = chosen.length;
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const grey = new Float64Array(count);
  const slopes = new Float64Array(8 * count);
  const above = new Float64Array(count);
  const tile = new Uint16Array(count);
  // Slopes are per pixel of this level; a unit of the align frame holds this many of them.
  const perUnit = frame.unitPx / pitchPx;
  for (let i = 0; i < count; i++) {
    const at = chosen[i]!;
    const xPx = ((at % widthPx) + 0.5) * pitchPx;
    const yPx = (Math.floor(at / widthPx) + 0.5) * pitchPx;
    const px = (xPx - frame.middleX) / frame.unitPx;
    const py = (yPx - frame.middleY) / frame.unitPx;
    const { across, down } = slopeAt(data, widthPx, at);
    const gx = across * perUnit;
    const gy = down * perUnit;
    const along = -(gx * px + gy * py);
    x[i] = px;
    y[i] = py;
    if (groundEdge !== null) above[i] = Math.max(0, -(groundEdge.a * px + groundEdge.b * py + groundEdge.c));
    grey[i] = data[at]!;
    slopes.set([gx * px, gx * py, gx, gy * px, gy * py, gy, along * px, along * py], 8 * i);
    const tileColumn = Math.min(tileColumns - 1, Math.floor((xPx / whole.widthPx) * tileColumns));
    const tileRow = Math.min(tileRows - 1, Math.floor((yPx / whole.heightPx) * tileRows));
    tile[i] = tileRow * tileColumns + tileColumn;
  }
  return { count, x, y, grey, slopes, above, tile };
}

/** Greys a pixel across and down, by Scharr's 3 × 3 kernels (weights 3, 10, 3 over 32). */
function slopeAt(data: Uint8Array, width: number, at: number): { readonly across: number; readonly down: number } {
  const a = data[at - width - 1]!;
  const b = data[at - width]!;
  const c = data[at - width + 1]!;
  const d = data[at - 1]!;
  const f = data[at + 1]!;
  const g = data[at + width - 1]!;
  const h = data[at + width]!;
  const i = data[at + width + 1]!;
  return {
    across: (3 * (c - a) + 10 * (f - d) + 3 * (i - g)) / 32,
    down: (3 * (g - a) + 10 * (h - b) + 3 * (i - c)) / 32,
  };
}
