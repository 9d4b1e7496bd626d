import { type ImageSize, estimateCamera } from "../field/camera.ts";
import { type Homography, determinant, invertHomography, multiplyHomographies } from "../field/homography.ts";
import { straighten } from "../field/lens.ts";
import { factorCholesky } from "../field/small-linear-algebra.ts";
import type { Survey } from "../field/survey.ts";
import type { HomographyCovariance } from "../field/uncertainty.ts";
import { imagePoint } from "../field/units.ts";
import { horizonOf, visibleField } from "../field/visible-field.ts";
import { type CarriedFrame, mapOf, rectangleTo, referencePoints } from "./carried-frame.ts";
import { invertDense, multiplyDense, throughLinear } from "./dense-inverse.ts";

/**
 * The survey of a frame that was carried to, from its anchor's: the anchor's map followed by the carry's, with both
 * errors. It has no stakes of its own. Through a lens that bends, the carry's four points are straightened first, as the
 * anchor's map is of straightened pixels. Null when the two leave nothing that a camera could see (a damaged carry).
 */
export function carriedSurvey(anchor: Survey, frame: CarriedFrame): Survey | null {
  const map = straightMap(anchor, frame);
  const homography = multiplyHomographies(map, anchor.homography);
  if (!sound(homography)) return null;
  const basis = basisThrough(map, anchor.covariance.basis);
  // How the eight numbers of the chart move the anchor's reference points in this frame, and back.
  const points = multiplyToColumns(anchor.inverse, quarters(anchor.image));
  const toCorners = movesOf(homography, basis, points);
  const fromCorners = invertDense(toCorners, 8);
  if (fromCorners === null) return null;
  const own = throughLinear(fromCorners, frame.covariance, 8);
  const matrix = Array.from(own, (entry, i) => entry + anchor.covariance.matrix[i]!);
  return surveyWith(anchor, homography, { basis, matrix });
}

function straightMap({ lens, image }: Survey, frame: CarriedFrame): Homography {
  if (!lens) return mapOf(frame, image);
  const straightened = (places: readonly number[]): number[] => {
    const out: number[] = [];
    for (let k = 0; k < 8; k += 2) {
      const { uPx, vPx } = straighten(lens, image, imagePoint(places[k]!, places[k + 1]!));
      out.push(uPx, vPx);
    }
    return out;
  };
  const square = { left: 0, top: 0, right: 1, bottom: 1 };
  const from = rectangleTo(square, straightened(referencePoints(image)));
  return multiplyHomographies(rectangleTo(square, straightened(frame.corners)), invertHomography(from));
}

/**
 * What part of two carries' errors is taken to be one and the same: both were laid over this frame's own picture, and
 * what an encoder did to it misleads them alike.
 */
const sharedPart = 0.5;
/** Added to each variance before it is inverted, px²: a survey known exactly has none. */
const leastVariance = 1e-8;

/**
 * One survey of a frame that was carried to from both sides, weighed by what each knows, at the four corners of the
 * picture's part that shows the field. Where the two differ by more than they say, the error grows to match.
 */
export function blendSurveys(a: Survey, b: Survey): Survey {
  const rectangle = fieldRectangle(a);
  const places = [
    rectangle.left,
    rectangle.top,
    rectangle.right,
    rectangle.top,
    rectangle.right,
    rectangle.bottom,
    rectangle.left,
    rectangle.bottom,
  ];
  const points = multiplyToColumns(a.inverse, places);
  const placesB = imagesOf(b.homography, points);
  const ca = throughLinear(movesOf(a.homography, a.covariance.basis, points), a.covariance.matrix, 8);
  const cb = throughLinear(movesOf(b.homography, b.covariance.basis, points), b.covariance.matrix, 8);
  for (let i = 0; i < 8; i++) {
    ca[9 * i]! += leastVariance;
    cb[9 * i]! += leastVariance;
  }
  const sumInverse = invertDense(
    ca.map((entry, i) => entry + cb[i]!),
    8,
  );
  if (sumInverse === null) return a;
  const towardB = multiplyDense(ca, sumInverse, 8);
  const towardA = towardB.map((entry, i) => (i % 9 === 0 ? 1 : 0) - entry);
  const difference = placesB.map((place, i) => place - places[i]!);
  const blended = places.map((place, i) => {
    let sum = place;
    for (let j = 0; j < 8; j++) sum += towardB[8 * i + j]! * difference[j]!;
    return sum;
  });
  let square = 0;
  for (let i = 0; i < 8; i++) {
    for (let j = 0; j < 8; j++) square += difference[i]! * sumInverse[8 * i + j]! * difference[j]!;
  }
  const covariance = blendedCovariance(ca, cb, towardA, towardB);
  const growth = Math.max(1, square / 8);

  const map = rectangleTo(rectangle, blended);
  const homography = multiplyHomographies(map, a.homography);
  const basis = basisThrough(map, a.covariance.basis);
  const toPlaces = invertDense(movesOf(homography, basis, points), 8);
  if (toPlaces === null || !sound(homography)) return a;
  const matrix = Array.from(throughLinear(toPlaces, covariance, 8), (entry) => entry * growth);
  return surveyWith(a, homography, { basis, matrix });
}

