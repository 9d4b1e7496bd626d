import type { Observations } from "./observations.ts";
import { factorCholesky, solveCholesky } from "./small-linear-algebra.ts";

/**
 * Least squares on clicks: residuals in pixels over sigma, minimised over the eight degrees of freedom of a plane map.
 *
 * The map is a unit 9-vector h. Its scale is no degree of freedom, so steps live in the eight directions across h: the
 * first eight columns of the reflection that takes h to ±e9 (Hartley and Zisserman, appendix A6.9.2). No entry of H is
 * fixed to 1, hence no gauge that fails when that entry is near 0.
 */
export type Workspace = {
  /** JᵀJ over the nine entries of h, lower triangle. */
  readonly normal9: Float64Array;
  readonly gradient9: Float64Array;
  /** JᵀJ over the eight directions, full; overwritten by its factor in `refine`. */
  readonly normal8: Float64Array;
  readonly gradient8: Float64Array;
  readonly step: Float64Array;
  readonly trial: Float64Array;
  readonly reflector: Float64Array;
  readonly product: Float64Array;
  readonly blocks: Float64Array;
};

export function createWorkspace(): Workspace {
  return {
    normal9: new Float64Array(81),
    gradient9: new Float64Array(9),
    normal8: new Float64Array(64),
    gradient8: new Float64Array(8),
    step: new Float64Array(9),
    trial: new Float64Array(9),
    reflector: new Float64Array(9),
    product: new Float64Array(9),
    blocks: new Float64Array(24),
  };
}

/** No stake is left out. */
export const keepAll = -1;

/**
 * Signed distance of the click `at` to the projected line, in sigmas, and its gradient over h in `row`.
 *
 * The projected line is l = (H P) × (H Q); with d = (l · x) / |(l1, l2)| the gradient over l is one 3-vector, and the
 * product rule on the cross product gives the rest.
 */
function lineResidual(o: Observations, h: Float64Array, at: number, row: Float64Array | null): number {
  const px = o.px[at]!;
  const py = o.py[at]!;
  const qx = o.qx[at]!;
  const qy = o.qy[at]!;
  const p0 = h[0]! * px + h[1]! * py + h[2]!;
  const p1 = h[3]! * px + h[4]! * py + h[5]!;
  const p2 = h[6]! * px + h[7]! * py + h[8]!;
  const q0 = h[0]! * qx + h[1]! * qy + h[2]!;
  const q1 = h[3]! * qx + h[4]! * qy + h[5]!;
  const q2 = h[6]! * qx + h[7]! * qy + h[8]!;
  const l0 = p1 * q2 - p2 * q1;
  const l1 = p2 * q0 - p0 * q2;
  const l2 = p0 * q1 - p1 * q0;
  const u = o.u[at]!;
  const v = o.v[at]!;
  const weight = o.weight[at]!;
  const inverse = 1 / Math.sqrt(l0 * l0 + l1 * l1);
  const n0 = l0 * inverse;
  const n1 = l1 * inverse;
  const distance = n0 * u + n1 * v + l2 * inverse;
  if (row !== null) {
    const s = inverse * weight;
    const w0 = (u - distance * n0) * s;
    const w1 = (v - distance * n1) * s;
    const w2 = s;
    const gp0 = q1 * w2 - q2 * w1;
    const gp1 = q2 * w0 - q0 * w2;
    const gp2 = q0 * w1 - q1 * w0;
    const gq0 = w1 * p2 - w2 * p1;
    const gq1 = w2 * p0 - w0 * p2;
    const gq2 = w0 * p1 - w1 * p0;
    row[0] = gp0 * px + gq0 * qx;
    row[1] = gp0 * py + gq0 * qy;
    row[2] = gp0 + gq0;
    row[3] = gp1 * px + gq1 * qx;
    row[4] = gp1 * py + gq1 * qy;
    row[5] = gp1 + gq1;
    row[6] = gp2 * px + gq2 * qx;
    row[7] = gp2 * py + gq2 * qy;
    row[8] = gp2 + gq2;
  }
  return distance * weight;
}

