/**
 * A mechanics book: a crew's rules as data. No rule is written in code and no expression is parsed; a rule is made of
 * a closed vocabulary of anchors, offset ranges in yards and conditions. The shipped books are common practice, not any
 * body's manual, and a crew's own association comes first.
 */
import type { Criterion, Down, Phase } from "../game/records.ts";
import type { CountRule, HandoffRule, KeyRule, LookRule, ZoneRule } from "./watch-rules.ts";

/** Which sideline a position works: the line judge's, the other one, or the middle of the field. */
export const workingSides = ["line-judge-side", "other-side", "middle"] as const;
export type WorkingSide = (typeof workingSides)[number];

export type BookPosition = {
  readonly id: string;
  readonly name: string;
  readonly side: WorkingSide;
  /** The side worked in the second half, where crews change over; left out where they stay. */
  readonly secondHalfSide?: WorkingSide;
};

export type RuleSource = {
  readonly kind: "common-practice" | "manual" | "house";
  /** Year and section for a manual, a note otherwise; null for common practice, which has no source to cite. */
  readonly citation: string | null;
};

/**
 * Where a depth is counted from, along the field; positive is downfield, toward B's goal line. "ball" is the mark on the
 * ball; "deepest-eligible" the one of A's passer, backs and receivers who is furthest downfield; "own-goal-line" and
 * "own-end-line" are those behind A.
 */
export const depthAnchors = [
  "neutral-zone",
  "deepest-back",
  "deepest-defender",
  "line-to-gain",
  "goal-line",
  "end-line",
  "ball",
  "passer",
  "deepest-eligible",
  "own-goal-line",
  "own-end-line",
] as const;
export type DepthAnchor = (typeof depthAnchors)[number];

/**
 * Where a width is counted from, across the field; positive is outward, toward the rule's side. "end-of-line" is the
 * widest of the snapper and A's blockers on that side.
 */
export const widthAnchors = [
  "own-sideline",
  "own-hash",
  "other-hash",
  "ball",
  "deepest-back",
  "widest-receiver",
  "end-of-line",
  "middle",
] as const;
export type WidthAnchor = (typeof widthAnchors)[number];

/**
 * Toward which side a width is counted: the sideline that the position works; the side with more room beside the ball;
 * the side with more receivers; the offence's right or left hand; or whichever side the official took, where a book leaves
 * it open or goes by something that no picture shows, as the passer's arm. A wide or strong side that is neither is
 * whichever the official took.
 */
export const widthSides = ["own", "wide", "strong", "right-hand", "left-hand", "either"] as const;
export type WidthSide = (typeof widthSides)[number];

export type YardRange = { readonly from: number; readonly to: number };

/** What must be so for a rule to apply; a condition that is null or left out always holds. */
export type RuleCondition = {
  readonly downs?: readonly Down[] | null;
  /** The line to gain is more than `from` and less than `to` yards beyond the line of scrimmage. */
  readonly lineToGainYards?: YardRange | null;
  /** An eligible receiver of A stands within so many yards of the position's own sideline. */
  readonly receiverNearSidelineYards?: number | null;
  /** B's goal line is at least `from` and at most `to` yards beyond the line of scrimmage. */
  readonly goalLineYards?: YardRange | null;
  /** A's own goal line is at least `from` and at most `to` yards behind the line of scrimmage. */
  readonly ownGoalLineYards?: YardRange | null;
  /**
   * A has at least `from` and at most `to` receivers on the position's own side of the ball; on the side with more of
   * them for a position that works the middle.
   */
  readonly receiversOwnSide?: YardRange | null;
};

export type DepthRule = {
  readonly anchor: DepthAnchor;
  readonly yards: YardRange;
  /** At least so far as `from` beyond another anchor, and up to its `to` where that lies beyond the rule's own range. */
  readonly atLeast?: { readonly anchor: DepthAnchor; readonly yards: YardRange } | null;
  /**
   * `{ anchor: "goal-line", yards: 0 }` is "no deeper than the goal line". Where the bounds cross, or the whole range lies
   * beyond it, this one holds.
   */
  readonly atMost?: { readonly anchor: DepthAnchor; readonly yards: number } | null;
};

export type WidthRule = {
  readonly anchor: WidthAnchor;
  readonly yards: YardRange;
  /** "own" when left out. */
  readonly side?: WidthSide;
};

export type StationRule = {
  readonly id: string;
  readonly position: string;
  readonly phase: Phase;
  /** What the book asks, as a trainer would say it. */
  readonly sentence: string;
  readonly source: RuleSource;
  readonly when: RuleCondition;
  readonly depth: DepthRule;
  readonly width: WidthRule;
  /** How far outside the target still counts as being there. */
  readonly toleranceYards: number;
};

/**
 * A body turned toward somebody: the angle between the way faced and the line to them; "downfield" is the way the offence
 * goes.
 */
export type FacingRule = {
  readonly id: string;
  readonly position: string;
  readonly phase: Phase;
  readonly sentence: string;
  readonly source: RuleSource;
  readonly toward: "snapper" | "passer" | "ball" | "downfield";
  readonly withinDegrees: number;
};

/**
 * What a book asks that no place of a mark can show: penalties, signals, the eyes at the snap. Read in the book, never
 * scored from a picture.
 */
export type DutyRule = {
  readonly id: string;
  readonly position: string;
  /** Null for what holds throughout. */
  readonly phase: Phase | null;
  readonly sentence: string;
  readonly source: RuleSource;
};

export type Grading = {
  /** Distance outside the target at which the credit has fallen to nothing. */
  readonly graceYards: number;
  /** A finding is met from this probability up, and missed from the other one down; between them it cannot tell. */
  readonly metFrom: number;
  readonly missedTo: number;
  readonly weights: Readonly<Record<Criterion, number>>;
};

/** The lists of a book that hold rules; their ids are unique among all of them. */
export const ruleLists = ["stations", "facings", "keys", "zones", "handoffs", "looks", "counts", "duties"] as const;
export type RuleList = (typeof ruleLists)[number];

export type Book = {
  readonly format: "crewglass-book";
  readonly formatVersion: 2;
  readonly id: string;
  readonly name: string;
  readonly edition: string;
  readonly caution: string;
  readonly positions: readonly BookPosition[];
  readonly grading: Grading;
  /** In order: of the rules for one position and phase, the first whose conditions hold is the one that applies. */
  readonly stations: readonly StationRule[];
  readonly facings: readonly FacingRule[];
  readonly keys: readonly KeyRule[];
  readonly zones: readonly ZoneRule[];
  readonly handoffs: readonly HandoffRule[];
  /** One rule, or none in a book that says nothing of looks. */
  readonly looks: readonly LookRule[];
  readonly counts: readonly CountRule[];
  readonly duties: readonly DutyRule[];
};
