import type { ImagePoint } from "../field/units.ts";
import { type GreyPatch, missing, readBand } from "./grey-patch.ts";

/** A line that paint may lie on: its angle, its signed distance from the click along the normal, and how it was seen. */
export type LineGuess = {
  readonly angleRadians: number;
  readonly offsetPx: number;
  /** Distance from the line at which both sides are darker. */
  readonly besidePx: number;
  /** Mean, over the stations along the line, of the grey levels by which it stands out, each held to `enough`. */
  readonly score: number;
};

/** How far from the click a line's middle is looked for. */
export const captureReachPx = 9;
/** How far along a line from the click paint is followed. */
export const alongReachPx = 30;

const besideStepsPx = [3, 6, 12] as const;
export const widestBesidePx = 12;
const angleCount = 45;
const angleStep = Math.PI / angleCount;
/** How far a line may lie from the direction it is expected in: a survey good enough to expect one is better than this. */
export const hintToleranceRadians = 0.15;
const alongStepPx = 3;
/** Guesses look less far, so that a line between two of the angles stays on its paint. */
const guessReachPx = 24;
const alongCount = (2 * guessReachPx) / alongStepPx + 1;
const offsetReach = captureReachPx + 1;
const acrossReach = offsetReach + widestBesidePx;
const acrossCount = 2 * acrossReach + 1;
const offsetCount = 2 * offsetReach + 1;

/** Levels past which more contrast says no more about being a line: a white shirt must not outweigh faint paint. */
const enough = 24;
const leastScore = 2.5;

/** Angle between two undirected lines, 0 to π/2. */
export function turnBetween(from: number, to: number): number {
  const turn = Math.abs(from - to) % Math.PI;
  return Math.min(turn, Math.PI - turn);
}

/** Three by three binomial means, so that one noisy pixel is not taken for a ridge; the border is kept as it is. */
function softened(patch: GreyPatch): GreyPatch {
  const { widthPx: width, heightPx: height, data } = patch;
  const soft = Uint8Array.from(data);
  for (let j = 1; j < height - 1; j++) {
    for (let i = j * width + 1; i < (j + 1) * width - 1; i++) {
      const above = data[i - width - 1]! + 2 * data[i - width]! + data[i - width + 1]!;
      const here = data[i - 1]! + 2 * data[i]! + data[i + 1]!;
      const below = data[i + width - 1]! + 2 * data[i + width]! + data[i + width + 1]!;
      soft[i] = (above + 2 * here + below + 8) >> 4;
    }
  }
  return { ...patch, data: soft };
}

/**
 * Where lines may be near a click, best first: for every angle and offset the share of the line that is brighter than
 * what lies on both of its sides. Steps from dark to bright, such as mown stripes, score nothing, since both sides
 * must be darker.
 */
export function guessLines(patch: GreyPatch, click: ImagePoint, expectedRadians: number | null): LineGuess[] {
  const soft = softened(patch);
  const band = new Float32Array(alongCount * acrossCount);
  const scores = new Float32Array(angleCount * offsetCount);
  const besides = new Uint8Array(angleCount * offsetCount);
  for (let a = 0; a < angleCount; a++) {
    const angleRadians = a * angleStep;
    if (expectedRadians !== null && turnBetween(angleRadians, expectedRadians) > hintToleranceRadians + angleStep / 2)
      continue;
    readBand(
      soft,
      {
        origin: click,
        angleRadians,
        alongFromPx: -guessReachPx,
        alongStepPx,
        alongCount,
        acrossFromPx: -acrossReach,
        acrossStepPx: 1,
        acrossCount,
      },
      band,
    );
    scoreAngle(band, scores.subarray(a * offsetCount), besides.subarray(a * offsetCount));
  }
  return peaks(scores, besides);
}

function scoreAngle(band: Float32Array, scores: Float32Array, besides: Uint8Array): void {
  for (let o = 0; o < offsetCount; o++) {
    const middle = o + widestBesidePx;
    for (const beside of besideStepsPx) {
      let sum = 0;
      for (let k = 0, at = middle; k < alongCount; k++, at += acrossCount) {
        const here = band[at]!;
        const left = band[at - beside]!;
        const right = band[at + beside]!;
        if (here === missing || left === missing || right === missing) continue;
        const above = here - (left > right ? left : right);
        if (above > 0) sum += above > enough ? enough : above;
      }
      const score = sum / alongCount;
      // What is seen against the nearest grass is not taken for something wider.
      if (score > scores[o]! * (besides[o] === 0 ? 1 : 2)) {
        scores[o] = score;
        besides[o] = beside;
      }
    }
  }
}

/** Cells that no neighbour in angle or offset beats; an angle of π is an angle of 0 with its offset turned over. */
function peaks(scores: Float32Array, besides: Uint8Array): LineGuess[] {
  const guesses: LineGuess[] = [];
  const scoreAt = (a: number, o: number): number => {
    if (o < 0 || o >= offsetCount) return 0;
    if (a < 0) return scores[(a + angleCount) * offsetCount + offsetCount - 1 - o]!;
    if (a >= angleCount) return scores[(a - angleCount) * offsetCount + offsetCount - 1 - o]!;
    return scores[a * offsetCount + o]!;
  };
  for (let a = 0; a < angleCount; a++) {
    for (let o = 0; o < offsetCount; o++) {
      const score = scores[a * offsetCount + o]!;
      if (score < leastScore) continue;
      let beaten = false;
      for (let da = -1; da <= 1 && !beaten; da++) {
        for (let d = -1; d <= 1 && !beaten; d++) beaten = scoreAt(a + da, o + d) > score;
      }
      if (beaten) continue;
      guesses.push({
        angleRadians: a * angleStep,
        offsetPx: o - offsetReach,
        besidePx: besides[a * offsetCount + o]!,
        score,
      });
    }
  }
  return guesses.toSorted((one, other) => other.score - one.score);
}
