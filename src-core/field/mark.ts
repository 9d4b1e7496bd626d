import { type Homography, projectThroughInverse } from "./homography.ts";
import { straighten, straightenedSigma } from "./lens.ts";
import { principalAxes } from "./small-linear-algebra.ts";
import type { Survey } from "./survey.ts";
import {
  type FieldCovariance,
  type ImageCovariance,
  addClick,
  groundCovariance,
  projectionCovariance,
} from "./uncertainty.ts";
import { type FieldPoint, type ImagePoint, imagePoint } from "./units.ts";

export const defaultMarkSigmaPx = 2;

/** How far outside the field's own rectangle a person can still be measured: benches and officials stand there. */
export const markMarginYards = 15;

/** 95 % point of χ² with 2 degrees of freedom: −2 ln 0.05. */
export const chiSquare95 = -2 * Math.log(0.05);

const regionCorners = 48;

export type MarkClick = { readonly click: ImagePoint; readonly sigmaPx: number };

export type MeasuredMark = {
  readonly click: ImagePoint;
  readonly position: FieldPoint;
  /** Click and survey together, first order, on the ground. */
  readonly covariance: FieldCovariance;
  /** Click and survey together, at the click. */
  readonly imageCovariance: ImageCovariance;
  /** Boundary of the 95 % region on the ground: the pre-image of the image-space ellipse, a closed convex polygon. */
  readonly region: readonly FieldPoint[];
  /** One standard deviation along the field and across it, yards. */
  readonly sdAlongX: number;
  readonly sdAlongY: number;
  /** One standard deviation in the worst direction, yards. */
  readonly semiMajorYards: number;
  /** Image to field, of the survey that measured this. */
  readonly inverse: Homography;
};

export type MarkRefusal = "above-horizon" | "near-horizon" | "outside-field";

export type MarkResult =
  | ({ readonly ok: true } & MeasuredMark)
  | { readonly ok: false; readonly reason: MarkRefusal; readonly message: string };

function refuse(reason: MarkRefusal, message: string): MarkResult {
  return { ok: false, reason, message };
}

/**
 * Where a click stands on the field, with the error that the click and the survey give it.
 *
 * In the image the error is close to normal; on the ground, far from a low camera, it is long and lopsided. The 95 %
 * region is therefore the ground pre-image of the image ellipse, and `covariance` only the first-order summary.
 */
export function measureMark(survey: Survey, mark: MarkClick): MarkResult {
  const { lens, image } = survey;
  const click = lens ? straighten(lens, image, mark.click) : mark.click;
  const sigmaPx = lens ? straightenedSigma(lens, image, mark.click, mark.sigmaPx) : mark.sigmaPx;
  const position = projectThroughInverse(survey.inverse, click);
  if (position === null) {
    return refuse("above-horizon", "This click is above the horizon. Click on the ground, between the feet.");
  }
  const { lengthYards, widthYards } = survey.field;
  const outsideX = Math.max(-position.xYards, position.xYards - lengthYards);
  const outsideY = Math.max(-position.yYards, position.yYards - widthYards);
  const outside = Math.max(outsideX, outsideY);
  if (!(outside <= markMarginYards)) {
    const far = outside > 999 ? "far" : `${Math.round(outside)} yd`;
    return refuse(
      "outside-field",
      `This click lands ${far} outside the field; marks are measured up to ${markMarginYards} yd outside it. ` +
        "Click on the ground, between the feet.",
    );
  }
  const imageCovariance = addClick(projectionCovariance(survey.homography, survey.covariance, position), sigmaPx);
  const region = regionOf(survey.inverse, click, imageCovariance);
  if (region === null) {
    return refuse(
      "near-horizon",
      "This click is so close to the horizon that its distance cannot be told. Add stakes on the far side, or leave " +
        "this mark out.",
    );
  }
  const covariance = groundCovariance(survey.inverse, click, imageCovariance);
  return {
    ok: true,
    click,
    position,
    covariance,
    imageCovariance,
    region,
    sdAlongX: Math.sqrt(covariance.xx),
    sdAlongY: Math.sqrt(covariance.yy),
    semiMajorYards: Math.sqrt(principalAxes(covariance.xx, covariance.xy, covariance.yy).major),
    inverse: survey.inverse,
  };
}

