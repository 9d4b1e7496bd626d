import type { LookRule } from "../mechanics/watch-rules.ts";
import {
  gather,
  type GatheredIntervals,
  gatheredIntervals,
  halfWidth,
  unionLength,
  wrapRadians,
} from "./angular-intervals.ts";

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

/** Bearing, distance and half width of every body from one eye. */
export type Bearings = {
  readonly bearing: Float64Array;
  readonly distance: Float64Array;
  readonly half: Float64Array;
  readonly hidden: GatheredIntervals;
};

export function bearingsFor(bodies: number): Bearings {
  return {
    bearing: new Float64Array(bodies),
    distance: new Float64Array(bodies),
    half: new Float64Array(bodies),
    hidden: gatheredIntervals(bodies),
  };
}

export function takeBearings(into: Bearings, eye: Eye, { x, y }: Bodies, radius: number): void {
  for (let i = 0; i < x.length; i++) {
    if (i === eye.self) continue;
    const dx = (x[i] ?? 0) - eye.x;
    const dy = (y[i] ?? 0) - eye.y;
    const distance = Math.sqrt(dx * dx + dy * dy);
    into.distance[i] = distance;
    into.bearing[i] = Math.atan2(dy, dx);
    into.half[i] = halfWidth(distance, radius);
  }
}

const degrees = 180 / Math.PI;

/** 0 below `none`, 1 from `full` on, evenly between; downward when `none` is the greater. */
export function ramp(value: number, none: number, full: number): number {
  if (none === full) return value >= full ? 1 : 0;
  return Math.min(1, Math.max(0, (value - none) / (full - none)));
}

/** Every term but the clear share and the quality, which need the other bodies: written into `terms`. */
export function takeOpenTerms(terms: LookTerms, eye: Eye, { x, y }: Bodies, { a, b }: Pair, rule: LookRule): void {
  const ax = (x[a] ?? 0) - eye.x;
  const ay = (y[a] ?? 0) - eye.y;
  const bx = b < 0 ? ax : (x[b] ?? 0) - eye.x;
  const by = b < 0 ? ay : (y[b] ?? 0) - eye.y;
  const midX = (ax + bx) / 2;
  const midY = (ay + by) / 2;
  terms.rangeYards = Math.sqrt(midX * midX + midY * midY);
  const { none, from, to, lost } = rule.rangeYards;
  terms.rangeCredit = ramp(terms.rangeYards, none, from) * ramp(terms.rangeYards, lost, to);
  takeFacing(terms, eye, midX, midY, rule);
  if (b < 0) {
    terms.angleDegrees = 90;
    terms.angleCredit = 1;
    terms.gapDegrees = 0;
    terms.gapCredit = 1;
    return;
  }
  const alongX = bx - ax;
  const alongY = by - ay;
  const cross = Math.abs(midX * alongY - midY * alongX);
  const dot = Math.abs(midX * alongX + midY * alongY);
  terms.angleDegrees = Math.atan2(cross, dot) * degrees;
  terms.angleCredit = ramp(terms.angleDegrees, rule.angleDegrees.none, rule.angleDegrees.full);
  const radius = Math.min(rule.bodyRadiusYards, Math.sqrt(alongX * alongX + alongY * alongY) / 2);
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

export function openCredit(terms: LookTerms): number {
  return terms.angleCredit * terms.gapCredit * terms.rangeCredit * terms.facingCredit;
}

/**
 * The share of the angle that the pair and the space between them take up in which no other body stands in front.
 *
 * A body is in front when the eye is nearer to it than to the point of the pair's own line that is nearest to it: the
 * line halfway between the two then parts the body from the pair, and the eye is on the body's side of it. Exact for a
 * body that stands clear of the pair and of the space between them; one that stands in that space counts by its centre.
 */
export function clearShareOf(bearings: Bearings, eye: Eye, { x, y }: Bodies, { a, b }: Pair): number {
  const { bearing, distance, half, hidden } = bearings;
  const other = b < 0 ? a : b;
  const reference = bearing[a] ?? 0;
  const apart = wrapRadians((bearing[other] ?? 0) - reference);
  const low = Math.min(-(half[a] ?? 0), apart - (half[other] ?? 0));
  const high = Math.max(half[a] ?? 0, apart + (half[other] ?? 0));
  const furthest = Math.max(distance[a] ?? 0, distance[other] ?? 0);
  hidden.count = 0;
  for (let i = 0; i < x.length; i++) {
    if (i === a || i === other || i === eye.self) continue;
    const away = distance[i] ?? 0;
    if (away >= furthest) continue;
    const centre = wrapRadians((bearing[i] ?? 0) - reference);
    const width = half[i] ?? 0;
    // Not in the span, nor a turn away from it: spans reach further than half a turn only from amid the players.
    if (high <= 1.5 && low >= -1.5 && (centre - width >= high || centre + width <= low)) continue;
    if (isInFront(i, away, eye, x, y, a, other)) gather(hidden, low, high, centre, width);
  }
  return hidden.count === 0 ? 1 : Math.max(0, 1 - unionLength(hidden) / (high - low));
}

function isInFront(i: number, away: number, eye: Eye, x: Float64Array, y: Float64Array, a: number, b: number): boolean {
  const ax = x[a] ?? 0;
  const ay = y[a] ?? 0;
  const alongX = (x[b] ?? 0) - ax;
  const alongY = (y[b] ?? 0) - ay;
  const length = alongX * alongX + alongY * alongY;
  const at = length === 0 ? 0 : (((x[i] ?? 0) - ax) * alongX + ((y[i] ?? 0) - ay) * alongY) / length;
  const t = Math.min(1, Math.max(0, at));
  const nearX = ax + t * alongX - eye.x;
  const nearY = ay + t * alongY - eye.y;
  return away * away < nearX * nearX + nearY * nearY;
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
