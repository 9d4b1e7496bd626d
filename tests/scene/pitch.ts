import { createCanvas } from "@napi-rs/canvas";
import { noiseTile, readNoise } from "./seeded.ts";

/**
 * The ground: mown grass, wear, and the paint of a 100 × 40 yd flag field, in yards of the field frame. Lines are 4 in
 * wide; boundary lines lie outside their inside edge, goal-line paint belongs to the end zone (goal lines x = 10 and
 * 90), other yard lines straddle their yard. Ticks are 24 in long and run outward from y = 13⅓ and 26⅔.
 *
 * Everything is evaluated a row at a time: the backdrop is painted on a plane whose rows have one y each.
 */

const lineYards = 4 / 36;
const tickYards = 24 / 36;
const lengthYards = 100;
const widthYards = 40;
const nearHashYards = 40 / 3;
const farHashYards = 80 / 3;
const fullLinesXYards = [30, 50, 70];

type PaintedBox = { readonly x0: number; readonly x1: number; readonly y0: number; readonly y1: number };

const boxes: readonly PaintedBox[] = paintedBoxes();

function paintedBoxes(): PaintedBox[] {
  const half = lineYards / 2;
  const list: PaintedBox[] = [
    { x0: -lineYards, x1: lengthYards + lineYards, y0: -lineYards, y1: 0 },
    { x0: -lineYards, x1: lengthYards + lineYards, y0: widthYards, y1: widthYards + lineYards },
    { x0: -lineYards, x1: 0, y0: 0, y1: widthYards },
    { x0: lengthYards, x1: lengthYards + lineYards, y0: 0, y1: widthYards },
    { x0: 10 - lineYards, x1: 10, y0: 0, y1: widthYards },
    { x0: 90, x1: 90 + lineYards, y0: 0, y1: widthYards },
  ];
  for (const x of fullLinesXYards) list.push({ x0: x - half, x1: x + half, y0: 0, y1: widthYards });
  for (let x = 15; x < 90; x += 5) {
    if (fullLinesXYards.includes(x)) continue;
    for (const [y0, y1] of [
      [0, tickYards],
      [nearHashYards - tickYards, nearHashYards],
      [farHashYards, farHashYards + tickYards],
      [widthYards - tickYards, widthYards],
    ] as const) {
      list.push({ x0: x - half, x1: x + half, y0, y1 });
    }
  }
  return list;
}

/** Where the small cones stand: a step outside both sidelines, so that they leave the painted crossings in sight. */
export const conePositions: readonly { xYards: number; yYards: number }[] = [0, 10, 30, 50, 70, 90, 100].flatMap(
  (x) => [
    { xYards: x, yYards: -0.75 },
    { xYards: x, yYards: widthYards + 0.75 },
  ],
);

const digitPxPerYard = 40;
const digitHeightYards = 2;
const digitWidthYards = 1.3;
const digitGapYards = 0.3;

type DigitStamp = {
  readonly xLeft: number;
  readonly yFoot: number;
  readonly turned: boolean;
  readonly alpha: Float32Array;
};
const digitColumns = Math.round(digitWidthYards * digitPxPerYard);
const digitRows = Math.round(digitHeightYards * digitPxPerYard);
let stampsCache: DigitStamp[] | null = null;

/** One digit filling its box exactly, as coverage 0–1. */
function digitAlpha(digit: string): Float32Array {
  const canvas = createCanvas(digitColumns, digitRows);
  const context = canvas.getContext("2d");
  context.font = "bold 100px 'DejaVu Sans'";
  const box = context.measureText(digit);
  const inkWidth = box.actualBoundingBoxLeft + box.actualBoundingBoxRight;
  const inkHeight = box.actualBoundingBoxAscent + box.actualBoundingBoxDescent;
  const wide = digit === "1" ? 0.8 : 1;
  context.translate(((1 - wide) / 2) * digitColumns, 0);
  context.scale((digitColumns * wide) / inkWidth, digitRows / inkHeight);
  context.fillText(digit, box.actualBoundingBoxLeft, box.actualBoundingBoxAscent);
  const { data } = context.getImageData(0, 0, digitColumns, digitRows);
  return Float32Array.from({ length: digitColumns * digitRows }, (_, i) => data[4 * i + 3]! / 255);
}

