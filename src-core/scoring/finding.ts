import type { FieldPoint } from "../field/units.ts";
import type { Phase, Side } from "../game/records.ts";
import type { Look } from "./look.ts";

export const verdicts = ["met", "missed", "cannot tell", "not applicable"] as const;
export type Verdict = (typeof verdicts)[number];

/** A number with its 95 % interval. The unit is the holder's. */
export type Measured = { readonly value: number; readonly low: number; readonly high: number };

/** Counted from the rule's anchor: depth positive downfield, width positive outward, toward the position's sideline. */
export type StationMeasure = {
  readonly kind: "station";
  readonly depthYards: Measured;
  readonly widthYards: Measured;
  /** Signed distance outside the range the book asks for; 0 inside it. */
  readonly depthErrorYards: number;
  readonly widthErrorYards: number;
  readonly outsideYards: Measured;
  readonly probabilityInside: number;
  /** Inside the target or within the rule's tolerance of it: what the verdict rests on. */
  readonly probabilityMet: number;
};

export type FacingMeasure = {
  readonly kind: "facing";
  /** Angle between the way faced and the line to whom the rule names, degrees, 0 to 180. */
  readonly offDegrees: Measured;
  readonly limitDegrees: number;
  readonly probabilityMet: number;
};

/** The looks that a finding rests on, term by term; the quality of each is the product of its credits. */
export type LookMeasure = {
  readonly kind: "look";
  readonly matterId: string;
  readonly looks: readonly Look[];
  /** Quality from which a matter counts as seen. */
  readonly seenFrom: number;
  /** That somebody whose matter it was saw it, or that the one look was not straight-lined. */
  readonly probabilityMet: number;
};

/** How many of a side are on the field: so many for certain, and up to so many. */
export type CountMeasure = {
  readonly kind: "count";
  readonly side: Side;
  readonly least: number;
  readonly most: number;
  readonly asked: number;
  readonly probabilityMet: number;
};

/** Who watched what for how long over a play. Times are seconds after the snap. */
export type WatchMeasure = {
  readonly kind: "watch";
  /** The player of A that it is about, as `Track` names people; null where it is not about one. */
  readonly trackId: string | null;
  /**
   * How long it went on; the interval reaches from the moments that show it to those that no longer do, and is null where
   * no length was measured.
   */
  readonly lengthSec: Measured | null;
  /** How long the book lets it go on. */
  readonly allowedSec: number;
  readonly fromSec: number;
  readonly toSec: number;
  readonly probabilityMet: number;
};

export const wholeCrew = "crew";

/** One computed verdict with its evidence, for a person to accept or overrule. */
export type Finding = {
  readonly ruleId: string;
  /** A position of the book, or `wholeCrew` for what was nobody's alone. */
  readonly position: string;
  readonly phase: Phase;
  readonly verdict: Verdict;
  /** What a person would say. */
  readonly sentence: string;
  /** What the book asks, in its own words. */
  readonly asks: string;
  /** What would settle it, when it cannot tell; null otherwise. */
  readonly help: string | null;
  /** Expected credit over the mark's error, 0 to 100; null when nothing was measured. */
  readonly score: number | null;
  readonly measure: StationMeasure | FacingMeasure | LookMeasure | CountMeasure | WatchMeasure | null;
  /** Corners of the target on the ground; null when it could not be placed. */
  readonly target: readonly FieldPoint[] | null;
  /** The marks that the finding rests on, the official's first. */
  readonly markIds: readonly string[];
};

/** The book's two thresholds on the probability of the rule being met. */
export function verdictOf(probabilityMet: number, grading: { metFrom: number; missedTo: number }): Verdict {
  if (probabilityMet >= grading.metFrom) return "met";
  return probabilityMet <= grading.missedTo ? "missed" : "cannot tell";
}

/** Mean and central 95 % of samples. Sorts the array it is given. */
export function measuredFrom(samples: Float64Array): Measured {
  samples.sort();
  const at = (share: number) => samples[Math.min(samples.length - 1, Math.floor(share * samples.length))] ?? Number.NaN;
  let sum = 0;
  for (const sample of samples) sum += sample;
  return { value: sum / samples.length, low: at(0.025), high: at(0.975) };
}
