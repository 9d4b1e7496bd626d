import { directionSign, type FieldDirection } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";

/** What a possession begins with and how it is lost, by the code that a field is laid out for. Yards from a goal line. */
export type SeriesRules = {
  /** In so many downs a side must reach its line to gain. */
  readonly downs: 3 | 4;
  /** Where a side begins after a score and in a new half, from its own goal line. */
  readonly startYards: number;
  /** Where the other side begins when the downs are used up: where the ball is, or where it begins after a score. */
  readonly lostOnDowns: "spot" | "start";
  readonly tryYards: number;
  /** From where a side kicks off, from its own goal line; null in a game without kicks. */
  readonly freeKickYards: number | null;
};

const flag = { downs: 4, startYards: 14, lostOnDowns: "spot", tryYards: 3, freeKickYards: null } as const;
const tackle = { downs: 4, startYards: 25, lostOnDowns: "spot", tryYards: 3, freeKickYards: 35 } as const;

/**
 * IFAF flag rules 2023 (digest): four downs to the middle and four to score; the own 5 after a score and when the downs
 * are used up. USA Football flag rule book 2018, sections 1 and 7: three downs, else the same. NIRSA (digest): four downs
 * to the next zone line, three in 4v4, start on the 14. Tackle: four downs (NCAA 5-1-1); the 25, and kickoffs from the 35
 * (the 40 in high school, the 30 on smaller fields) are common practice. Leagues' pages for youth fields do not say how many downs: four accuse nobody.
 */
export function seriesRulesOf({ template }: FieldLayout): SeriesRules {
  const tryYards = template.tryMarksYards[0];
  switch (template.id) {
    case "ifaf-5v5":
    case "ifaf-7v7":
      return { ...flag, startYards: 5, lostOnDowns: "start", tryYards: tryYards ?? 5 };
    case "youth-70x25":
    case "youth-70x30":
      return { ...flag, startYards: 5, lostOnDowns: "start", tryYards: 5 };
    case "youth-across-tackle":
      return { ...flag, downs: 3, startYards: 5, lostOnDowns: "start", tryYards: 5 };
    case "flag-60x30":
      return { ...flag, downs: 3 };
    case "nfhs":
      return { ...tackle, freeKickYards: 40 };
    case "nfhs-9":
    case "nfhs-8":
    case "nfhs-6":
      return { ...tackle, freeKickYards: 30 };
    default:
      return { ...(template.game === "flag" ? flag : tackle), tryYards: tryYards ?? 3 };
  }
}

export function goalXYards({ leftGoalXYards, rightGoalXYards }: FieldLayout, direction: FieldDirection): number {
  return direction === "right" ? rightGoalXYards : leftGoalXYards;
}

export function turnedAbout(direction: FieldDirection): FieldDirection {
  return direction === "right" ? "left" : "right";
}

/** So many yards from the goal line that a side going this way defends, and never past the middle of a short field. */
export function fromOwnGoal(layout: FieldLayout, direction: FieldDirection, yards: number): number {
  const half = (layout.rightGoalXYards - layout.leftGoalXYards) / 2;
  return goalXYards(layout, turnedAbout(direction)) + directionSign(direction) * Math.min(yards, half);
}