/** Digits straddle their line: 10 20 30 40 30 20 10, feet 7 yd from the sidelines, tops 9 yd. */
function digitStamps(): DigitStamp[] {
  if (stampsCache) return stampsCache;
  const stamps: DigitStamp[] = [];
  for (let x = 20; x <= 80; x += 10) {
    const text = String(Math.min(x - 10, 90 - x));
    const left = x - digitGapYards - digitWidthYards;
    const right = x + digitGapYards;
    const [first, second] = [digitAlpha(text[0]!), digitAlpha(text[1]!)];
    stamps.push({ xLeft: left, yFoot: 7, turned: false, alpha: first });
    stamps.push({ xLeft: right, yFoot: 7, turned: false, alpha: second });
    stamps.push({ xLeft: right, yFoot: widthYards - 7, turned: true, alpha: first });
    stamps.push({ xLeft: left, yFoot: widthYards - 7, turned: true, alpha: second });
  }
  stampsCache = stamps;
  return stamps;
}

function overlap(centre: number, size: number, low: number, high: number): number {
  return Math.max(0, Math.min(centre + size / 2, high) - Math.max(centre - size / 2, low)) / size;
}

/** Share of one row of ground samples that is paint. The row has one y; footprints are sample sizes in yards. */
function paintRow(cover: Float32Array, x0Yards: number, stepYards: number, yYards: number, footYYards: number): void {
  cover.fill(0);
  const blur = 0.025;
  const footX = Math.hypot(stepYards, blur);
  const footY = Math.hypot(footYYards, blur);
  const columnAt = (x: number) => (x - x0Yards) / stepYards;
  for (const box of boxes) {
    const share = overlap(yYards, footY, box.y0, box.y1);
    if (share === 0) continue;
    const first = Math.max(0, Math.floor(columnAt(box.x0 - footX)));
    const last = Math.min(cover.length - 1, Math.ceil(columnAt(box.x1 + footX)));
    for (let i = first; i <= last; i++) {
      const here = share * overlap(x0Yards + i * stepYards, footX, box.x0, box.x1);
      if (here > 0) cover[i] = Math.min(1, cover[i]! + here);
    }
  }
  for (const stamp of digitStamps()) {
    const rise = stamp.turned ? stamp.yFoot - yYards : yYards - stamp.yFoot;
    const row = Math.floor((digitHeightYards - rise) * digitPxPerYard);
    if (row < 0 || row >= digitRows) continue;
    const first = Math.max(0, Math.ceil(columnAt(stamp.xLeft)));
    const last = Math.min(cover.length - 1, Math.floor(columnAt(stamp.xLeft + digitWidthYards)));
    for (let i = first; i <= last; i++) {
      const across = (x0Yards + i * stepYards - stamp.xLeft) * digitPxPerYard;
      const column = Math.min(digitColumns - 1, Math.floor(stamp.turned ? digitColumns - across : across));
      if (column >= 0) cover[i] = Math.max(cover[i]!, stamp.alpha[row * digitColumns + column]!);
    }
  }
}

const octaves = [
  { waveYards: 0.035, weight: 9, turn: 0.2 },
  { waveYards: 0.09, weight: 8.5, turn: 1.1 },
  { waveYards: 0.26, weight: 7, turn: 2.3 },
  { waveYards: 0.8, weight: 6, turn: 0.7 },
  { waveYards: 2.6, weight: 6.5, turn: 1.9 },
  { waveYards: 9, weight: 7, turn: 2.9 },
].map((octave, index) => ({
  ...octave,
  tile: noiseTile(9100 + index),
  cos: Math.cos(octave.turn) / octave.waveYards,
  sin: Math.sin(octave.turn) / octave.waveYards,
}));
const wearTile = noiseTile(77);
const hueTile = noiseTile(78);

