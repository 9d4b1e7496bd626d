import { factorCholesky, solveCholesky } from "../field/small-linear-algebra.ts";
import { type GreyImage, halve } from "./grey-image.ts";

/** The size of picture that motion is looked for in: a person on a wide film is a few pixels high. */
export const motionGrey = { widthPx: 160, heightPx: 90 } as const;

/**
 * Where the camera moved from one small picture to the next: an affine map about the picture's middle, over pixels of the
 * first, and a step of brightness in greys. (u, v) of the first lies at (u, v) + (a + b u + c v, d + e u + f v).
 */
export type CameraStep = readonly [
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
  brightnessGrey: number,
];

export const noStep: CameraStep = [0, 0, 0, 0, 0, 0, 0];

export type PictureMotion = {
  /**
   * What moved against the ground after the camera's own move is taken out: mean over the ground's pixels of the part of
   * the difference that neither noise nor a slightly wrong map explains, greys. Zero where nobody moves.
   */
  readonly motionGrey: number;
  readonly step: CameraStep;
};

const unknowns = 7;
/** Rounds end when the picture's middle moves by no more. */
const settledPx = 0.01;
const rounds = 4;
/** Tukey's constant for 95 % efficiency on normal errors. */
const tukey = 4.685;
const leastSigmaGrey = 1;
/** A pixel steeper than this tells where the camera moved, greys a pixel. */
const steepGrey = 2;
/** Of those so many are enough. */
const mostPixels = 2500;
/** Differences up to so many greys are noise, and so many pixels of slope a wrong map. */
const noiseGrey = 4;
const wrongPx = 0.5;
/** Above this share of the picture lie sky, stand and trees on a film taken from beside or behind a field. */
export const groundTopShare = 0.38;

/**
 * Motion on the ground between two pictures of one size, some tenths of a second apart at the most. `start` is the step
 * between the pair before: a pan goes on as it went.
 *
 * Method: Gauss and Newton on an affine map with Tukey's weights, over two levels, so that people who move drop out.
 */
export function pictureMotion(before: GreyImage, now: GreyImage, start: CameraStep): PictureMotion {
  const [coarseBefore, coarseNow] = [halve(before), halve(now)];
  // After a cut, or a pan that stopped, the step before says nothing.
  const starts = [halved(start), noStep].map((one) => ({ one, off: misfit(coarseBefore, coarseNow, one) }));
  const from = starts[1]!.off < starts[0]!.off ? noStep : halved(start);
  const step = settle(before, now, doubled(settle(coarseBefore, coarseNow, from)));
  return { motionGrey: groundMotion(before, now, step), step };
}

function halved([a, b, c, d, e, f, g]: CameraStep): CameraStep {
  return [a / 2, b, c, d / 2, e, f, g];
}

function doubled([a, b, c, d, e, f, g]: CameraStep): CameraStep {
  return [2 * a, b, c, 2 * d, e, f, g];
}

/** The picture's grey at a place given as column and row of pixel middles; NaN outside. */
function greyAt({ widthPx, heightPx, data }: GreyImage, column: number, row: number): number {
  if (!(column >= 0 && row >= 0 && column < widthPx - 1 && row < heightPx - 1)) return NaN;
  const left = Math.floor(column);
  const top = Math.floor(row);
  const [fu, fv] = [column - left, row - top];
  const at = top * widthPx + left;
  const upper = data[at]! + (data[at + 1]! - data[at]!) * fu;
  const lower = data[at + widthPx]! + (data[at + widthPx + 1]! - data[at + widthPx]!) * fu;
  return upper + (lower - upper) * fv;
}

function residualAt(now: GreyImage, step: CameraStep, column: number, row: number, grey: number): number {
  const u = column - now.widthPx / 2;
  const v = row - now.heightPx / 2;
  const there = greyAt(now, column + step[0] + step[1] * u + step[2] * v, row + step[3] + step[4] * u + step[5] * v);
  return there - grey - step[6];
}

/** Differences at the pixels that tell, NaN outside the picture. */
function residualsAt(before: GreyImage, now: GreyImage, step: CameraStep, chosen: readonly number[]): Float64Array {
  const { widthPx, data } = before;
  return Float64Array.from(chosen, (at) => residualAt(now, step, at % widthPx, Math.floor(at / widthPx), data[at]!));
}

