import type { ImageSize } from "./camera.ts";
import { type Lens, halfDiagonalPx, straighten, straightenScale } from "./lens.ts";
import { principalAxes } from "./small-linear-algebra.ts";
import { type ImagePoint, imageDistancePx } from "./units.ts";
import { chiSquareLimit } from "./wrong-names.ts";

export type LensRefusal = "too-few-lines" | "too-short" | "through-middle" | "straight" | "not-a-bow";

export type LensResult =
  | {
      readonly ok: true;
      readonly lens: Lens;
      /** One standard deviation of κ; widened by √(χ²/dof) where the clicks scatter more than their sigma says. */
      readonly radialSd: number;
      /** Root mean square distance of the clicks from their own best lines, film px, without the lens and with it. */
      readonly beforePx: number;
      readonly afterPx: number;
      /** Lines with three clicks or more: those that the answer rests on. */
      readonly lines: number;
    }
  | {
      readonly ok: false;
      readonly reason: LensRefusal;
      readonly message: string;
      /** Root mean square distance of the clicks from straight lines as they are, film px; null with no line to tell. */
      readonly beforePx: number | null;
    };

type Line = readonly ImagePoint[];

/** Passes of the line fit: the weights follow the line's direction, which settles at once. */
const linePasses = 3;

/**
 * Distances of a line's clicks from their own best line, film px, signed.
 *
 * The line is fitted by total least squares to the straightened clicks, each weighted by how much the lens stretches the
 * picture across the line there; the distance divided by that stretch is what a hand did on the film. Without it a lens
 * that shrinks everything would seem to straighten everything.
 */
function distances(lens: Lens, image: ImageSize, line: Line, out: number[]): void {
  const [cu, cv] = [image.widthPx / 2, image.heightPx / 2];
  const points = line.map((click) => {
    const { uPx: u, vPx: v } = straighten(lens, image, click);
    const { outward, around } = straightenScale(lens, image, click);
    const [du, dv] = [click.uPx - cu, click.vPx - cv];
    const r = Math.hypot(du, dv);
    return { u, v, outward, around, ru: r > 0 ? du / r : 1, rv: r > 0 ? dv / r : 0 };
  });
  const stretch = points.map(() => 1);
  let angle = 0;
  let [mu, mv] = [0, 0];
  for (let pass = 0; pass < linePasses; pass++) {
    let total = 0;
    [mu, mv] = [0, 0];
    points.forEach(({ u, v }, i) => {
      const weight = 1 / stretch[i]! ** 2;
      total += weight;
      mu += weight * u;
      mv += weight * v;
    });
    mu /= total;
    mv /= total;
    let [uu, uv, vv] = [0, 0, 0];
    points.forEach(({ u, v }, i) => {
      const weight = 1 / stretch[i]! ** 2;
      uu += weight * (u - mu) ** 2;
      uv += weight * (u - mu) * (v - mv);
      vv += weight * (v - mv) ** 2;
    });
    angle = principalAxes(uu, uv, vv).angleRadians;
    points.forEach(({ outward, around, ru, rv }, i) => {
      const along = -Math.sin(angle) * ru + Math.cos(angle) * rv;
      stretch[i] = Math.sqrt((outward * along) ** 2 + around ** 2 * (1 - along ** 2));
    });
  }
  points.forEach(({ u, v }, i) => {
    out.push(((v - mv) * Math.cos(angle) - (u - mu) * Math.sin(angle)) / stretch[i]!);
  });
}

function allDistances(radial: number, image: ImageSize, lines: readonly Line[]): number[] {
  const out: number[] = [];
  for (const line of lines) distances({ radial }, image, line, out);
  return out;
}

const squares = (values: readonly number[]): number => values.reduce((sum, x) => sum + x * x, 0);

/** No lens worth straightening bends more than this; the scan ends here. */
const mostRadial = 0.8;
const scanStep = 0.02;
const golden = (Math.sqrt(5) - 1) / 2;

/** The κ with the least sum of squares: a scan, so that a second valley cannot catch it, then golden sections. */
function bestRadial(image: ImageSize, lines: readonly Line[]): number {
  const cost = (radial: number): number => squares(allDistances(radial, image, lines));
  let best = 0;
  let least = cost(0);
  for (let radial = -mostRadial; radial <= mostRadial; radial += scanStep) {
    const here = cost(radial);
    if (here < least) {
      least = here;
      best = radial;
    }
  }
  let [low, high] = [best - scanStep, best + scanStep];
  let [a, b] = [high - golden * (high - low), low + golden * (high - low)];
  let [costA, costB] = [cost(a), cost(b)];
  // The square root of a double's precision is all that a minimum's place can be told to.
  while (high - low > 1e-8) {
    if (costA < costB) {
      [high, b, costB] = [b, a, costA];
      a = high - golden * (high - low);
      costA = cost(a);
    } else {
      [low, a, costA] = [a, b, costB];
      b = low + golden * (high - low);
      costB = cost(b);
    }
  }
  return (low + high) / 2;
}

