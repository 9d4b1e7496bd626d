import { imageOf } from "../field/seen-through.ts";
import type { Survey } from "../field/survey.ts";
import type { Mark } from "../game/records.ts";
import { phaseNames } from "../game/words.ts";
import { markShapes, situationShapes, targetShapes } from "../picture/frame-picture.ts";
import { frameSightShapes, planSightShapes, type Sightline, sightlines } from "../picture/look-picture.ts";
import {
  planFieldShapes,
  planMarginYards,
  planMarkShapes,
  planSituationShapes,
  planTargetShapes,
} from "../picture/plan-picture.ts";
import type { PicturePoint, Shape } from "../picture/shape.ts";
import type { Finding } from "../scoring/finding.ts";
import type { MomentOfPlay } from "../scoring/judge-play.ts";
import type { Figure, ReportPicture, StillWanted } from "./document.ts";
import { type Found, type PageInput, stillKey } from "./page-input.ts";

/** Whom a figure is about: with one official, no other is drawn. */
type Of = {
  readonly position: string | null;
  readonly alt: string;
  /** The whole frame of the film, and not only the part that shows what it is about. */
  readonly isWhole?: boolean;
};

type MomentFigures = { readonly figures: readonly Figure[]; readonly stills: readonly StillWanted[] };

/** The annotated frame and the plan of what a finding rests on; none where it has no moment, or that is not surveyed. */
export function evidenceFigures(
  input: Pick<PageInput, "records" | "layout">,
  { play, finding, at }: Found,
  of: Of,
): MomentFigures {
  return at ? momentFigures(input, { play, at, findings: [finding] }, of) : { figures: [], stills: [] };
}

/** The annotated frame and the plan of a moment with what was found there; none where it is not surveyed. */
export function momentFigures(
  input: Pick<PageInput, "records" | "layout">,
  { play, at, findings }: Pick<Found, "play"> & { readonly at: MomentOfPlay; readonly findings: readonly Finding[] },
  of: Of,
): MomentFigures {
  if (at.judged.survey.kind !== "solved") return { figures: [], stills: [] };
  const { survey } = at.judged.survey;
  const { records, layout } = input;
  const marks = records.marks.filter(
    ({ momentId, subject }) =>
      momentId === at.moment.id &&
      (subject.kind !== "official" || of.position === null || subject.position === of.position),
  );
  const lines = linesOf(at, findings, of.position);
  const when = `Play ${play.number}, ${phaseNames[at.moment.phase].toLowerCase()}`;
  const { widthPx, heightPx } = survey.image;
  const box = of.isWhole
    ? { x: 0, y: 0, width: widthPx, height: heightPx }
    : cropOf(survey, findings, marks, lines, of.position);
  const key = `${stillKey(of.position ?? "crew", at.moment)}-${box.x}-${box.y}-${box.width}`;
  const still: ReportPicture = {
    surface: "film",
    box,
    inkUnit: box.width / 640,
    shapes: rounded(tenths, [
      ...situationShapes(layout, survey, play.situation),
      ...targetShapes(survey, findings),
      ...frameSightShapes(survey, lines),
      ...markShapes(marks, at.judged),
    ]),
    stillKey: key,
  };
  const shown = new Set(marks.map(({ id }) => id));
  const placed = at.judged.placed.filter(({ markId }) => shown.has(markId));
  const planBox = planCrop(
    placed.map(({ measured }) => measured.position.xYards),
    input,
  );
  const plan: ReportPicture = {
    surface: "paper",
    box: planBox,
    inkUnit: planBox.width / 560,
    shapes: rounded(thousandths, [
      ...planFieldShapes(layout),
      ...planSituationShapes(layout, play.situation),
      ...planTargetShapes(layout, findings),
      ...planSightShapes(layout, lines),
      ...planMarkShapes(layout, placed),
    ]),
    stillKey: null,
  };
  const targets = findings.filter(({ target: region }) => region !== null).length;
  const target =
    targets === 0
      ? ""
      : targets === 1
        ? " The outlined region is where the book puts the official."
        : " The outlined regions are where the book puts the officials.";
  // The play's clock runs on its own film; the still is of the film that the moment was judged on.
  const filmed = records.moments.find(({ id }) => id === at.moment.id) ?? at.moment;
  return {
    figures: [
      { picture: still, alt: `Frame of the film. ${of.alt}${target}`, caption: `${when}, as filmed` },
      { picture: plan, alt: `Plan of the field. ${of.alt}${target}`, caption: `${when}, as measured` },
    ],
    stills: [{ key, filmId: filmed.filmId, timeSec: filmed.timeSec, box }],
  };
}