/** Of a weighted mean A x + B y whose two errors share a part. */
function blendedCovariance(ca: Float64Array, cb: Float64Array, a: Float64Array, b: Float64Array): Float64Array {
  const own = throughLinear(a, ca, 8);
  const other = throughLinear(b, cb, 8);
  const cross = multiplyDense(multiplyDense(a, rootsProduct(ca, cb), 8), transposed(b), 8);
  return own.map((entry, i) => entry + other[i]! + sharedPart * (cross[i]! + cross[8 * (i % 8) + Math.floor(i / 8)]!));
}

/** L Mᵀ for the lower factors of two covariances: what their errors would share were they one in all. */
function rootsProduct(ca: Float64Array, cb: Float64Array): Float64Array {
  const [l, m] = [ca, cb].map((c) => {
    const root = c.slice();
    factorCholesky(root, 8);
    return root.map((entry, i) => (i % 8 > Math.floor(i / 8) ? 0 : entry));
  }) as [Float64Array, Float64Array];
  return multiplyDense(l, transposed(m), 8);
}

const transposed = (m: Float64Array): Float64Array => m.map((_, i) => m[8 * (i % 8) + Math.floor(i / 8)]!);

function surveyWith(anchor: Survey, homography: Homography, covariance: HomographyCovariance): Survey {
  const { field, image } = anchor;
  const inverse = invertHomography(homography);
  return {
    ...anchor,
    homography,
    inverse,
    covariance,
    stakes: [],
    visible: visibleField(homography, field, image),
    horizon: horizonOf(inverse),
    camera: estimateCamera(homography, image, covariance),
    warnings: [],
  };
}

function sound(h: Homography): boolean {
  const det = determinant(h);
  return Number.isFinite(det) && det !== 0;
}

/** Each of a chart's directions, followed by a map. */
function basisThrough(map: Homography, basis: readonly number[]): number[] {
  const out: number[] = Array.from({ length: 72 }, () => 0);
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 3; column++) {
      for (let k = 0; k < 8; k++) {
        let sum = 0;
        for (let i = 0; i < 3; i++) sum += map[(3 * row + i) as 0] * basis[(3 * i + column) * 8 + k]!;
        out[(3 * row + column) * 8 + k] = sum;
      }
    }
  }
  return out;
}

function quarters({ widthPx, heightPx }: ImageSize): number[] {
  const [left, right] = [widthPx / 4, (3 * widthPx) / 4];
  const [top, bottom] = [heightPx / 4, (3 * heightPx) / 4];
  return [left, top, right, top, right, bottom, left, bottom];
}

/** Homogeneous field points (x, y, w) under image points; good above the horizon too, where w is negative. */
function multiplyToColumns(inverse: Homography, places: readonly number[]): number[] {
  const out: number[] = [];
  for (let k = 0; k < 8; k += 2) {
    const u = places[k]!;
    const v = places[k + 1]!;
    for (let row = 0; row < 9; row += 3) {
      out.push(inverse[row as 0] * u + inverse[(row + 1) as 0] * v + inverse[(row + 2) as 0]);
    }
  }
  return out;
}

function imagesOf(h: Homography, points: readonly number[]): number[] {
  const out: number[] = [];
  for (let k = 0; k < 12; k += 3) {
    const [x, y, z] = [points[k]!, points[k + 1]!, points[k + 2]!];
    const w = h[6] * x + h[7] * y + h[8] * z;
    out.push((h[0] * x + h[1] * y + h[2] * z) / w, (h[3] * x + h[4] * y + h[5] * z) / w);
  }
  return out;
}

/** d(u, v of four points) / d(the chart's eight numbers), 8 × 8 row by row, px. */
function movesOf(h: Homography, basis: readonly number[], points: readonly number[]): Float64Array {
  const out = new Float64Array(64);
  for (let k = 0; k < 4; k++) {
    const [x, y, z] = [points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!];
    const w = h[6] * x + h[7] * y + h[8] * z;
    const u = (h[0] * x + h[1] * y + h[2] * z) / w;
    const v = (h[3] * x + h[4] * y + h[5] * z) / w;
    for (let j = 0; j < 8; j++) {
      const part = (row: number): number =>
        basis[24 * row + j]! * x + basis[24 * row + 8 + j]! * y + basis[24 * row + 16 + j]! * z;
      const dw = part(2);
      out[16 * k + j] = (part(0) - u * dw) / w;
      out[16 * k + 8 + j] = (part(1) - v * dw) / w;
    }
  }
  return out;
}

/** The upright rectangle around the visible field's image, held to the picture; its middle half where none is seen. */
function fieldRectangle(survey: Survey): { left: number; top: number; right: number; bottom: number } {
  const { widthPx, heightPx } = survey.image;
  const whole = { left: widthPx / 4, top: heightPx / 4, right: (3 * widthPx) / 4, bottom: (3 * heightPx) / 4 };
  if (survey.visible.length < 3) return whole;
  const places = survey.visible.map(({ xYards: x, yYards: y }) => {
    const h = survey.homography;
    const w = h[6] * x + h[7] * y + h[8];
    return { u: (h[0] * x + h[1] * y + h[2]) / w, v: (h[3] * x + h[4] * y + h[5]) / w };
  });
  const hold = (value: number, most: number): number => Math.min(most, Math.max(0, value));
  const left = hold(Math.min(...places.map(({ u }) => u)), widthPx);
  const right = hold(Math.max(...places.map(({ u }) => u)), widthPx);
  const top = hold(Math.min(...places.map(({ v }) => v)), heightPx);
  const bottom = hold(Math.max(...places.map(({ v }) => v)), heightPx);
  return right - left < widthPx / 8 || bottom - top < heightPx / 16 ? whole : { left, top, right, bottom };
}
