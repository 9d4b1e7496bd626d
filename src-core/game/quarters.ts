import type { FieldTemplate } from "../field/template-measures.ts";

/** How the sides stand in a later quarter against an earlier one. */
export type EndsChanged = {
  /** Whether each side goes the other way. */
  readonly turned: boolean;
  /** Whether the rules say so; else it is what is usual. */
  readonly isRule: boolean;
};

/**
 * Tackle: the sides change ends after the first and the third quarter (NCAA 3-1-2); for the second half they choose, and
 * it is usual that they end up changed. Flag is played in halves, and the sides change ends between them (USA Football
 * flag rule book 2018, 1-7); where its halves are divided no rule book here says. Null where a quarter is not known, is the
 * same or an earlier one, or is overtime.
 */
export function endsChanged(game: FieldTemplate["game"], from: number | null, to: number | null): EndsChanged | null {
  if (from === null || to === null || to <= from || to > lastQuarter) return null;
  const crossesHalf = startsHalf(from, to);
  if (game === "flag") return { turned: crossesHalf, isRule: crossesHalf };
  return { turned: (to - from) % 2 === 1, isRule: !crossesHalf };
}

const lastQuarter = 4;

/** Whether the second half begins between these quarters; a game played in halves counts them as quarters one and three. */
export function startsHalf(from: number | null, to: number | null): boolean {
  return from !== null && to !== null && from < 3 && to >= 3 && to <= lastQuarter;
}

const names = ["first", "second", "third", "fourth"] as const;

export function quarterName(quarter: number): string {
  return quarter > lastQuarter ? "overtime" : `the ${names[quarter - 1] ?? ""} quarter`;
}