/** Lower factor of a 2 × 2 covariance. */
function factor(c: ImageCovariance): { readonly uu: number; readonly vu: number; readonly vv: number } {
  const uu = Math.sqrt(c.uu);
  const vu = c.uv / uu;
  return { uu, vu, vv: Math.sqrt(Math.max(0, c.vv - vu * vu)) };
}

/** Null when the ellipse reaches the horizon, where its pre-image has no bound. */
function regionOf(inverse: Homography, click: ImagePoint, covariance: ImageCovariance): FieldPoint[] | null {
  const l = factor(covariance);
  const radius = Math.sqrt(chiSquare95);
  const down = (along: number, across: number): FieldPoint | null =>
    projectThroughInverse(inverse, imagePoint(click.uPx + l.uu * along, click.vPx + l.vu * along + l.vv * across));
  // The ellipse's own point nearest the horizon, not only the polygon's corners, must be on the ground side.
  const along = inverse[6] * l.uu + inverse[7] * l.vu;
  const across = inverse[7] * l.vv;
  const s = inverse[6] * click.uPx + inverse[7] * click.vPx + inverse[8];
  if (!(s > radius * Math.hypot(along, across) * 1.0001)) return null;
  const boundary: FieldPoint[] = [];
  for (let i = 0; i < regionCorners; i++) {
    const angle = (2 * Math.PI * i) / regionCorners;
    const point = down(radius * Math.cos(angle), radius * Math.sin(angle));
    if (point === null) return null;
    boundary.push(point);
  }
  return boundary;
}

/** Whether a field point lies in the mark's 95 % region, by the ellipse itself and not by its polygon. */
export function regionHolds(homography: Homography, mark: MeasuredMark, point: FieldPoint): boolean {
  const { xYards: x, yYards: y } = point;
  const w = homography[6] * x + homography[7] * y + homography[8];
  if (!(w > 0)) return false;
  const du = (homography[0] * x + homography[1] * y + homography[2]) / w - mark.click.uPx;
  const dv = (homography[3] * x + homography[4] * y + homography[5]) / w - mark.click.vPx;
  const { uu, uv, vv } = mark.imageCovariance;
  return (vv * du * du - 2 * uv * du * dv + uu * dv * dv) / (uu * vv - uv * uv) <= chiSquare95;
}

/** A sample beyond the horizon is drawn back to this share of the way from the click to it. */
const towardHorizon = 0.98;

/**
 * Where the mark may really stand: image-space normal samples mapped to the ground.
 *
 * `normals` holds pairs of independent normals; the answer holds x, y in yards for each pair, in the same order. A
 * sample past the horizon (never inside the 95 % region) is drawn back along its own ray, so every sample is finite.
 */
export function sampleMark(mark: MeasuredMark, normals: Float64Array): Float64Array {
  const out = new Float64Array(normals.length);
  const m = mark.inverse;
  const l = factor(mark.imageCovariance);
  const { uPx: u, vPx: v } = mark.click;
  const s = m[6] * u + m[7] * v + m[8];
  for (let i = 0; i + 1 < normals.length; i += 2) {
    let du = l.uu * normals[i]!;
    let dv = l.vu * normals[i]! + l.vv * normals[i + 1]!;
    const change = m[6] * du + m[7] * dv;
    if (s + change < (1 - towardHorizon) * s) {
      const shrink = (-towardHorizon * s) / change;
      du *= shrink;
      dv *= shrink;
    }
    const a = u + du;
    const b = v + dv;
    const w = m[6] * a + m[7] * b + m[8];
    out[i] = (m[0] * a + m[1] * b + m[2]) / w;
    out[i + 1] = (m[3] * a + m[4] * b + m[5]) / w;
  }
  return out;
}
