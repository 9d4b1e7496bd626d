import type { LookRule } from "#core/mechanics/watch-rules";

/** A rule in round numbers, for figures that one can follow by hand. */
export const lookRule: LookRule = {
  id: "LK-TEST",
  sentence: "see between two opponents within 2.5 yards of each other",
  source: { kind: "house", citation: null },
  pairWithinYards: 2.5,
  bodyRadiusYards: 0.3,
  angleDegrees: { none: 10, full: 30 },
  rangeYards: { none: 2, from: 4, to: 25, lost: 45 },
  attentionDegrees: { full: 30, none: 60 },
  seenFrom: 0.5,
  stepYards: 3,
};
