import { type Homography, determinant, invertHomography } from "./homography.ts";
import { linearStart } from "./linear-solve.ts";
import { type Observations, type Sighting, observe } from "./observations.ts";
import { type Workspace, costOf, createWorkspace, keepAll, refine, reflectorOf } from "./refine.ts";
import { invertCholesky } from "./small-linear-algebra.ts";
import type { HomographyCovariance } from "./uncertainty.ts";

export type StakeError = {
  /** Distance of the click to where the survey puts it; for a line the root mean square over its clicks. */
  readonly residualPx: number;
  /**
   * The same after a full solve without this stake (started from the survey, iterated to convergence, not a one-step
   * formula); null when the others alone do not determine the map.
   */
  readonly leaveOneOutPx: number | null;
  /** χ² of the others in that solve; null as above. */
  readonly chiSquareWithout: number | null;
};

export type Solution = {
  readonly homography: Homography;
  readonly inverse: Homography;
  readonly covariance: HomographyCovariance;
  /** Residuals less eight. */
  readonly dof: number;
  readonly chiSquare: number;
  /** √max(1, χ²/dof): what the clicks' sigmas were multiplied by. */
  readonly sigmaScale: number;
  /** Root mean square over clicks: of distances for points, of distances across for clicks on lines. */
  readonly residualRmsPx: number;
  readonly stakes: readonly StakeError[];
  /** Some clicks come out behind the camera: no camera can have seen these stakes so. */
  readonly behind: boolean;
  /** The image is a mirror image of the labelled field. */
  readonly mirrored: boolean;
  readonly iterations: number;
};

export type SolveFailure = "underdetermined" | "no-map";

/** Marquardt's first damping: small, because the linear start is nearly always close. */
const firstDamping = 1e-3;

export function denormalise(o: Observations, m: ArrayLike<number>, scale: number): Homography {
  const { scale: s, x, y } = o.field;
  const t = 1 / o.image.scale;
  const column = (row: number): [number, number, number] => {
    const a = m[row * 3]! * s;
    const b = m[row * 3 + 1]! * s;
    return [a, b, m[row * 3 + 2]! - a * x - b * y];
  };
  const r0 = column(0);
  const r1 = column(1);
  const r2 = column(2);
  const { x: cu, y: cv } = o.image;
  return [
    (r0[0] * t + cu * r2[0]) * scale,
    (r0[1] * t + cu * r2[1]) * scale,
    (r0[2] * t + cu * r2[2]) * scale,
    (r1[0] * t + cv * r2[0]) * scale,
    (r1[1] * t + cv * r2[1]) * scale,
    (r1[2] * t + cv * r2[2]) * scale,
    r2[0] * scale,
    r2[1] * scale,
    r2[2] * scale,
  ];
}

/** Turns h so that most clicks lie in front of the camera; true when all do. */
function orient(o: Observations, h: Float64Array): boolean {
  const d0 = h[3]! * h[7]! - h[4]! * h[6]!;
  const d1 = h[1]! * h[6]! - h[0]! * h[7]!;
  const d2 = h[0]! * h[4]! - h[1]! * h[3]!;
  const det = h[2]! * d0 + h[5]! * d1 + h[8]! * d2;
  let front = 0;
  for (let i = 0; i < o.count; i++) {
    const side =
      o.isLine[i] === 1 ? (d0 * o.u[i]! + d1 * o.v[i]! + d2) * det : h[6]! * o.px[i]! + h[7]! * o.py[i]! + h[8]!;
    if (side > 0) front++;
  }
  if (2 * front < o.count) {
    for (let i = 0; i < 9; i++) h[i] = -h[i]!;
    front = o.count - front;
  }
  return front === o.count;
}

function covarianceOf(
  o: Observations,
  h: Float64Array,
  work: Workspace,
  variance: number,
  scale: number,
): HomographyCovariance {
  const inverse = invertCholesky(work.normal8, 8);
  const matrix = Array.from(inverse, (entry) => entry * variance);
  reflectorOf(h, work.reflector);
  const basis: number[] = Array.from({ length: 72 }, () => 0);
  const direction = new Float64Array(9);
  for (let k = 0; k < 8; k++) {
    for (let i = 0; i < 9; i++) direction[i] = (i === k ? 1 : 0) - work.reflector[i]! * work.reflector[k]!;
    const column = denormalise(o, direction, scale);
    for (let i = 0; i < 9; i++) basis[i * 8 + k] = column[i]!;
  }
  return { basis, matrix };
}

/**
 * The plane map that fits the sightings best: normalised linear start, Levenberg and Marquardt, covariance, and for
 * each stake the error the other stakes predict for it. Pure; takes points and lines together.
 */
export function solveHomography(
  sightings: readonly Sighting[],
): { readonly ok: true; readonly solution: Solution } | { readonly ok: false; readonly failure: SolveFailure } {
  const o = observe(sightings);
  let equations = 0;
  let residuals = 0;
  for (let i = 0; i < o.stakeCount; i++) {
    equations += o.equationsOf[i]!;
    residuals += o.residualsOf[i]!;
  }
  if (equations < 8) return { ok: false, failure: "underdetermined" };

  const h = linearStart(o);
  if (h === null) return { ok: false, failure: "no-map" };
  orient(o, h);
  const work = createWorkspace();
  const refined = refine(o, h, work, keepAll, firstDamping);
  if (!Number.isFinite(refined.cost)) return { ok: false, failure: "no-map" };
  if (!refined.determined) return { ok: false, failure: "underdetermined" };

  const dof = residuals - 8;
  const variance = dof > 0 ? Math.max(1, refined.cost / dof) : 1;
  const lastEntry = h[8]!;
  const inFront = orient(o, h);
  // The factor of JᵀJ belongs to the chart of the h it was made at; a turned h has another chart.
  if (h[8] !== lastEntry) refine(o, h, work, keepAll, 0);
  const scale = h[8]! > 1e-3 ? 1 / h[8]! : 1;
  const homography = denormalise(o, h, scale);
  const det = determinant(homography);
  if (det === 0 || !Number.isFinite(det)) return { ok: false, failure: "no-map" };
  const covariance = covarianceOf(o, h, work, variance, scale);

  const stakes: StakeError[] = [];
  const without = new Float64Array(9);
  let squares = 0;
  for (let i = 0; i < o.stakeCount; i++) {
    const sigmaPx = sightings[i]!.sigmaPx;
    const clicks = sightings[i]!.kind === "point" ? 1 : o.residualsOf[i]!;
    const own = costOf(o, h, i, true);
    squares += own * sigmaPx * sigmaPx;
    const toPx = sigmaPx / Math.sqrt(clicks);
    let leaveOneOutPx: number | null = null;
    let chiSquareWithout: number | null = null;
    if (equations - o.equationsOf[i]! >= 8) {
      without.set(h);
      const rest = refine(o, without, work, i, 0);
      if (rest.determined) {
        leaveOneOutPx = Math.sqrt(costOf(o, without, i, true)) * toPx;
        chiSquareWithout = rest.cost;
      }
    }
    stakes.push({ residualPx: Math.sqrt(own) * toPx, leaveOneOutPx, chiSquareWithout });
  }
  return {
    ok: true,
    solution: {
      homography,
      inverse: invertHomography(homography),
      covariance,
      dof,
      chiSquare: refined.cost,
      sigmaScale: Math.sqrt(variance),
      residualRmsPx: Math.sqrt(squares / o.count),
      stakes,
      behind: !inFront,
      mirrored: det > 0,
      iterations: refined.iterations,
    },
  };
}