/** Sum of squared residuals over the stakes but one, or over that one alone. */
export function costOf(o: Observations, h: Float64Array, leftOut: number, onlyThat = false): number {
  let cost = 0;
  for (let i = 0; i < o.count; i++) {
    if ((o.stakeOf[i] === leftOut) !== onlyThat) continue;
    if (o.isLine[i] === 1) {
      const r = lineResidual(o, h, i, null);
      cost += r * r;
    } else {
      const x = o.px[i]!;
      const y = o.py[i]!;
      const inverse = 1 / (h[6]! * x + h[7]! * y + h[8]!);
      const du = (h[0]! * x + h[1]! * y + h[2]!) * inverse - o.u[i]!;
      const dv = (h[3]! * x + h[4]! * y + h[5]!) * inverse - o.v[i]!;
      const weight = o.weight[i]!;
      cost += (du * du + dv * dv) * weight * weight;
    }
  }
  return cost;
}

/** JᵀJ and Jᵀr over the nine entries at h; returns the cost. Points are summed as 3 × 3 blocks, lines row by row. */
export function linearise(o: Observations, h: Float64Array, leftOut: number, work: Workspace): number {
  const m = work.normal9;
  const g = work.gradient9;
  const row = work.product;
  const blocks = work.blocks;
  m.fill(0);
  g.fill(0);
  blocks.fill(0);
  let cost = 0;
  for (let i = 0; i < o.count; i++) {
    if (o.stakeOf[i] === leftOut) continue;
    if (o.isLine[i] === 1) {
      const r = lineResidual(o, h, i, row);
      cost += r * r;
      for (let a = 0; a < 9; a++) {
        const x = row[a]!;
        g[a]! += x * r;
        for (let b = 0; b <= a; b++) m[a * 9 + b]! += x * row[b]!;
      }
      continue;
    }
    const x = o.px[i]!;
    const y = o.py[i]!;
    const weight = o.weight[i]!;
    const inverse = 1 / (h[6]! * x + h[7]! * y + h[8]!);
    const u = (h[0]! * x + h[1]! * y + h[2]!) * inverse;
    const v = (h[3]! * x + h[4]! * y + h[5]!) * inverse;
    const ru = (u - o.u[i]!) * weight;
    const rv = (v - o.v[i]!) * weight;
    cost += ru * ru + rv * rv;
    const c = inverse * weight;
    const a = x * c;
    const b = y * c;
    const rw = -(ru * u + rv * v);
    g[0]! += ru * a;
    g[1]! += ru * b;
    g[2]! += ru * c;
    g[3]! += rv * a;
    g[4]! += rv * b;
    g[5]! += rv * c;
    g[6]! += rw * a;
    g[7]! += rw * b;
    g[8]! += rw * c;
    const aa = a * a;
    const ba = b * a;
    const bb = b * b;
    const ca = c * a;
    const cb = c * b;
    const cc = c * c;
    const ww = u * u + v * v;
    blocks[0]! += aa;
    blocks[1]! += ba;
    blocks[2]! += bb;
    blocks[3]! += ca;
    blocks[4]! += cb;
    blocks[5]! += cc;
    blocks[6]! += u * aa;
    blocks[7]! += u * ba;
    blocks[8]! += u * bb;
    blocks[9]! += u * ca;
    blocks[10]! += u * cb;
    blocks[11]! += u * cc;
    blocks[12]! += v * aa;
    blocks[13]! += v * ba;
    blocks[14]! += v * bb;
    blocks[15]! += v * ca;
    blocks[16]! += v * cb;
    blocks[17]! += v * cc;
    blocks[18]! += ww * aa;
    blocks[19]! += ww * ba;
    blocks[20]! += ww * bb;
    blocks[21]! += ww * ca;
    blocks[22]! += ww * cb;
    blocks[23]! += ww * cc;
  }
  // Lower triangle by 3 × 3 blocks: the u and v rows share one block, the last row couples through −u and −v.
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      const hi = i > j ? i : j;
      const lo = i > j ? j : i;
      const k = hi === 0 ? 0 : hi === 1 ? 1 + lo : 3 + lo;
      m[i * 9 + j]! += blocks[k]!;
      m[(3 + i) * 9 + 3 + j]! += blocks[k]!;
      m[(6 + i) * 9 + j]! -= blocks[6 + k]!;
      m[(6 + i) * 9 + 3 + j]! -= blocks[12 + k]!;
      m[(6 + i) * 9 + 6 + j]! += blocks[18 + k]!;
    }
  }
  return cost;
}