/** κ at or below this many standard deviations is no bend. */
const significantSds = 2;
/** A standard deviation of κ that tells a useful lens; at 0.02 the corner of a 720p picture moves by 15 px. */
const usefulSd = 0.02;
/** Half-diagonals: a shorter line shows no bow, and one that passes nearer to the middle stays straight in any lens. */
const shortSpan = 0.6;
const nearMiddle = 0.15;

/**
 * The bend of a film's lens from clicks along lines that are straight on the field, three or more a line; which lines
 * they are does not matter. Least squares on the clicks' distances from their lines, in film pixels; each line free.
 *
 * `sigmaPx` is one standard deviation of a click across its line.
 */
export function estimateLens(lines: readonly Line[], image: ImageSize, sigmaPx: number): LensResult {
  const usable = lines.filter((line) => line.length >= 3);
  if (usable.length < 2) {
    const message =
      "The lens can be told from two lines or more with three clicks each. Click along another long line, away from " +
      "the middle of the picture.";
    return { ok: false, reason: "too-few-lines", message, beforePx: null };
  }
  const count = usable.reduce((sum, line) => sum + line.length, 0);
  const dof = count - 2 * usable.length - 1;
  const rms = (radial: number): number => Math.sqrt(squares(allDistances(radial, image, usable)) / count);
  const beforePx = rms(0);
  const radial = bestRadial(image, usable);
  const afterPx = rms(radial);

  const chiSquare = (afterPx / sigmaPx) ** 2 * count;
  const step = 1e-4;
  const plus = allDistances(radial + step, image, usable);
  const minus = allDistances(radial - step, image, usable);
  const information = squares(plus.map((x, i) => (x - minus[i]!) / (2 * step * sigmaPx)));
  const statedSd = 1 / Math.sqrt(information);
  const radialSd = statedSd * Math.sqrt(Math.max(1, chiSquare / dof));
  const atEnd = Math.abs(radial) > mostRadial - scanStep / 2;
  if (!atEnd && Math.abs(radial) >= significantSds * radialSd) {
    return { ok: true, lens: { radial }, radialSd, beforePx, afterPx, lines: usable.length };
  }
  const { reason, message } = chiSquare > chiSquareLimit(dof) ? notABow(afterPx) : unsupported(usable, image, statedSd);
  return { ok: false, reason, message, beforePx };
}

type Reason = { readonly reason: LensRefusal; readonly message: string };

function notABow(afterPx: number): Reason {
  return {
    reason: "not-a-bow",
    message:
      `The clicks leave straight lines by ${afterPx.toFixed(1)} px, but not as a lens bends them. Check the clicks: one ` +
      "may lie beside its line, or two lines may be clicked as one.",
  };
}

function unsupported(lines: readonly Line[], image: ImageSize, sd: number): Reason {
  const unit = halfDiagonalPx(image);
  const [cu, cv] = [image.widthPx / 2, image.heightPx / 2];
  let longest = 0;
  let farthest = 0;
  for (const line of lines) {
    let [a, b, span] = [line[0]!, line[0]!, 0];
    for (const p of line) {
      for (const q of line) if (imageDistancePx(p, q) > span) [a, b, span] = [p, q, imageDistancePx(p, q)];
    }
    longest = Math.max(longest, span / unit);
    if (span < shortSpan * unit) continue;
    const off = Math.abs((b.uPx - a.uPx) * (cv - a.vPx) - (b.vPx - a.vPx) * (cu - a.uPx)) / span;
    farthest = Math.max(farthest, off / unit);
  }
  if (sd > usefulSd && longest < shortSpan) {
    return {
      reason: "too-short",
      message:
        "These lines are too short to show a bow. Click along lines that cross most of the picture, from edge to edge.",
    };
  }
  if (sd > usefulSd && farthest < nearMiddle) {
    return {
      reason: "through-middle",
      message:
        "These lines pass near the middle of the picture, where no lens bends a line. Click along lines near its edges.",
    };
  }
  return {
    reason: "straight",
    message: "The lines are straight within what these clicks can tell. The lens needs no correction.",
  };
}
