import { missing } from "./grey-patch.ts";

/** Samples across a line lie this far apart. */
export const profileStepPx = 0.5;

/** Grey levels by which paint stands above the grass of both sides at the least. */
export const leastContrast = 7;

/** One row across the line where paint was seen. */
export type RidgeRow = {
  readonly row: number;
  readonly alongPx: number;
  readonly acrossPx: number;
  /** Between the half-way points. */
  readonly widthPx: number;
  readonly contrast: number;
};

/** Weights 1 2 1 along the line, in place: the profile across is not widened by it. */
export function smoothAlong(band: Float32Array, columns: number): void {
  for (let m = 0; m < columns; m++) {
    let before = band[m]!;
    for (let k = 1; (k + 1) * columns < band.length; k++) {
      const at = k * columns + m;
      const here = band[at]!;
      const after = band[at + columns]!;
      if (before !== missing && here !== missing && after !== missing) band[at] = (before + 2 * here + after) / 4;
      before = here;
    }
  }
}

/**
 * Middle of the paint in every row: half way between the two places where the level has fallen half way to the grass
 * of that side. Each side has a grass of its own, since lines lie where mown stripes change.
 */
export function ridgeRows(band: Float32Array, columns: number, besidePx: number, extraPx: number): RidgeRow[] {
  const middle = (columns - 1) / 2;
  const sideColumns = Math.round(3 / profileStepPx);
  const from = Math.round((besidePx - 0.5) / profileStepPx);
  const search = Math.round(Math.min(besidePx / 2 + 1 + extraPx, besidePx - 0.5) / profileStepPx);
  const rows: RidgeRow[] = [];
  const centreRow = (band.length / columns - 1) / 2;
  for (let k = 0; k * columns < band.length; k++) {
    const start = k * columns;
    if (band[start] === missing || band[start + columns - 1] === missing) continue;
    let left = 0;
    let right = 0;
    for (let m = 0; m < sideColumns; m++) {
      left += band[start + middle - from - m]!;
      right += band[start + middle + from + m]!;
    }
    left /= sideColumns;
    right /= sideColumns;
    let top = middle - search;
    for (let m = top + 1; m <= middle + search; m++) if (band[start + m]! > band[start + top]!) top = m;
    const peak = band[start + top]!;
    const contrast = peak - Math.max(left, right);
    if (contrast < leastContrast) continue;
    const leftEdge = crossing(band, start, top, -1, (peak + left) / 2, middle - from - sideColumns + 1);
    const rightEdge = crossing(band, start, top, 1, (peak + right) / 2, middle + from + sideColumns - 1);
    if (leftEdge === null || rightEdge === null) continue;
    rows.push({
      row: k,
      alongPx: k - centreRow,
      acrossPx: ((leftEdge + rightEdge) / 2 - middle) * profileStepPx,
      widthPx: (rightEdge - leftEdge) * profileStepPx,
      contrast,
    });
  }
  return rows;
}

/** Column, with its fraction, where the level first falls to `level` on the way from `top`; null when it never does. */
export function crossing(
  levels: Float32Array,
  start: number,
  top: number,
  step: 1 | -1,
  level: number,
  last: number,
): number | null {
  for (let m = top; m !== last; m += step) {
    const here = levels[start + m]!;
    const next = levels[start + m + step]!;
    if (next <= level) return m + (step * (here - level)) / (here - next);
  }
  return null;
}