function linesOf({ judged }: MomentOfPlay, findings: readonly Finding[], position: string | null): Sightline[] {
  if (findings.every(({ measure }) => measure?.kind !== "look")) return [];
  const lines = sightlines(judged.looks, findings, position);
  return position === null ? lines : lines.filter((line) => line.position === position);
}

/** The part of the frame that shows it: whoever it is about, the target and the looks, with room around them. */
function cropOf(
  survey: Survey,
  findings: readonly Finding[],
  marks: readonly Mark[],
  lines: readonly Sightline[],
  position: string | null,
): ReportPicture["box"] {
  const { widthPx, heightPx } = survey.image;
  const rests = new Set(findings.flatMap(({ markIds }) => markIds));
  const ground = [...findings.flatMap(({ target }) => target ?? []), ...lines.flatMap(({ from, to }) => [from, to])];
  const points: PicturePoint[] = [
    ...marks
      .filter(({ id, subject }) => rests.has(id) || (subject.kind === "official" && subject.position === position))
      .map(({ click }): PicturePoint => [click.uPx, click.vPx]),
    ...ground.flatMap((point): PicturePoint[] => {
      const at = imageOf(survey, point);
      return at ? [[at.uPx, at.vPx]] : [];
    }),
  ].filter(([u, v]) => u >= 0 && v >= 0 && u <= widthPx && v <= heightPx);
  if (points.length === 0) return { x: 0, y: 0, width: widthPx, height: heightPx };
  const us = points.map(([u]) => u);
  const vs = points.map(([, v]) => v);
  const room = widthPx * 0.09;
  const wide = Math.max(...us) - Math.min(...us) + 2 * room;
  const high = Math.max(...vs) - Math.min(...vs) + 2 * room;
  // As wide as the frame is to its height, so that a page of stills lies even.
  const width = Math.round(Math.min(widthPx, Math.max(wide, (high * widthPx) / heightPx, widthPx * 0.4)));
  const height = Math.round((width * heightPx) / widthPx);
  const middleU = (Math.max(...us) + Math.min(...us)) / 2;
  // A person stands above the point between their feet.
  const middleV = (Math.max(...vs) + Math.min(...vs)) / 2 - height * 0.08;
  const within = (value: number, most: number) => Math.round(Math.min(most, Math.max(0, value)));
  return {
    x: within(middleU - width / 2, widthPx - width),
    y: within(middleV - height / 2, heightPx - height),
    width,
    height,
  };
}

/** A page is sent and kept: no more of a place than can be seen of it. Tenths of a pixel, thousandths of a yard. */
const tenths = 10;
const thousandths = 1000;

function rounded(parts: number, shapes: readonly Shape[]): Shape[] {
  const round = (value: number) => Math.round(value * parts) / parts;
  const point = ([x, y]: PicturePoint): PicturePoint => [round(x), round(y)];
  return shapes.map((shape): Shape => {
    switch (shape.kind) {
      case "path":
        return { ...shape, points: shape.points.map(point) };
      case "arrow":
        return { ...shape, from: point(shape.from), to: point(shape.to) };
      case "cross":
      case "ring":
      case "label":
        return { ...shape, at: point(shape.at) };
    }
  });
}

/** A plan is as wide to its height as most film, so that the two lie even beside each other. */
const wideAsFilm = 16 / 9;

/** The field over its whole width, and along it as far as people stand. */
function planCrop(xsYards: readonly number[], { layout }: Pick<PageInput, "layout">): ReportPicture["box"] {
  const margin = planMarginYards;
  const height = layout.widthYards + 2 * margin;
  const length = layout.totalLengthYards + 2 * margin;
  const least = Math.min(...xsYards, layout.totalLengthYards);
  const most = Math.max(...xsYards, 0);
  const width = Math.min(length, Math.max(height * wideAsFilm, most - least + 2 * margin));
  const x = Math.min(length - margin - width, Math.max(-margin, (least + most) / 2 - width / 2));
  return { x, y: -margin, width, height };
}
