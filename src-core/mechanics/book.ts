/**
 * A mechanics book: a crew's rules as data. No rule is written in code and no expression is parsed; a rule is made of
 * a closed vocabulary of anchors, offset ranges in yards and conditions. The shipped books are common practice, not any
 * body's manual, and a crew's own association comes first.
 */
import type { Down, Phase } from "../game/records.ts";
import type { CountRule, HandoffRule, KeyRule, LookRule, ZoneRule } from "./watch-rules.ts";

/** Which sideline a position works: the line judge's, the other one, or the middle of the field. */
export type WorkingSide = "line-judge-side" | "other-side" | "middle";

export type BookPosition = { readonly id: string; readonly name: string; readonly side: WorkingSide };

export type RuleSource = {
  readonly kind: "common-practice" | "manual" | "house";
  /** Year and section for a manual, a note otherwise; null for common practice, which has no source to cite. */
  readonly citation: string | null;
};

/** Where a depth is counted from, along the field; positive is downfield, toward B's goal line. */
export const depthAnchors = [
  "neutral-zone",
  "deepest-back",
  "deepest-defender",
  "line-to-gain",
  "goal-line",
  "end-line",
] as const;
export type DepthAnchor = (typeof depthAnchors)[number];

/** Where a width is counted from, across the field; positive is outward, toward the position's own sideline. */
export const widthAnchors = [
  "own-sideline",
  "own-hash",
  "other-hash",
  "ball",
  "deepest-back",
  "widest-receiver",
] as const;
export type WidthAnchor = (typeof widthAnchors)[number];

export type YardRange = { readonly from: number; readonly to: number };

/** What must be so for a rule to apply; a condition that is null always holds. */
export type RuleCondition = {
  readonly downs: readonly Down[] | null;
  /** The line to gain is more than `from` and less than `to` yards beyond the line of scrimmage. */
  readonly lineToGainYards: YardRange | null;
  /** An eligible receiver of A stands within so many yards of the position's own sideline. */
  readonly receiverNearSidelineYards: number | null;
};

export type StationRule = {
  readonly id: string;
  readonly position: string;
  readonly phase: Phase;
  /** What the book asks, as a trainer would say it. */
  readonly sentence: string;
  readonly source: RuleSource;
  readonly when: RuleCondition;
  readonly depth: { readonly anchor: DepthAnchor; readonly yards: YardRange };
  readonly width: { readonly anchor: WidthAnchor; readonly yards: YardRange };
  /** How far outside the target still counts as being there. */
  readonly toleranceYards: number;
};

/** A body turned toward somebody: the angle between the way faced and the line to them. */
export type FacingRule = {
  readonly id: string;
  readonly position: string;
  readonly phase: Phase;
  readonly sentence: string;
  readonly source: RuleSource;
  readonly toward: "snapper" | "passer" | "ball";
  readonly withinDegrees: number;
};

export type Grading = {
  /** Distance outside the target at which the credit has fallen to nothing. */
  readonly graceYards: number;
  /** A finding is met from this probability up, and missed from the other one down; between them it cannot tell. */
  readonly metFrom: number;
  readonly missedTo: number;
};

export type Book = {
  readonly format: "crewglass-book";
  readonly formatVersion: 1;
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
  readonly looks: readonly LookRule[];
  readonly counts: readonly CountRule[];
};
