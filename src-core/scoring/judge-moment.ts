import { measureMark } from "../field/mark.ts";
import type { Survey } from "../field/survey.ts";
import type { FieldLayout } from "../field/template.ts";
import type { FieldSide, Mark, Moment, Situation } from "../game/records.ts";
import type { Book } from "../mechanics/book.ts";
import type { AnchorPlayer, StationScene } from "../mechanics/anchors.ts";
import { facingFindings } from "./facing.ts";
import type { SurveyState } from "./film-surveys.ts";
import type { Finding } from "./finding.ts";
import { hasLooks, judgeLooks, type MomentLooks } from "./look.ts";
import { lookFindings } from "./look-findings.ts";
import type { Responsible } from "./matters.ts";
import { type MomentMarks, type PlacedMark, stationFindings, type UnplacedMark } from "./station.ts";

/** Changes whenever a result could: results kept anywhere carry it beside the book's edition. */
export const scoringVersion = "4";

/** Everything that follows from the clicks of one moment. Nothing here is kept: it can be made again from the clicks. */
export type JudgedMoment = {
  readonly survey: SurveyState;
  readonly placed: readonly PlacedMark[];
  readonly unplaced: readonly UnplacedMark[];
  readonly findings: readonly Finding[];
  /** Who could see what; null before the snap, without a survey, or where the book has no rule for looks. */
  readonly looks: MomentLooks | null;
};

export function placeMarks(survey: Survey, marks: readonly Mark[]): Pick<JudgedMoment, "placed" | "unplaced"> {
  const placed: PlacedMark[] = [];
  const unplaced: UnplacedMark[] = [];
  for (const mark of marks) {
    const measured = measureMark(survey, { click: mark.click, sigmaPx: mark.sigmaPx });
    if (!measured.ok) {
      unplaced.push({ markId: mark.id, subject: mark.subject, message: measured.message });
      continue;
    }
    const facing = mark.facing ? measureMark(survey, { click: mark.facing, sigmaPx: mark.sigmaPx }) : null;
    placed.push({
      markId: mark.id,
      subject: mark.subject,
      sigmaPx: mark.sigmaPx,
      measured,
      facing: facing?.ok ? facing : null,
      facingFault: facing === null || facing.ok ? null : facing.message,
    });
  }
  return { placed, unplaced };
}

/** Places and findings of one moment on its survey, in field yards. */
export function judgeMoment(input: {
  readonly moment: Moment;
  readonly situation: Situation;
  readonly lineJudgeSide: FieldSide;
  readonly survey: SurveyState;
  readonly marks: readonly Mark[];
  readonly layout: FieldLayout;
  readonly book: Book;
  /** Whose each matter is; without it every official may have every one. */
  readonly responsible?: Responsible | undefined;
}): JudgedMoment {
  const { survey } = input;
  if (survey.kind !== "solved") return { survey, placed: [], unplaced: [], findings: [], looks: null };
  const marks = placeMarks(survey.survey, input.marks);
  return { survey, ...marks, ...judgePlaced(input, marks) };
}

function judgePlaced(
  input: Omit<Parameters<typeof judgeMoment>[0], "survey" | "marks">,
  marks: MomentMarks,
): Pick<JudgedMoment, "findings" | "looks"> {
  const { book, layout, situation } = input;
  const players = marks.placed.flatMap((mark): AnchorPlayer[] =>
    mark.subject.kind === "player"
      ? [{ markId: mark.markId, side: mark.subject.side, role: mark.subject.role, at: mark.measured.position }]
      : [],
  );
  const ball = marks.placed.find((mark) => mark.subject.kind === "ball");
  const scene: StationScene = {
    layout,
    situation,
    lineJudgeSide: input.lineJudgeSide,
    players,
    ball: ball ? { markId: ball.markId, at: ball.measured.position } : null,
  };
  const { phase } = input.moment;
  const rule = hasLooks(phase) ? book.looks[0] : undefined;
  const positions = book.positions.map(({ id }) => id);
  const { placed } = marks;
  const looks = rule ? judgeLooks({ rule, positions, placed, scene, responsible: input.responsible }) : null;
  const findings = [
    ...stationFindings(phase, scene, marks, book),
    ...facingFindings(phase, marks, book, situation.direction),
    ...(looks ? lookFindings({ looks, phase, scene, grading: book.grading }) : []),
  ];
  return { findings, looks };
}
