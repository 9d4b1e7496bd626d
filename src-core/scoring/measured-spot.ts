import { measureMark } from "../field/mark.ts";
import type { FieldPoint } from "../field/units.ts";
import type { FilmSurveys } from "./film-surveys.ts";
import type { GameRecords, Phase, Play } from "../game/records.ts";

/** Where the ball lay by its mark, with one standard deviation along and across the field in yards. */
export type MeasuredSpot = {
  readonly spot: FieldPoint;
  readonly sdAlongX: number;
  readonly sdAlongY: number;
  readonly momentId: string;
};

/** The ball's mark of the last moment of a phase that has one on the ground; null without. */
export function measuredSpot(
  records: Pick<GameRecords, "moments" | "marks">,
  play: Play,
  surveysOf: (filmId: string) => FilmSurveys | null,
  phase: Phase = "pre-snap",
): MeasuredSpot | null {
  const moments = records.moments
    .filter((moment) => moment.playId === play.id && moment.phase === phase)
    .toSorted((a, b) => b.timeSec - a.timeSec);
  for (const moment of moments) {
    const mark = records.marks.find(({ momentId, subject }) => momentId === moment.id && subject.kind === "ball");
    const state = mark ? surveysOf(moment.filmId)?.at(moment.frameIndex) : undefined;
    if (!mark || state?.kind !== "solved") continue;
    const measured = measureMark(state.survey, mark);
    if (!measured.ok) continue;
    const { position, sdAlongX, sdAlongY } = measured;
    return { spot: position, sdAlongX, sdAlongY, momentId: moment.id };
  }
  return null;
}
