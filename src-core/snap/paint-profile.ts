import { crossing, leastContrast } from "./ridge-rows.ts";

/** What the levels across a line say of its paint, averaged along it. */
export type PaintProfile = {
  /** The middle of the paint, from the middle of the profile. */
  readonly middlePx: number;
  /** One standard deviation of that middle that the grass beside the paint leaves, however long the line is. */
  readonly middleSigmaPx: number;
  readonly widthPx: number;
  readonly widthSigmaPx: number;
};

/** Blur of lens, sensor, codec and bilinear reading together, standard deviation of a Gaussian, px. */
const leastBlurPx = 0.4;
const mostBlurPx = 1;
const halfHeightWidth = 2 * Math.sqrt(2 * Math.LN2);
/** Exponent of the rule below; it keeps to a blurred box within 0.1 px at every width. */
const blend = 3.5;
/** Width at least of paint that is seen at all. */
const thinPx = 0.1;
/** A profile wider than this has a flat top, and its flanks are as steep as those of one that has just got one. */
const widestBlurredPx = 3;
/** Paint so wide hides half of what the grass under it would do. */
const hidingPx = 1.8;
/** What the codec leaves of a level even where many are averaged, since its blocks are as long as the line is followed. */
const codedLevels = 2;

/** Width of a box from its width at half height after a Gaussian blur, by f^3.5 = w^3.5 + (2.355 blur)^3.5. */
function unblurred(fullWidthPx: number, blurPx: number): number {
  return Math.max(0, fullWidthPx ** blend - (halfHeightWidth * blurPx) ** blend) ** (1 / blend);
}

/** Null when the profile has no two sides that fall half way to the grass, or is no brighter than it. */
export function paintProfile(levels: Float32Array, stepPx: number): PaintProfile | null {
  const last = levels.length - 1;
  const middle = last / 2;
  const side = Math.round(3 / stepPx);
  const left = meanOf(levels, 0, side);
  const right = meanOf(levels, last + 1 - side, last + 1);
  const peak = levels[middle]!;
  const leftEdge = crossing(levels, 0, middle, -1, (peak + left) / 2, 0);
  const rightEdge = crossing(levels, 0, middle, 1, (peak + right) / 2, last);
  if (leftEdge === null || rightEdge === null || peak - Math.max(left, right) < leastContrast) return null;
  const fullPx = (rightEdge - leftEdge) * stepPx;
  const middlePx = ((leftEdge + rightEdge) / 2 - middle) * stepPx;
  const width = widthBetween(levels, stepPx, fullPx, peak, left, right);
  const contrast = peak - (left + right) / 2;
  const drawnPx = drawnToBrighter(fullPx, width.mean, (right - left) / contrast);
  const grass = Math.hypot(
    codedLevels,
    Math.max(deviation(levels, 0, side, left), deviation(levels, last + 1 - side, last + 1, right)),
  );
  return {
    middlePx: middlePx - drawnPx / 2,
    // Two half-way points, each moved by grass over slope; a Gaussian falls 0.589 of its height a deviation there.
    middleSigmaPx: Math.hypot(
      (Math.min(fullPx, widestBlurredPx) / halfHeightWidth / (0.589 * Math.SQRT2)) * (grass / contrast),
      drawnPx / 2,
    ),
    widthPx: width.mean,
    widthSigmaPx: width.sigma,
  };
}

/**
 * Of paint much wider than the blur the width at half height is the width. Of thinner paint only width times contrast
 * is seen: the true contrast lies between the one at the peak and white, and every ratio between is taken to be
 * equally likely, which gives the mean and the deviation.
 */
function widthBetween(
  levels: Float32Array,
  stepPx: number,
  fullPx: number,
  peak: number,
  left: number,
  right: number,
): { readonly mean: number; readonly sigma: number } {
  const middle = (levels.length - 1) / 2;
  const reach = Math.ceil((fullPx / 2 + 2) / stepPx);
  let area = 0;
  for (let m = Math.max(0, middle - reach); m <= Math.min(levels.length - 1, middle + reach); m++)
    area += (levels[m]! - (m < middle ? left : right)) * stepPx;
  const grass = (left + right) / 2;
  const widest = Math.max(thinPx, Math.min(unblurred(fullPx, leastBlurPx), area / (peak - grass)));
  const thinnest = Math.min(widest, Math.max(thinPx, unblurred(fullPx, mostBlurPx), area / Math.max(1, 255 - grass)));
  const ratio = Math.log(widest / thinnest);
  if (ratio < 1e-6) return { mean: widest, sigma: 0 };
  const mean = (widest - thinnest) / ratio;
  const square = (widest * widest - thinnest * thinnest) / (2 * ratio);
  return { mean, sigma: Math.sqrt(Math.max(0, square - mean * mean)) };
}

/**
 * How far the middle between two half-way points is drawn toward the brighter grass when the change of grass lies right
 * under thin paint, which does not hide it: the step is 0.38 of itself up at the half-way points, not 0.25. Where the
 * change lies a little to one side it is nothing, so half is taken off and half is left in doubt. Wide paint hides it.
 */
function drawnToBrighter(fullPx: number, widthPx: number, stepOverContrast: number): number {
  const hidden = 1 / (1 + (widthPx / hidingPx) ** 6);
  return ((0.38 - 0.25) / 0.589) * (fullPx / halfHeightWidth) * stepOverContrast * hidden;
}

function meanOf(levels: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let m = from; m < to; m++) sum += levels[m]!;
  return sum / (to - from);
}

function deviation(levels: Float32Array, from: number, to: number, mean: number): number {
  let sum = 0;
  for (let m = from; m < to; m++) sum += (levels[m]! - mean) ** 2;
  return Math.sqrt(sum / (to - from));
}
