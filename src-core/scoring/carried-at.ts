import type { Survey } from "../field/survey.ts";
import type { Carry, Moment } from "../game/records.ts";
import type { SurveyState } from "./film-surveys.ts";

export function carriedAt(
  _carries: readonly Carry[],
  _moments: readonly Moment[],
  _frameIndex: number,
  _surveyOf: (anchorFrame: number) => Survey | null,
): SurveyState {
  return { kind: "none" };
}
