import type { Ghost } from "../scoring/ghosts.ts";
import { imageOf, type Seeing } from "../field/seen-through.ts";
import type { Survey } from "../field/survey.ts";
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint, type ImagePoint } from "../field/units.ts";
import type { LineClick, LineStake, Mark, Stake } from "../game/records.ts";
import type { Finding } from "../scoring/finding.ts";
import type { JudgedMoment } from "../scoring/judge-moment.ts";
import { glyphOf } from "./mark-glyph.ts";
import type { Ink, PicturePoint, Shape } from "./shape.ts";

/** Shapes over a film frame, in image pixels. */

const pointOf = (point: ImagePoint): PicturePoint => [point.uPx, point.vPx];

/**
 * A field line as it runs through the picture, sampled so that the part behind the camera or far outside the picture is
 * left out: two points, or as many as it takes through a lens that bends. Null when none of it can be seen.
 */
export function projectSegment(survey: Seeing, from: FieldPoint, to: FieldPoint): PicturePoint[] | null {
  const { image } = survey;
  const pieces = 64;
  const seen: PicturePoint[] = [];
  for (let i = 0; i <= pieces; i++) {
    const t = i / pieces;
    const at = imageOf(
      survey,
      fieldPoint(from.xYards + (to.xYards - from.xYards) * t, from.yYards + (to.yYards - from.yYards) * t),
    );
    const near =
      at &&
      Math.abs(at.uPx - image.widthPx / 2) < image.widthPx * 1.5 &&
      Math.abs(at.vPx - image.heightPx / 2) < image.heightPx * 1.5;
    if (near) seen.push(pointOf(at));
    else if (seen.length > 0) break;
  }
  const first = seen[0];
  const last = seen.at(-1);
  if (!first || !last || seen.length < 2) return null;
  return survey.lens ? seen : [first, last];
}

function projectPolygon(survey: Seeing, corners: readonly FieldPoint[]): PicturePoint[] | null {
  const points = corners.map((corner) => imageOf(survey, corner));
  return points.every((point) => point !== null) ? points.map(pointOf) : null;
}

/** The field's own lines drawn back over the frame, where a wrong stake is seen at once. */
export function fieldLineShapes(layout: FieldLayout, survey: Seeing): Shape[] {
  return layout.lines.flatMap((line): Shape[] => {
    if (line.kind === "number-row") return [];
    const points = projectSegment(survey, line.from, line.to);
    const edge = line.kind === "goal-line" || line.kind === "end-line" || line.kind === "sideline";
    const ink: Ink = edge ? "field-edge" : "field-line";
    return points ? [{ kind: "path", ink, points, closed: false }] : [];
  });
}

/** A cross where each stake was clicked, and a ring where the survey says that its landmark lies. */
export function stakeShapes(
  layout: FieldLayout,
  stakes: readonly Stake[],
  survey: Survey | null,
  offStakeIds: ReadonlySet<string>,
): Shape[] {
  return stakes.flatMap((stake): Shape[] => {
    const ink: Ink = offStakeIds.has(stake.id) ? "stake-off" : "stake";
    if (stake.kind === "line") return lineStakeShapes(layout, stake, ink, survey);
    const landmark = layout.landmarks.find((candidate) => candidate.id === stake.landmarkId);
    const there = landmark && survey ? imageOf(survey, landmark.at) : null;
    return [
      ...(there ? [{ kind: "ring" as const, ink, at: pointOf(there) }] : []),
      ...rawShapes([{ at: stake.click, raw: stake.raw }]),
      { kind: "cross", ink, at: pointOf(stake.click) },
    ];
  });
}

/** A hair from where it was clicked to the paint it settled on. */
function rawShapes(clicks: readonly LineClick[]): Shape[] {
  return clicks.flatMap(({ at, raw }): Shape[] =>
    raw ? [{ kind: "path", ink: "note", points: [pointOf(raw), pointOf(at)], closed: false }] : [],
  );
}