/** The median difference of those inside, greys; Infinity where there are too few. */
function medianOff(residuals: Float64Array): number {
  const sizes = residuals
    .filter((r) => !Number.isNaN(r))
    .map(Math.abs)
    .sort();
  return sizes.length < 10 * unknowns ? Infinity : sizes[sizes.length >> 1]!;
}

function misfit(before: GreyImage, now: GreyImage, step: CameraStep): number {
  return medianOff(residualsAt(before, now, step, steepPixels(before)));
}

function settle(before: GreyImage, now: GreyImage, start: CameraStep): CameraStep {
  const { widthPx, heightPx, data } = before;
  const chosen = steepPixels(before);
  const slope = new Float64Array(unknowns);
  let step = start;
  for (let round = 0; round < rounds; round++) {
    const residuals = residualsAt(before, now, step, chosen);
    const off = medianOff(residuals);
    if (off === Infinity) return start;
    const limit = tukey * Math.max(leastSigmaGrey, 1.4826 * off);
    const normal = new Float64Array(unknowns * unknowns);
    const right = new Float64Array(unknowns);
    for (const [k, at] of chosen.entries()) {
      const share = 1 - (residuals[k]! / limit) ** 2;
      if (!(share > 0)) continue;
      const weight = share * share;
      const u = (at % widthPx) - widthPx / 2;
      const v = Math.floor(at / widthPx) - heightPx / 2;
      slope[0] = (data[at + 1]! - data[at - 1]!) / 2;
      slope[1] = slope[0] * u;
      slope[2] = slope[0] * v;
      slope[3] = (data[at + widthPx]! - data[at - widthPx]!) / 2;
      slope[4] = slope[3] * u;
      slope[5] = slope[3] * v;
      slope[6] = -1;
      for (let i = 0; i < unknowns; i++) {
        for (let j = 0; j <= i; j++) normal[i * unknowns + j]! += weight * slope[i]! * slope[j]!;
        right[i]! -= weight * slope[i]! * residuals[k]!;
      }
    }
    // A direction that the picture does not show stays as it is.
    for (let i = 0; i < unknowns; i++) normal[i * unknowns + i]! += 1e-6 * (1 + normal[i * unknowns + i]!);
    if (factorCholesky(normal, unknowns) <= 0) return start;
    solveCholesky(normal, right, unknowns);
    const next = step.map((value, i) => value + right[i]!) as unknown as CameraStep;
    if (!next.every(Number.isFinite)) return start;
    step = next;
    if (Math.abs(right[0]!) + Math.abs(right[3]!) < settledPx) break;
  }
  return step;
}

/** Places of the pixels whose grey changes enough to say where they went, evenly thinned. */
function steepPixels({ widthPx, heightPx, data }: GreyImage): number[] {
  const steep: number[] = [];
  for (let row = Math.ceil(groundTopShare * heightPx); row < heightPx - 1; row++) {
    for (let column = 1; column < widthPx - 1; column++) {
      const at = row * widthPx + column;
      const across = Math.abs(data[at + 1]! - data[at - 1]!);
      const down = Math.abs(data[at + widthPx]! - data[at - widthPx]!);
      if (across + down > 2 * steepGrey) steep.push(at);
    }
  }
  const every = Math.ceil(steep.length / mostPixels);
  return every <= 1 ? steep : steep.filter((_, k) => k % every === 0);
}

function groundMotion(before: GreyImage, now: GreyImage, step: CameraStep): number {
  const { widthPx, heightPx, data } = before;
  let sum = 0;
  let seen = 0;
  for (let row = Math.ceil(groundTopShare * heightPx); row < heightPx - 1; row++) {
    for (let column = 1; column < widthPx - 1; column++) {
      const at = row * widthPx + column;
      const r = residualAt(now, step, column, row, data[at]!);
      if (Number.isNaN(r)) continue;
      seen++;
      const across = Math.abs(data[at + 1]! - data[at - 1]!) / 2;
      const down = Math.abs(data[at + widthPx]! - data[at - widthPx]!) / 2;
      sum += Math.max(0, Math.abs(r) - noiseGrey - wrongPx * (across + down));
    }
  }
  return seen === 0 ? 0 : sum / seen;
}
