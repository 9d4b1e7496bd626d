import type { LookRule } from "../mechanics/watch-rules.ts";
import { gather, type GatheredIntervals, gatheredIntervals, halfWidth, unionLength } from "./angular-intervals.ts";

/**
 * How well one eye sees two bodies, term by term. Bodies are discs of one radius on the ground; every term has a credit
 * from 0 to 1, and the quality of the look is their product.
 */
export type LookTerms = {
  /** Between the line of sight to midway and the line through the two, 0 to 90; 90 for a player who is alone. */
  angleDegrees: number;
  angleCredit: number;
  /**
   * Seen between the two bodies; below 0 they overlap. Its credit is the share of the further body that the nearer one
   * leaves in sight. Two marks closer than two bodies are bodies that touch. 0 and full for a player who is alone.
   */
  gapDegrees: number;
  gapCredit: number;
  /** Share of the pair and the space between them that no other body hides. */
  clearShare: number;
  /** To midway between the two. */
  rangeYards: number;
  rangeCredit: number;
  /** Between the way faced and the line of sight; null where the facing is unknown, which takes nothing off. */
  facingDegrees: number | null;
  facingCredit: number;
  quality: number;
};

/** Everybody who can hide somebody: where they stand at one reading of the marks. */
export type Bodies = { readonly x: Float64Array; readonly y: Float64Array };

/** One official's place, which of the bodies is their own, and the way they face as a vector, null when unknown. */
export type Eye = {
  x: number;
  y: number;
  readonly self: number;
  facingX: number;
  facingY: number;
  readonly facingKnown: boolean;
};

/** The two bodies of a matter by their index; `b` is -1 for a player who is alone. */
export type Pair = { readonly a: number; readonly b: number };

/** Every body from one eye: yards from it along x and y, and the distance. */
export type Sight = {
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly away: Float64Array;
  readonly hidden: GatheredIntervals;
};

export function sightOf(bodies: number): Sight {
  const numbers = () => new Float64Array(bodies);
  return {
    dx: numbers(),
    dy: numbers(),
    away: numbers(),
    hidden: gatheredIntervals(bodies),
  };
}

export function takeSight(into: Sight, eye: Eye, { x, y }: Bodies): void {
  const { dx, dy, away } = into;
  for (let i = 0; i < x.length; i++) {
    const alongX = x[i]! - eye.x;
    const alongY = y[i]! - eye.y;
    dx[i] = alongX;
    dy[i] = alongY;
    away[i] = Math.sqrt(alongX * alongX + alongY * alongY);
  }
}

const degrees = 180 / Math.PI;

/** 0 below `none`, 1 from `full` on, evenly between; downward when `none` is the greater. */
export function ramp(value: number, none: number, full: number): number {
  if (none === full) return value >= full ? 1 : 0;
  return Math.min(1, Math.max(0, (value - none) / (full - none)));
}

/** Range, facing and angle, which need only the pair: written into `terms`. */
export function takeOpenTerms(terms: LookTerms, eye: Eye, { dx, dy }: Sight, { a, b }: Pair, rule: LookRule): void {
  const ax = dx[a]!;
  const ay = dy[a]!;
  const bx = b < 0 ? ax : dx[b]!;
  const by = b < 0 ? ay : dy[b]!;
  const midX = (ax + bx) / 2;
  const midY = (ay + by) / 2;
  terms.rangeYards = Math.sqrt(midX * midX + midY * midY);
  const { none, from, to, lost } = rule.rangeYards;
  terms.rangeCredit = ramp(terms.rangeYards, none, from) * ramp(terms.rangeYards, lost, to);
  takeFacing(terms, eye, midX, midY, rule);
  if (b < 0) {
    terms.angleDegrees = 90;
    terms.angleCredit = 1;
    return;
  }
  const alongX = bx - ax;
  const alongY = by - ay;
  const cross = Math.abs(midX * alongY - midY * alongX);
  const dot = Math.abs(midX * alongX + midY * alongY);
  terms.angleDegrees = Math.atan2(cross, dot) * degrees;
  terms.angleCredit = ramp(terms.angleDegrees, rule.angleDegrees.none, rule.angleDegrees.full);
}

