/**
 * Who watches whom, as data: keys at the snap, zones after them, the handoffs between, how well one must see, and who
 * counts. The same closed vocabulary in every book; no expressions.
 */
import type { Phase } from "../game/records.ts";
import type { DepthRule, RuleCondition, RuleSource, WidthRule } from "./book.ts";

type Ruled = {
  readonly id: string;
  readonly sentence: string;
  readonly source: RuleSource;
};

/**
 * Whom a key is on. Receivers are numbered from the outside in at the snap; "own side" is the half of the formation on
 * the position's own side of the ball, for a position that works the middle the side with more receivers. "nearest-back" is
 * nearest to that side; "line-own-side" and "line-other-side" are the widest of A's line on a side of the snapper, its
 * tackle or tight end, where for a position that works the middle its own side is the one it stands on.
 */
export const keySubjects = [
  "passer",
  "backs",
  "snapper",
  "blockers-near-snapper",
  "receivers-own-side",
  "receivers-other-side",
  "widest-own-side",
  "second-own-side",
  "third-own-side",
  "inside-own-side",
  "nearest-back",
  "line-own-side",
  "line-other-side",
  "rushers",
] as const;
export type KeySubject = (typeof keySubjects)[number];

/**
 * `KEY-…`. Keys of a position in the order in which they are read; of the rules for one position and order, the first
 * whose conditions hold is the one that applies.
 */
export type KeyRule = Ruled & {
  readonly position: string;
  readonly order: number;
  readonly on: KeySubject;
  readonly when: RuleCondition;
  /** The key is over so long after the snap, and held longer only while it is pressed. */
  readonly forSec: number;
};

/** Which of what is in a zone belongs to its position: everybody, or after a catch the runner, or all others. */
export const zoneHoldings = ["everybody", "runner", "all-but-runner"] as const;
export type ZoneHolding = (typeof zoneHoldings)[number];

/**
 * `ZN-…`. The part of the field a position has after its keys, between two depths and two widths; a bound that is null is
 * open. A place in more than one zone belongs to the earlier rule of the book. `rest` takes what no other zone of the
 * phase holds.
 */
export type ZoneRule = Ruled & {
  readonly position: string;
  readonly phases: readonly Phase[];
  readonly when: RuleCondition;
  readonly depth: DepthRule | null;
  readonly width: WidthRule | null;
  readonly rest: boolean;
  /** "everybody" when left out. */
  readonly holds?: ZoneHolding;
  /** Whether its owner, with nobody of A in it, reaches out to the nearest matchup outside it; false when left out. */
  readonly reachesOut?: boolean;
};

/**
 * `HO-…`. How a matter is passed on for one reason: with at most so long a gap. The last two are what must not go on for
 * longer than that: a body that follows the ball through the air, and two officials on one player while another is free.
 */
export const handoffReasons = [
  "key-time-over",
  "press-ended",
  "left-zone",
  "ball-away",
  "catch",
  "eyes-on-ball",
  "doubled",
] as const;
export type HandoffReason = (typeof handoffReasons)[number];
export type HandoffRule = Ruled & {
  readonly reason: HandoffReason;
  readonly gapSec: number;
};

/**
 * How much a matter weighs: `contact` up to `contactYards` between the two, falling evenly to `apart` at the greatest
 * distance of a pair; `alone` for a player with nobody near; times `decisive` within `decisiveYards` of B's goal line or
 * beyond it, or of the line to gain on third and fourth down.
 */
export type MatterWeights = {
  readonly contactYards: number;
  readonly contact: number;
  readonly apart: number;
  readonly alone: number;
  readonly decisive: number;
  readonly decisiveYards: number;
};

/** `LK-…`. What it takes to see two opponents who are close together. Yards and degrees. */
export type LookRule = Ruled & {
  readonly pairWithinYards: number;
  readonly bodyRadiusYards: number;
  /** Angle between the line of sight and the line through the pair: no credit below `none`, full from `full` on. */
  readonly angleDegrees: { readonly none: number; readonly full: number };
  /** Useful band of distance, with the distances at which nothing is left of it. */
  readonly rangeYards: { readonly none: number; readonly from: number; readonly to: number; readonly lost: number };
  /** Field of attention either side of the facing. */
  readonly attentionDegrees: { readonly full: number; readonly none: number };
  /** Quality from which a matter counts as seen. */
  readonly seenFrom: number;
  /** How far an official could have stepped to open a look. */
  readonly stepYards: number;
  /** Common practice when left out. */
  readonly weights?: MatterWeights;
};

/** `CT-…`. Which team a position counts. */
export type CountRule = Ruled & { readonly position: string; readonly counts: "A" | "B" };
