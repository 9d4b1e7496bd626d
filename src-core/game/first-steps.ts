import { stakedEnough } from "./edits.ts";
import type { GameRecords } from "./records.ts";

/** The way through a first game, in the order in which it is gone. */
export const firstSteps = ["film", "plays", "survey", "marks", "second-moment"] as const;
export type FirstStep = (typeof firstSteps)[number];

/** Those of the steps that have been gone, by what is there. */
export function stepsGone(records: GameRecords): ReadonlySet<FirstStep> {
  const officialsAt = new Set(
    records.marks.flatMap(({ momentId, subject }) => (subject.kind === "official" ? [momentId] : [])),
  );
  const marked = records.moments.filter(({ id }) => officialsAt.has(id));
  const markedPlays = marked.map(({ playId }) => playId);
  const gone: Record<FirstStep, boolean> = {
    film: records.films.length > 0,
    plays: records.plays.some(({ snapSec }) => snapSec !== null),
    survey: stakedEnough(records.stakes).size > 0,
    marks: marked.length > 0,
    "second-moment": new Set(markedPlays).size < markedPlays.length,
  };
  return new Set(firstSteps.filter((step) => gone[step]));
}