/** The gap between the two: written into `terms`. */
export function takeGap(terms: LookTerms, { dx, dy }: Sight, { a, b }: Pair, bodyRadiusYards: number): void {
  if (b < 0) {
    terms.gapDegrees = 0;
    terms.gapCredit = 1;
    return;
  }
  const ax = dx[a]!;
  const ay = dy[a]!;
  const bx = dx[b]!;
  const by = dy[b]!;
  const radius = Math.min(bodyRadiusYards, Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay)) / 2);
  const toA = Math.sqrt(ax * ax + ay * ay);
  const toB = Math.sqrt(bx * bx + by * by);
  const halfA = halfWidth(toA, radius);
  const halfB = halfWidth(toB, radius);
  const gap = Math.atan2(Math.abs(ax * by - ay * bx), ax * bx + ay * by) - halfA - halfB;
  const further = toA > toB ? halfA : halfB;
  terms.gapDegrees = gap * degrees;
  terms.gapCredit = gap >= 0 || further === 0 ? 1 : Math.max(0, 1 + gap / (2 * further));
}

function takeFacing(terms: LookTerms, eye: Eye, midX: number, midY: number, rule: LookRule): void {
  if (!eye.facingKnown) {
    terms.facingDegrees = null;
    terms.facingCredit = 1;
    return;
  }
  const cross = Math.abs(eye.facingX * midY - eye.facingY * midX);
  const off = Math.atan2(cross, eye.facingX * midX + eye.facingY * midY) * degrees;
  terms.facingDegrees = off;
  terms.facingCredit = ramp(off, rule.attentionDegrees.none, rule.attentionDegrees.full);
}

/** A rule's angles as what their tangents and cosines are, for looks that are only counted. */
export type LookLimits = {
  readonly rule: LookRule;
  readonly angleTanNone: number;
  readonly angleTanFull: number;
  readonly facingCosFull: number;
  readonly facingCosNone: number;
};

export function limitsOf(rule: LookRule): LookLimits {
  return {
    rule,
    angleTanNone: Math.tan(rule.angleDegrees.none / degrees),
    angleTanFull: Math.tan(rule.angleDegrees.full / degrees),
    facingCosFull: Math.cos(rule.attentionDegrees.full / degrees),
    facingCosNone: Math.cos(rule.attentionDegrees.none / degrees),
  };
}

/**
 * The product of the credits for angle, range, facing and gap: the same as `takeOpenTerms` and `takeGap` find, but for
 * rounding, with no more trigonometry than it takes. −1 where nothing is left of the angle.
 */
export function openCredit(eye: Eye, sight: Sight, pair: Pair, limits: LookLimits): number {
  const { dx, dy } = sight;
  const { a, b } = pair;
  const { rule } = limits;
  const ax = dx[a]!;
  const ay = dy[a]!;
  const bx = b < 0 ? ax : dx[b]!;
  const by = b < 0 ? ay : dy[b]!;
  const midX = (ax + bx) / 2;
  const midY = (ay + by) / 2;
  const alongX = bx - ax;
  const alongY = by - ay;
  let credit = 1;
  if (b >= 0) {
    const cross = Math.abs(midX * alongY - midY * alongX);
    const dot = Math.abs(midX * alongX + midY * alongY);
    if (cross <= limits.angleTanNone * dot) return -1;
    if (cross < limits.angleTanFull * dot) {
      credit = ramp(Math.atan2(cross, dot) * degrees, rule.angleDegrees.none, rule.angleDegrees.full);
    }
  }
  const range = Math.sqrt(midX * midX + midY * midY);
  credit *=
    ramp(range, rule.rangeYards.none, rule.rangeYards.from) * ramp(range, rule.rangeYards.lost, rule.rangeYards.to);
  if (credit > 0 && eye.facingKnown) {
    const along = eye.facingX * midX + eye.facingY * midY;
    const faced = range * Math.sqrt(eye.facingX * eye.facingX + eye.facingY * eye.facingY);
    if (along <= limits.facingCosNone * faced) return 0;
    if (along < limits.facingCosFull * faced) {
      const cross = Math.abs(eye.facingX * midY - eye.facingY * midX);
      credit *= ramp(Math.atan2(cross, along) * degrees, rule.attentionDegrees.none, rule.attentionDegrees.full);
    }
  }
  if (credit > 0 && b >= 0) credit *= gapCredit(sight, pair, rule.bodyRadiusYards);
  return credit;
}

