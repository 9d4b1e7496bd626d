import { type Homography, fieldPerImage } from "./homography.ts";
import type { FieldPoint, ImagePoint } from "./units.ts";

/**
 * What is not known about a homography.
 *
 * The chart: H(δ) = H + Σ δₖ Bₖ with eight numbers δ of mean 0. `basis` holds the nine entries of each Bₖ, row by row
 * of H, as a 9 × 8 table (entry i of Bₖ at i * 8 + k); `matrix` is the 8 × 8 covariance of δ, row by row. The Bₖ are
 * orthonormal across H in the solver's normalised coordinates, so δ is of the order of the relative error of H. Scaled
 * by max(1, χ²/dof) already.
 */
export type HomographyCovariance = { readonly basis: readonly number[]; readonly matrix: readonly number[] };

/** Pixels squared. */
export type ImageCovariance = { readonly uu: number; readonly uv: number; readonly vv: number };

/** Yards squared. */
export type FieldCovariance = { readonly xx: number; readonly xy: number; readonly yy: number };

/** Error, in the image, of where the survey projects a field point: J S Jᵀ, first order in H. */
export function projectionCovariance(h: Homography, covariance: HomographyCovariance, at: FieldPoint): ImageCovariance {
  const { basis, matrix } = covariance;
  const { xYards: x, yYards: y } = at;
  const w = h[6] * x + h[7] * y + h[8];
  const u = (h[0] * x + h[1] * y + h[2]) / w;
  const v = (h[3] * x + h[4] * y + h[5]) / w;
  const du = new Float64Array(8);
  const dv = new Float64Array(8);
  for (let k = 0; k < 8; k++) {
    const dw = basis[48 + k]! * x + basis[56 + k]! * y + basis[64 + k]!;
    du[k] = (basis[k]! * x + basis[8 + k]! * y + basis[16 + k]! - u * dw) / w;
    dv[k] = (basis[24 + k]! * x + basis[32 + k]! * y + basis[40 + k]! - v * dw) / w;
  }
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (let i = 0; i < 8; i++) {
    let su = 0;
    let sv = 0;
    for (let j = 0; j < 8; j++) {
      const s = matrix[i * 8 + j]!;
      su += s * du[j]!;
      sv += s * dv[j]!;
    }
    uu += du[i]! * su;
    uv += du[i]! * sv;
    vv += dv[i]! * sv;
  }
  return { uu, uv, vv };
}

/** A circular click error added to the survey's own error at the same place. */
export function addClick(covariance: ImageCovariance, sigmaPx: number): ImageCovariance {
  const variance = sigmaPx * sigmaPx;
  return { uu: covariance.uu + variance, uv: covariance.uv, vv: covariance.vv + variance };
}

/** The image error at a click carried to the ground, first order. Lopsided errors of a low camera need the region. */
export function groundCovariance(inverse: Homography, at: ImagePoint, image: ImageCovariance): FieldCovariance {
  const j = fieldPerImage(inverse, at);
  const xu = j.xx * image.uu + j.xy * image.uv;
  const xv = j.xx * image.uv + j.xy * image.vv;
  const yu = j.yx * image.uu + j.yy * image.uv;
  const yv = j.yx * image.uv + j.yy * image.vv;
  return { xx: xu * j.xx + xv * j.xy, xy: xu * j.yx + xv * j.yy, yy: yu * j.yx + yv * j.yy };
}