/** The crosses of a line stake, and its line as the survey has it, or as the clicks alone draw it. */
function lineStakeShapes(layout: FieldLayout, stake: LineStake, ink: Ink, survey: Survey | null): Shape[] {
  const crosses = [
    ...rawShapes(stake.clicks),
    ...stake.clicks.map((click): Shape => ({ kind: "cross", ink, at: pointOf(click.at) })),
  ];
  const line = layout.lines.find((candidate) => candidate.id === stake.lineId);
  const points =
    survey && line
      ? projectSegment(survey, line.from, line.to)
      : stake.clicks.length > 1
        ? stake.clicks.map((click) => pointOf(click.at))
        : null;
  return [...(points ? [{ kind: "path" as const, ink, points, closed: false }] : []), ...crosses];
}

export function targetInk(finding: Finding): Ink {
  switch (finding.verdict) {
    case "met":
      return "target-met";
    case "missed":
      return "target-missed";
    case "cannot tell":
      return "target-unsure";
    case "not applicable":
      return "target";
  }
}

/** Each finding's target on the ground, as the camera sees it. */
export function targetShapes(survey: Survey, findings: readonly Finding[]): Shape[] {
  return findings.flatMap((finding): Shape[] => {
    const points = finding.target ? projectPolygon(survey, finding.target) : null;
    return points ? [{ kind: "path", ink: targetInk(finding), points, closed: true }] : [];
  });
}

/** The line of scrimmage and the line to gain of the play. */
export function situationShapes(
  layout: FieldLayout,
  survey: Survey,
  situation: { scrimmageXYards: number; lineToGainXYards: number | null },
): Shape[] {
  const across = (xYards: number, ink: Ink): Shape[] => {
    const points = projectSegment(survey, fieldPoint(xYards, 0), fieldPoint(xYards, layout.widthYards));
    return points ? [{ kind: "path", ink, points, closed: false }] : [];
  };
  return [
    ...across(situation.scrimmageXYards, "scrimmage"),
    ...(situation.lineToGainXYards === null ? [] : across(situation.lineToGainXYards, "line-to-gain")),
  ];
}

/** Each mark: its 95 % region where it was measured, its glyph, and the way it faces. */
export function markShapes(marks: readonly Mark[], judged: Pick<JudgedMoment, "survey" | "placed">): Shape[] {
  const survey = judged.survey.kind === "solved" ? judged.survey.survey : null;
  return marks.flatMap((mark): Shape[] => {
    const { text, ink } = glyphOf(mark.subject);
    const placed = judged.placed.find((candidate) => candidate.markId === mark.id);
    const region = survey && placed ? projectPolygon(survey, placed.measured.region) : null;
    return [
      ...(region ? [{ kind: "path" as const, ink: "measured" as const, points: region, closed: true }] : []),
      ...(mark.facing ? [{ kind: "arrow" as const, ink, from: pointOf(mark.click), to: pointOf(mark.facing) }] : []),
      { kind: "cross", ink, at: pointOf(mark.click) },
      { kind: "label", ink, at: pointOf(mark.click), text, place: "below" },
    ];
  });
}

/** People proposed from another moment: hollow and dashed, with the one whose turn it is told from the rest. */
export function ghostShapes(ghosts: readonly Ghost[], nextId: string | null): Shape[] {
  return ghosts.flatMap((ghost): Shape[] => {
    const ink: Ink = ghost.id === nextId ? "ghost-next" : "ghost";
    const at = pointOf(ghost.at);
    return [
      { kind: "ring", ink, at },
      ...(ghost.facing && ghost.id === nextId
        ? [{ kind: "arrow" as const, ink, from: at, to: pointOf(ghost.facing.at) }]
        : []),
      { kind: "label", ink, at, text: `${glyphOf(ghost.subject).text}${isLost(ghost) ? "?" : ""}`, place: "above" },
    ];
  });
}

/** Was looked for in the film and lost: still drawn where they stood. */
function isLost({ followed }: Ghost): boolean {
  return followed !== null && followed !== "followed";
}
