import { blendSurveys, carriedSurvey } from "../carry/carried-survey.ts";
import type { CarriedFrame } from "../carry/carried-frame.ts";
import { unpackFrames } from "../carry/pack.ts";
import type { Survey } from "../field/survey.ts";
import type { Carry, Moment } from "../game/records.ts";
import type { SurveyState } from "./film-surveys.ts";

/** Unpacked once for as long as the record lives. */
const unpacked = new WeakMap<Carry, readonly CarriedFrame[]>();

function framesOf(carry: Carry): readonly CarriedFrame[] {
  let frames = unpacked.get(carry);
  if (!frames) {
    frames = unpackFrames(carry.frames) ?? [];
    unpacked.set(carry, frames);
  }
  return frames;
}

type Found = { readonly anchor: number; readonly survey: Survey };

/**
 * The survey carried to a frame: from the nearest surveyed frame before it and the nearest after it, blended where both
 * reach it. "none" where none does.
 */
export function carriedAt(
  carries: readonly Carry[],
  moments: readonly Moment[],
  frameIndex: number,
  surveyOf: (anchorFrame: number) => Survey | null,
): SurveyState {
  let before: Found | null = null;
  let after: Found | null = null;
  for (const carry of carries) {
    const within = frameIndex >= carry.firstIndex && frameIndex < carry.firstIndex + carry.frameCount;
    const anchor = moments.find((moment) => moment.id === carry.momentId)?.frameIndex;
    if (!within || anchor === undefined) continue;
    const isNearer = anchor <= frameIndex ? anchor > (before?.anchor ?? -1) : anchor < (after?.anchor ?? Infinity);
    if (!isNearer) continue;
    const frame = framesOf(carry)[frameIndex - carry.firstIndex];
    const own = frame ? surveyOf(anchor) : null;
    if (!frame || own === null) continue;
    const survey = carriedSurvey(own, frame);
    if (survey === null) continue;
    const found = { anchor, survey };
    if (anchor <= frameIndex) before = found;
    else after = found;
  }
  if (before && after) {
    const survey = blendSurveys(before.survey, after.survey);
    return { kind: "solved", survey, origin: { kind: "carried", fromFrames: [before.anchor, after.anchor] } };
  }
  const one = before ?? after;
  if (!one) return { kind: "none" };
  return { kind: "solved", survey: one.survey, origin: { kind: "carried", fromFrames: [one.anchor] } };
}