function soften(low: number, high: number, value: number): number {
  const part = Math.min(1, Math.max(0, (value - low) / (high - low)));
  return part * part * (3 - 2 * part);
}

/** Cinder path behind the far apron, with the edges of its two lanes. */
export const pathYards = { from: 46.4, to: 50.4 };
export const bankYards = { from: 53.5, to: 61, topZYards: 2.3 };

/** Colour (sRGB 0–255, sunlit) of one row of ground at a single y, added into `sum` with the given weight. */
export function addGroundRow(
  sum: Float32Array,
  weight: number,
  x0Yards: number,
  stepYards: number,
  yYards: number,
  footYYards: number,
  cover: Float32Array,
): void {
  paintRow(cover, x0Yards, stepYards, yYards, footYYards);
  const foot = Math.max(stepYards, footYYards * 0.35);
  const live = octaves.filter((octave) => octave.waveYards > stepYards * 0.7);
  const onField = yYards > -0.2 && yYards < widthYards + 0.2;
  const onPath =
    soften(pathYards.from - 0.1, pathYards.from + 0.1, yYards) - soften(pathYards.to - 0.1, pathYards.to + 0.1, yYards);
  const onBank = soften(bankYards.from - 0.6, bankYards.from + 0.6, yYards);
  const coachBox = Math.exp(-(((yYards + 2.6) / 1.5) ** 2)) + Math.exp(-(((yYards - 43) / 1.6) ** 2));
  for (let i = 0; i < cover.length; i++) {
    const x = x0Yards + i * stepYards;
    let grain = 0;
    for (const octave of live) {
      const fade = Math.min(1, octave.waveYards / (foot * 1.4));
      grain +=
        fade *
        octave.weight *
        readNoise(octave.tile, x * octave.cos - yYards * octave.sin + 40, x * octave.sin + yYards * octave.cos + 40);
    }
    const inLength = x > -0.2 && x < lengthYards + 0.2;
    const stripe =
      onField && inLength
        ? Math.max(-1, Math.min(1, 14 * Math.sin((Math.PI * x) / 5)))
        : 0.45 * Math.max(-1, Math.min(1, 9 * Math.sin((Math.PI * yYards) / 3)));
    const patch =
      readNoise(wearTile, x * 0.33 + 11, yYards * 0.42 + 5) + 0.55 * readNoise(wearTile, x * 1.3 + 90, yYards * 1.5);
    const middle = Math.exp(-(((yYards - 20) / 7) ** 2)) * (onField ? 1 : 0);
    const wear = soften(0.35, 1.5, patch + 0.35 * middle + 0.85 * coachBox) * (0.25 + 0.45 * coachBox + 0.3 * middle);
    const hue = readNoise(hueTile, x * 0.16 + 3, yYards * 0.2 + 8);
    let red = 92 + 8 * stripe + 7 * hue + grain;
    let green = 128 + 10.5 * stripe + 3 * hue + grain * 1.05;
    let blue = 56 + 4 * stripe - 4 * hue + grain * 0.72;
    red += (139 + grain - red) * wear;
    green += (132 + grain - green) * wear;
    blue += (84 + grain * 0.8 - blue) * wear;
    if (onBank > 0) {
      red += (112 + 9 * hue + grain * 1.2 - red) * onBank * 0.8;
      green += (134 + grain * 1.2 - green) * onBank * 0.8;
      blue += (66 + grain - blue) * onBank * 0.8;
    }
    if (onPath > 0) {
      red += (186 + grain * 0.55 - red) * onPath;
      green += (160 + grain * 0.55 - green) * onPath;
      blue += (128 + grain * 0.5 - blue) * onPath;
    }
    const paint = cover[i]! * (0.87 + 0.006 * grain);
    if (paint > 0) {
      red += (240 - red) * paint;
      green += (241 - green) * paint;
      blue += (230 - blue) * paint;
    }
    sum[3 * i] = sum[3 * i]! + weight * red;
    sum[3 * i + 1] = sum[3 * i + 1]! + weight * green;
    sum[3 * i + 2] = sum[3 * i + 2]! + weight * blue;
  }
}
