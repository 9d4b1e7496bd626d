import { type ImagePoint, imagePoint } from "../field/units.ts";
import { type GreyPatch, readBand } from "./grey-patch.ts";
import { type LineGuess, alongReachPx, captureReachPx, widestBesidePx } from "./line-guesses.ts";
import { type PaintProfile, paintProfile } from "./paint-profile.ts";
import { type Ridge, fitRidge } from "./ridge-fit.ts";
import { type RidgeRow, profileStepPx, ridgeRows, smoothAlong } from "./ridge-rows.ts";

/** A painted line found near a click, traced along its paint. */
export type TracedLine = {
  /** On the middle of the paint; the foot of the click on the line. */
  readonly foot: ImagePoint;
  readonly angleRadians: number;
  readonly widthPx: number;
  readonly widthSigmaPx: number;
  /** Grey levels by which the paint stands above the brighter of its two sides, middle value along the line. */
  readonly contrast: number;
  /** One standard deviation across the line at the foot. */
  readonly sigmaPx: number;
  /** One standard deviation of the angle, radians. */
  readonly angleSigma: number;
};

const rowCount = 2 * alongReachPx + 1;
const rounds = 3;
/** A guess that paint turns further than this was a guess at something else; its own peak is guessed at as well. */
const mostTurnRadians = 0.12;
/** Paint is surer than this on film; what is less sure was grass or people. */
const mostSigmaPx = 0.35;

/** Paint followed over less than this is a mark, a leg, a digit's stroke, and no line. A longer one reaches the click. */
const leastLengthPx = 28;
/** Between its ends a line may be covered by people, but most of it is seen. */
const leastSeenShare = 0.65;
const leastPoints = Math.floor(leastSeenShare * leastLengthPx);
/** Ridge points scatter less than this about paint, and mostly more about people. */
const mostScatterPx = 0.45;
const leastLineContrast = 9;

/** Follows the paint of a guess to its own sub-pixel line; null when what is there is no line. */
export function traceLine(patch: GreyPatch, click: ImagePoint, guess: LineGuess): TracedLine | null {
  let { angleRadians, offsetPx, besidePx } = guess;
  let ridge: Ridge | null = null;
  let rows: RidgeRow[] = [];
  let levels: Levels = { band: new Float32Array(0), columns: 0 };
  for (let round = 0; round < rounds; round++) {
    levels = levelsAround(patch, shifted(click, angleRadians, offsetPx), angleRadians, besidePx);
    rows = ridgeRows(levels.band, levels.columns, besidePx, round === 0 ? 1.5 : 0);
    ridge = fitRidge(
      rows.map((row) => row.alongPx),
      rows.map((row) => row.acrossPx),
    );
    if (ridge === null || ridge.points < leastPoints) return null;
    const turn = Math.atan(ridge.slope);
    angleRadians += turn;
    // The click stays the foot: its own offset along the turned normal.
    offsetPx = (offsetPx + ridge.offset) * Math.cos(turn);
    if (Math.abs(turn) > mostTurnRadians || Math.abs(offsetPx) > captureReachPx) return null;
    // The grass is read as near to the paint as its width lets it be.
    const widthPx = middleOf(rows.filter((_, i) => ridge!.kept[i]).map((row) => row.widthPx));
    if (round + 1 < rounds) besidePx = Math.max(3, Math.min(widestBesidePx, Math.ceil(widthPx / 2 + 2)));
  }
  if (ridge === null || ridge.scatter > mostScatterPx) return null;
  const kept = paintedStretch(ridge, rows);
  if (kept.length === 0) return null;
  const contrast = middleOf(kept.map((row) => row.contrast));
  if (contrast < leastLineContrast) return null;
  // The band was read around the line of the round before. Its profile is that of the middle of the kept rows, and the
  // last turn, of thousandths, carries it to the foot.
  const paint: PaintProfile | null = paintProfile(meanProfile(levels, kept), profileStepPx);
  if (paint === null) return null;
  const middleAlongPx = kept.reduce((sum, row) => sum + row.alongPx, 0) / kept.length;
  const sigmaPx = Math.hypot(ridge.offsetSigma, paint.middleSigmaPx);
  if (sigmaPx > mostSigmaPx) return null;
  return {
    foot: shifted(click, angleRadians, offsetPx - ridge.offset + paint.middlePx - ridge.slope * middleAlongPx),
    angleRadians,
    widthPx: paint.widthPx,
    widthSigmaPx: paint.widthSigmaPx,
    contrast,
    sigmaPx,
    angleSigma: ridge.slopeSigma,
  };
}

/** Rows across a line, 1 px apart along it. */
type Levels = { readonly band: Float32Array; readonly columns: number };

function levelsAround(patch: GreyPatch, origin: ImagePoint, angleRadians: number, besidePx: number): Levels {
  const reachPx = besidePx + 4;
  const columns = 2 * Math.round(reachPx / profileStepPx) + 1;
  const band = new Float32Array(rowCount * columns);
  readBand(
    patch,
    {
      origin,
      angleRadians,
      alongFromPx: -alongReachPx,
      alongStepPx: 1,
      alongCount: rowCount,
      acrossFromPx: -reachPx,
      acrossStepPx: profileStepPx,
      acrossCount: columns,
    },
    band,
  );
  smoothAlong(band, columns);
  return { band, columns };
}

export function shifted(from: ImagePoint, angleRadians: number, offsetPx: number): ImagePoint {
  return imagePoint(from.uPx - Math.sin(angleRadians) * offsetPx, from.vPx + Math.cos(angleRadians) * offsetPx);
}

/**
 * The longest stretch of kept rows that is mostly paint, or none. A line that ends at another has nothing on its far
 * side but what chances to lie on it.
 */
function paintedStretch(ridge: Ridge, rows: readonly RidgeRow[]): RidgeRow[] {
  const kept = rows.filter((_, i) => ridge.kept[i]);
  let [from, to] = [0, 0];
  for (let i = 0; i < kept.length; i++) {
    for (let j = kept.length; j - i > to - from; j--) {
      const length = kept[j - 1]!.alongPx - kept[i]!.alongPx + 1;
      if (length >= leastLengthPx && j - i >= leastSeenShare * length) [from, to] = [i, j];
    }
  }
  return kept.slice(from, to);
}

function meanProfile({ band, columns }: Levels, kept: readonly RidgeRow[]): Float32Array {
  const profile = new Float32Array(columns);
  for (const { row } of kept) for (let m = 0; m < columns; m++) profile[m]! += band[row * columns + m]! / kept.length;
  return profile;
}

function middleOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}