function gapCredit({ dx, dy, away }: Sight, { a, b }: Pair, bodyRadiusYards: number): number {
  const ax = dx[a]!;
  const ay = dy[a]!;
  const bx = dx[b]!;
  const by = dy[b]!;
  const radius = Math.min(bodyRadiusYards, Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay)) / 2);
  const toA = away[a]!;
  const toB = away[b]!;
  const cross = Math.abs(ax * by - ay * bx);
  // The sine of a sum is at most the sum of the sines: there is a gap, whatever its width.
  if (cross > radius * (toA + toB)) return 1;
  const halfA = halfWidth(toA, radius);
  const halfB = halfWidth(toB, radius);
  const gap = Math.atan2(cross, ax * bx + ay * by) - halfA - halfB;
  const further = toA > toB ? halfA : halfB;
  return gap >= 0 || further === 0 ? 1 : Math.max(0, 1 + gap / (2 * further));
}

/**
 * The share of the angle that the pair and the space between them take up in which no other body stands in front.
 *
 * A body is in front when the eye is nearer to it than to the point of the pair's own line that is nearest to it: the
 * line halfway between the two then parts the body from the pair, and the eye is on the body's side of it. Exact for a
 * body that stands clear of the pair and of the space between them; one that stands in that space counts by its centre.
 * Only the bodies named are looked at, and of them neither the eye's own nor the pair's.
 */
export function clearShareOf(sight: Sight, eye: Eye, { a, b }: Pair, among: Int32Array, radius: number): number {
  const { dx, dy, away, hidden } = sight;
  const other = b < 0 ? a : b;
  const ax = dx[a]!;
  const ay = dy[a]!;
  const bx = dx[other]!;
  const by = dy[other]!;
  const toA = away[a]!;
  const toB = away[other]!;
  const furthest = toA > toB ? toA : toB;
  const hand = ax * by - ay * bx < 0 ? -1 : 1;
  let low = 0;
  let high = 0;
  hidden.count = 0;
  for (let k = 0; k < among.length; k++) {
    const i = among[k]!;
    const to = away[i]!;
    if (to >= furthest || i === a || i === b || i === eye.self) continue;
    const cx = dx[i]!;
    const cy = dy[i]!;
    // Beyond either edge: sin(p + q) is at most sin p + sin q, so that the discs' half widths cannot make up the angle.
    if (hand * (ay * cx - ax * cy) > radius * (toA + to) && ax * cx + ay * cy > 0) continue;
    if (hand * (bx * cy - by * cx) > radius * (toB + to) && bx * cx + by * cy > 0) continue;
    if (to * to >= nearestSquare(cx, cy, ax, ay, bx, by)) continue;
    if (high === low) {
      const apart = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
      const halfA = halfWidth(toA, radius);
      const halfB = halfWidth(toB, radius);
      low = Math.min(-halfA, apart - halfB);
      high = Math.max(halfA, apart + halfB);
    }
    // Bearings are counted from that of a.
    gather(hidden, low, high, Math.atan2(ax * cy - ay * cx, ax * cx + ay * cy), halfWidth(to, radius));
  }
  return hidden.count === 0 ? 1 : Math.max(0, 1 - unionLength(hidden) / (high - low));
}

/** Square of the eye's distance to the point of the line from a to b that is nearest to c; all counted from the eye. */
function nearestSquare(cx: number, cy: number, ax: number, ay: number, bx: number, by: number): number {
  const alongX = bx - ax;
  const alongY = by - ay;
  const length = alongX * alongX + alongY * alongY;
  const at = length === 0 ? 0 : ((cx - ax) * alongX + (cy - ay) * alongY) / length;
  const t = Math.min(1, Math.max(0, at));
  const nearX = ax + t * alongX;
  const nearY = ay + t * alongY;
  return nearX * nearX + nearY * nearY;
}

export function qualityOf(terms: LookTerms): number {
  return terms.angleCredit * terms.gapCredit * terms.clearShare * terms.rangeCredit * terms.facingCredit;
}

export function blankTerms(): LookTerms {
  return {
    angleDegrees: 0,
    angleCredit: 0,
    gapDegrees: 0,
    gapCredit: 0,
    clearShare: 0,
    rangeYards: 0,
    rangeCredit: 0,
    facingDegrees: null,
    facingCredit: 0,
    quality: 0,
  };
}

/** Every body's index but the eye's own. */
export function everybodyBut(self: number, count: number): Int32Array {
  return Int32Array.from({ length: count }, (_, i) => i).filter((i) => i !== self);
}
