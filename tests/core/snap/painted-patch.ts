import type { Random } from "#core/field/random";
import { type ImagePoint, imagePoint } from "#core/field/units";
import { type GreyPatch, snapPatchReachPx } from "#core/snap/grey-patch";

/** Paint of known place on grass, drawn by the share of each pixel that it covers: no rule of the snap's is used. */
export type Stroke = {
  /** A point on the middle of the stroke. */
  readonly at: ImagePoint;
  readonly angleRadians: number;
  readonly widthPx: number;
  /** The stroke ends here along its direction, px from `at`; without it, it runs on. */
  readonly endsAtPx?: number;
};

export type Ground = {
  readonly paint: number;
  /** Level of the grass on the side of the first stroke's normal, and on the other side. */
  readonly grass: number;
  readonly otherGrass?: number;
  /** Standard deviation of a Gaussian blur, px. */
  readonly blurPx?: number;
  readonly noise?: { readonly random: Random; readonly sigma: number };
};

export const side = 2 * snapPatchReachPx + 1;
const samples = 8;

/** A patch whose middle pixel is (100, 80), on which the strokes lie. */
export function paintedPatch(strokes: readonly Stroke[], ground: Ground): GreyPatch {
  const leftPx = 100 - snapPatchReachPx;
  const topPx = 80 - snapPatchReachPx;
  const margin = 6;
  const wide = side + 2 * margin;
  const levels = new Float64Array(wide * wide);
  for (let j = 0; j < wide; j++) {
    for (let i = 0; i < wide; i++) {
      const [u, v] = [leftPx - margin + i, topPx - margin + j];
      levels[j * wide + i] = plain(strokes, imagePoint(u + 0.5, v + 0.5))
        ? levelAt(strokes, ground, u + 0.5, v + 0.5)
        : coveredLevel(strokes, ground, u, v);
    }
  }
  const soft = blurred(levels, wide, ground.blurPx ?? 0);
  const data = new Uint8Array(side * side);
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < side; i++) {
      const level = soft[(j + margin) * wide + i + margin]! + (ground.noise ? gauss(ground.noise) : 0);
      data[j * side + i] = Math.max(0, Math.min(255, Math.round(level)));
    }
  }
  return { leftPx, topPx, widthPx: side, heightPx: side, data };
}

/** Whether no edge of a stroke, nor the middle of the first where grass changes, can pass through a pixel. */
function plain(strokes: readonly Stroke[], middle: ImagePoint): boolean {
  return strokes.every((stroke, i) => {
    const off = Math.abs(offStroke(stroke, middle));
    const end = stroke.endsAtPx === undefined || Math.abs(alongStroke(stroke, middle) - stroke.endsAtPx) > 1;
    return end && Math.abs(off - stroke.widthPx / 2) > 1 && (i > 0 || off > 1);
  });
}

function coveredLevel(strokes: readonly Stroke[], ground: Ground, u: number, v: number): number {
  let sum = 0;
  for (let s = 0; s < samples * samples; s++) {
    sum += levelAt(strokes, ground, u + ((s % samples) + 0.5) / samples, v + (Math.floor(s / samples) + 0.5) / samples);
  }
  return sum / samples ** 2;
}

function alongStroke({ at, angleRadians }: Stroke, { uPx, vPx }: ImagePoint): number {
  return (uPx - at.uPx) * Math.cos(angleRadians) + (vPx - at.vPx) * Math.sin(angleRadians);
}

function gauss({ random, sigma }: { readonly random: Random; readonly sigma: number }): number {
  return sigma * random.normal();
}

/** Distance of a point from a stroke's middle along its normal. */
export function offStroke({ at, angleRadians }: Stroke, point: ImagePoint): number {
  return (point.vPx - at.vPx) * Math.cos(angleRadians) - (point.uPx - at.uPx) * Math.sin(angleRadians);
}

function levelAt(strokes: readonly Stroke[], ground: Ground, u: number, v: number): number {
  const point = imagePoint(u, v);
  for (const stroke of strokes) {
    if (
      Math.abs(offStroke(stroke, point)) < stroke.widthPx / 2 &&
      alongStroke(stroke, point) < (stroke.endsAtPx ?? Infinity)
    )
      return ground.paint;
  }
  const first = strokes[0];
  return first === undefined || offStroke(first, point) >= 0 ? ground.grass : (ground.otherGrass ?? ground.grass);
}

function blurred(levels: Float64Array, wide: number, sigmaPx: number): Float64Array {
  if (sigmaPx === 0) return levels;
  const reach = Math.ceil(3 * sigmaPx);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-((k - reach) ** 2) / (2 * sigmaPx ** 2)));
  const total = kernel.reduce((sum, weight) => sum + weight, 0);
  const pass = (from: Float64Array, step: number): Float64Array => {
    const to = new Float64Array(from.length);
    for (let i = 0; i < from.length; i++) {
      const place = step === 1 ? i % wide : Math.floor(i / wide);
      let sum = 0;
      for (let k = -reach; k <= reach; k++) {
        const moved = Math.max(0, Math.min(wide - 1, place + k)) - place;
        sum += kernel[k + reach]! * from[i + moved * step]!;
      }
      to[i] = sum / total;
    }
    return to;
  };
  return pass(pass(levels, 1), wide);
}
