/**
 * Who watches whom, as data: keys at the snap, zones after them, the handoffs between, how well one must see, and who
 * counts. The same closed vocabulary in every book; no expressions.
 */
import type { Phase } from "../game/records.ts";
import type { DepthAnchor, RuleCondition, RuleSource, WidthAnchor, YardRange } from "./book.ts";

type Ruled = {
  readonly id: string;
  readonly sentence: string;
  readonly source: RuleSource;
};

/**
 * Whom a key is on. Receivers are numbered from the outside in at the snap; "own side" is the half of the formation on
 * the position's own side of the ball, for a position that works the middle the side with more receivers.
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
  "rushers",
] as const;
export type KeySubject = (typeof keySubjects)[number];

/** `KEY-…`. Keys of a position in the order in which they are read. */
export type KeyRule = Ruled & {
  readonly position: string;
  readonly order: number;
  readonly on: KeySubject;
  readonly when: RuleCondition;
  /** How long the key is held after the snap, usually; longer while it is pressed or near B's goal line. */
  readonly forSec: number;
};

/**
 * `ZN-…`. The part of the field a position has after its keys, between two depths and two widths; a bound that is null is
 * open. `rest` takes what no other zone of the phase holds.
 */
export type ZoneRule = Ruled & {
  readonly position: string;
  readonly phases: readonly Phase[];
  readonly when: RuleCondition;
  readonly depth: { readonly anchor: DepthAnchor; readonly yards: YardRange } | null;
  readonly width: { readonly anchor: WidthAnchor; readonly yards: YardRange } | null;
  readonly rest: boolean;
};

/** `HO-…`. How a matter is passed on for one reason: with at most so long a gap, and so long a doubled watch. */
export const handoffReasons = ["key-time-over", "press-ended", "left-zone", "ball-away", "catch"] as const;
export type HandoffReason = (typeof handoffReasons)[number];
export type HandoffRule = Ruled & {
  readonly reason: HandoffReason;
  readonly gapSec: number;
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
};

/** `CT-…`. Which team a position counts. */
export type CountRule = Ruled & { readonly position: string; readonly counts: "A" | "B" };