/** The reflection vector for h, scaled so that the reflection is I − v vᵀ. */
export function reflectorOf(h: Float64Array, out: Float64Array): void {
  const toward = h[8]! < 0 ? -1 : 1;
  const scale = 1 / Math.sqrt(1 + toward * h[8]!);
  for (let i = 0; i < 9; i++) out[i] = h[i]! * scale;
  out[8] = (h[8]! + toward) * scale;
}

/** normal8 and gradient8 from normal9 and gradient9: the leading 8 × 8 part of R M R and of R g. */
function reduce(work: Workspace): void {
  const { normal9: m, gradient9: g, normal8: n, gradient8: b, reflector: v, product: p } = work;
  let vp = 0;
  let vg = 0;
  for (let i = 0; i < 9; i++) {
    let sum = 0;
    for (let j = 0; j <= i; j++) sum += m[i * 9 + j]! * v[j]!;
    for (let j = i + 1; j < 9; j++) sum += m[j * 9 + i]! * v[j]!;
    p[i] = sum;
    vp += v[i]! * sum;
    vg += v[i]! * g[i]!;
  }
  for (let i = 0; i < 9; i++) p[i]! -= 0.5 * vp * v[i]!;
  for (let i = 0; i < 8; i++) {
    b[i] = g[i]! - vg * v[i]!;
    for (let j = 0; j <= i; j++) n[i * 8 + j] = m[i * 9 + j]! - p[i]! * v[j]! - v[i]! * p[j]!;
  }
}

export type Refined = {
  readonly cost: number;
  readonly iterations: number;
  /** False when the stakes kept do not determine the map. */
  readonly determined: boolean;
};

/** Share of a diagonal entry below which the normal matrix counts as rank-deficient; exact deficiency gives ~1e-16. */
const deficientPivot = 1e-13;

/**
 * Levenberg and Marquardt from h, in place, without the stake `leftOut`. Ends when the step no longer changes h; the
 * cost of the answer is a minimum to rounding. `work.normal8` holds the factor of JᵀJ at the answer.
 */
export function refine(o: Observations, h: Float64Array, work: Workspace, leftOut: number, damping: number): Refined {
  const { normal8, gradient8, reflector, step, trial } = work;
  let lambda = damping;
  let cost = linearise(o, h, leftOut, work);
  let iterations = 0;
  let settled = false;
  for (;;) {
    reflectorOf(h, reflector);
    reduce(work);
    if (settled || iterations >= 60) break;
    iterations++;
    if (lambda > 0) for (let i = 0; i < 8; i++) normal8[i * 9]! *= 1 + lambda;
    if (factorCholesky(normal8, 8) === 0) {
      lambda = lambda === 0 ? 1e-4 : lambda * 10;
      continue;
    }
    for (let i = 0; i < 8; i++) step[i] = -gradient8[i]!;
    solveCholesky(normal8, step, 8);
    step[8] = 0;
    let along = 0;
    let size = 0;
    for (let i = 0; i < 8; i++) {
      along += reflector[i]! * step[i]!;
      size += step[i]! * step[i]!;
    }
    if (!Number.isFinite(size)) return { cost, iterations, determined: false };
    const shrink = 1 / Math.sqrt(1 + size);
    for (let i = 0; i < 9; i++) trial[i] = (h[i]! + step[i]! - along * reflector[i]!) * shrink;
    const trialCost = costOf(o, trial, leftOut);
    if (trialCost <= cost) {
      h.set(trial);
      // The remaining error after a step this small is below rounding: Gauss and Newton converge at least linearly.
      settled = size < 1e-20 || (size < 1e-12 && cost - trialCost <= 1e-15 * cost);
      lambda = lambda < 1e-6 ? 0 : lambda * 0.02;
      cost = linearise(o, h, leftOut, work);
    } else if (size < 1e-20 || trialCost - cost <= 1e-14 * cost) {
      settled = true;
    } else {
      lambda = lambda === 0 ? 1e-4 : lambda * 10;
      if (lambda > 1e12) settled = true;
    }
  }
  const determined = factorCholesky(normal8, 8) >= deficientPivot;
  return { cost, iterations, determined };
}
