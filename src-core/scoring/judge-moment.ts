import { measureMark } from "../field/mark.ts";
import { surveyFrame, type Survey, type SurveyRefusal } from "../field/survey.ts";
import type { FieldLayout } from "../field/template.ts";
import type { FieldSide, Mark, Moment, Situation, Stake } from "../game/records.ts";
import type { Book } from "../mechanics/book.ts";
import type { AnchorPlayer } from "../mechanics/target.ts";
import { facingFindings } from "./facing.ts";
import type { Finding } from "./finding.ts";
import { type PlacedMark, stationFindings } from "./station.ts";

/** Changes whenever a result could: results kept anywhere carry it beside the book's edition. */
export const scoringVersion = "1";

export type SurveyState =
  | { readonly kind: "none" }
  | { readonly kind: "refused"; readonly refusal: SurveyRefusal }
  | { readonly kind: "solved"; readonly survey: Survey };

/** A mark that has no place on the ground, and why. */
export type UnplacedMark = { readonly markId: string; readonly message: string };

/** Everything that follows from the clicks of one moment. Nothing here is kept: it can be made again from the clicks. */
export type JudgedMoment = {
  readonly survey: SurveyState;
  readonly placed: readonly PlacedMark[];
  readonly unplaced: readonly UnplacedMark[];
  readonly findings: readonly Finding[];
};

export function surveyOf(
  layout: FieldLayout,
  stakes: readonly Stake[],
  image: { widthPx: number; heightPx: number },
): SurveyState {
  if (stakes.length === 0) return { kind: "none" };
  const result = surveyFrame(
    layout,
    stakes.map((stake) => ({
      kind: "point",
      id: stake.id,
      landmarkId: stake.landmarkId,
      click: stake.click,
      sigmaPx: stake.sigmaPx,
    })),
    image,
  );
  return result.ok ? { kind: "solved", survey: result.survey } : { kind: "refused", refusal: result.refusal };
}

export function placeMarks(survey: Survey, marks: readonly Mark[]): Pick<JudgedMoment, "placed" | "unplaced"> {
  const placed: PlacedMark[] = [];
  const unplaced: UnplacedMark[] = [];
  for (const mark of marks) {
    const measured = measureMark(survey, { click: mark.click, sigmaPx: mark.sigmaPx });
    if (!measured.ok) {
      unplaced.push({ markId: mark.id, message: measured.message });
      continue;
    }
    const facing = mark.facing ? measureMark(survey, { click: mark.facing, sigmaPx: mark.sigmaPx }) : null;
    placed.push({
      markId: mark.id,
      subject: mark.subject,
      sigmaPx: mark.sigmaPx,
      measured,
      facing: facing?.ok ? facing : null,
    });
  }
  return { placed, unplaced };
}

/** Survey, places and findings of one moment, in field yards. */
export function judgeMoment(input: {
  readonly moment: Moment;
  readonly situation: Situation;
  readonly lineJudgeSide: FieldSide;
  readonly stakes: readonly Stake[];
  readonly marks: readonly Mark[];
  readonly layout: FieldLayout;
  readonly book: Book;
  readonly image: { widthPx: number; heightPx: number };
}): JudgedMoment {
  const survey = surveyOf(input.layout, input.stakes, input.image);
  if (survey.kind !== "solved") return { survey, placed: [], unplaced: [], findings: [] };
  const { placed, unplaced } = placeMarks(survey.survey, input.marks);
  return { survey, placed, unplaced, findings: judgePlaced(input, placed) };
}

function judgePlaced(
  input: Pick<Parameters<typeof judgeMoment>[0], "moment" | "situation" | "lineJudgeSide" | "layout" | "book">,
  placed: readonly PlacedMark[],
): Finding[] {
  const players = placed.flatMap((mark): AnchorPlayer[] =>
    mark.subject.kind === "player"
      ? [{ markId: mark.markId, side: mark.subject.side, role: mark.subject.role, at: mark.measured.position }]
      : [],
  );
  const scene = { layout: input.layout, situation: input.situation, lineJudgeSide: input.lineJudgeSide, players };
  const { phase } = input.moment;
  return [...stationFindings(phase, scene, placed, input.book), ...facingFindings(phase, placed, input.book)];
}
