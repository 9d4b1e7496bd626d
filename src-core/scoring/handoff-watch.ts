import type { FieldCovariance } from "../field/uncertainty.ts";
import type { FieldPoint } from "../field/units.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import { acrossSd, type Standing, turnBetween } from "./handoff-tracks.ts";
import { ramp } from "./look-terms.ts";

/**
 * Whether somebody watches a place: near enough, and turned to it so that the look could still count as seen. What else
 * a look takes, the angle and who stands in the way, is the look's own finding and is not held against anybody twice.
 */
export type Watch = {
  readonly offDegrees: number;
  readonly sdDegrees: number;
  /** How far off one may be turned; 0 where the distance alone leaves too little. */
  readonly limitDegrees: number;
  /** That the turn was within the limit, over the errors of the marks. */
  readonly probability: number;
};

const degrees = 180 / Math.PI;

/** A turn, degrees, at which facing and range leave just what counts as seen. */
function limitOf(rangeYards: number, rule: LookRule): number {
  const { none, from, to, lost } = rule.rangeYards;
  const range = ramp(rangeYards, none, from) * ramp(rangeYards, lost, to);
  if (range < rule.seenFrom) return 0;
  const { full, none: gone } = rule.attentionDegrees;
  return gone - (rule.seenFrom / range) * (gone - full);
}

/** Null where the way faced is not known. */
export function watchOf(
  official: Pick<Standing, "at" | "covariance" | "facing">,
  place: FieldPoint,
  placeCovariance: FieldCovariance,
  rule: LookRule,
): Watch | null {
  const x = place.xYards - official.at.xYards;
  const y = place.yYards - official.at.yYards;
  const range = Math.hypot(x, y);
  const limitDegrees = limitOf(range, rule);
  if (limitDegrees <= 0) return { offDegrees: 0, sdDegrees: 0, limitDegrees: 0, probability: 0 };
  return turnOf(official, place, placeCovariance, limitDegrees);
}

/** The turn away from a place, held against a limit; the errors of the marks taken as independent. */
export function turnOf(
  { at, covariance, facing }: Pick<Standing, "at" | "covariance" | "facing">,
  place: FieldPoint,
  placeCovariance: FieldCovariance,
  limitDegrees: number,
): Watch | null {
  if (!facing) return null;
  const x = place.xYards - at.xYards;
  const y = place.yYards - at.yYards;
  const range = Math.hypot(x, y) || 1e-9;
  const sum = {
    xx: covariance.xx + placeCovariance.xx,
    xy: covariance.xy + placeCovariance.xy,
    yy: covariance.yy + placeCovariance.yy,
  };
  const sdRadians = Math.hypot(facing.sdRadians, acrossSd(sum, x / range, y / range) / range);
  const offDegrees = Math.abs(turnBetween(facing.radians, Math.atan2(y, x))) * degrees;
  const sdDegrees = sdRadians * degrees;
  return {
    offDegrees,
    sdDegrees,
    limitDegrees,
    probability: normalBelow((limitDegrees - offDegrees) / (sdDegrees || 1e-9)),
  };
}

/**
 * Standard normal distribution function, with an error below 1.5e-7: Abramowitz and Stegun, Handbook of Mathematical
 * Functions, 7.1.26.
 */
export function normalBelow(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const upper = (poly * Math.exp(-x * x)) / 2;
  return z > 0 ? 1 - upper : upper;
}
