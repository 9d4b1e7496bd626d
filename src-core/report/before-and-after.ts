/** Where an official stood and where the book puts them, on the plan. */
import type { FieldLayout } from "../field/template.ts";
import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { Situation } from "../game/records.ts";
import { glyphOf } from "../picture/mark-glyph.ts";
import { planFieldShapes, planMarginYards, planPoint, planSituationShapes } from "../picture/plan-picture.ts";
import type { PicturePoint, Shape } from "../picture/shape.ts";
import type { Finding, Measured } from "../scoring/finding.ts";
import type { PlacedMark } from "../scoring/station.ts";
import type { Figure, ReportPicture } from "./document.ts";
import { saidPlace } from "./play-steps.ts";

/** Room round what is shown, and the least width of the picture, yards. */
const roundYards = 4;
const leastWidthYards = 24;
const aspect = 3 / 2;
/** Points of ink across the picture. What is written about a distance, with room round it, is so large in such points. */
const inkPoints = 400;
const words = { halfWidth: 64, halfHeight: 12 };
/** Letters nearer together than this would run into each other, points. */
const lettersApart = 45;

/** Distances under this are told as standing in the target: what a printed digit shows. */
const leastYards = 0.05;

/**
 * Null unless the finding is of a station, measured, and with a target. The way goes to the nearest place of the target,
 * which is what `outsideYards` measures.
 */
export function beforeAndAfter(input: {
  readonly finding: Finding;
  /** Everybody of the finding's moment on the ground. */
  readonly placed: readonly PlacedMark[];
  readonly layout: FieldLayout;
  readonly situation: Situation;
}): Figure | null {
  const { finding, placed, layout, situation } = input;
  const { measure, target, position } = finding;
  const mark = placed.find(({ markId }) => markId === finding.markIds[0]);
  if (measure?.kind !== "station" || target === null || !mark) return null;
  const stood = mark.measured.position;
  const onPlan = (point: FieldPoint) => planPoint(layout, point);
  const from = onPlan(stood);
  const asked = nearestOf(target, stood);
  const to = onPlan(asked);
  const { outsideYards } = measure;
  const isInside = outsideYards.value < leastYards;
  const region = mark.measured.region.map(onPlan);
  const frame = frameOf(layout, [from, to, ...region], target.map(onPlan));
  const placing = placingOf(from, to, target.map(onPlan), frame.inkUnit);
  const shapes: Shape[] = [
    ...planFieldShapes(layout),
    ...planSituationShapes(layout, situation),
    ...placed.flatMap(({ subject, measured }): Shape[] => {
      if (subject.kind === "official") return [];
      const { text, ink } = glyphOf(subject);
      return [{ kind: "label", ink, at: onPlan(measured.position), text, place: "on" }];
    }),
    { kind: "path", ink: "target", points: target.map(onPlan), closed: true },
    { kind: "path", ink: "measured", points: region, closed: true },
    ...(isInside ? [] : [{ kind: "arrow" as const, ink: "step" as const, from, to }]),
    { kind: "cross", ink: "official", at: from },
    { kind: "label", ink: "official", at: from, text: position, place: placing.letters },
    ...(isInside || placing.book === null
      ? []
      : [{ kind: "label" as const, ink: "target" as const, at: placing.book, text: "book", place: placing.letters }]),
    ...(isInside
      ? []
      : [
          {
            kind: "label" as const,
            ink: "step" as const,
            at: placing.words,
            text: saidDistance(outsideYards),
            place: "on" as const,
          },
        ]),
  ];
  const stoodSaid = `${position} stood ${saidPlace(stood, layout, situation)}`;
  const distance = `${saidDistance(outsideYards)} from where ${position} stood to the nearest place of the target.`;
  return {
    picture: { ...frame, shapes, stillKey: null },
    alt: isInside
      ? `Plan of the field: ${stoodSaid}, in the target.`
      : `Plan of the field: ${stoodSaid}; the nearest place that the book asks for is ${saidPlace(asked, layout, situation)}. ${distance}`,
    caption: `Where ${position} stood (cross, with the reach of its error) and where the book puts them (dashed). ${isInside ? `${position} stood in the target.` : distance}`,
  };
}

function saidDistance({ value, low, high }: Measured): string {
  return `${value.toFixed(1)} yd (${low.toFixed(1)}–${high.toFixed(1)})`;
}

type Placing = {
  readonly words: PicturePoint;
  readonly letters: "above" | "below";
  /** Where the target's edge is named; null where there is no room beside the official's letters. */
  readonly book: PicturePoint | null;
};

/**
 * What is written lies beside the arrow and clear of both places: the distance on the side to which the target reaches
 * less far, past the official's own error, and all letters on the other.
 */
function placingOf(from: PicturePoint, to: PicturePoint, target: readonly PicturePoint[], inkUnit: number): Placing {
  const [xs, ys] = [target.map(([x]) => x), target.map(([, y]) => y)];
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const [halfWidth, halfHeight] = [words.halfWidth * inkUnit, words.halfHeight * inkUnit];
  const middleX = (left + right) / 2;
  const hasRoom = Math.hypot(middleX - from[0], (top + bottom) / 2 - from[1]) > lettersApart * inkUnit;
  if (Math.abs(dx) < Math.abs(dy)) {
    const letters = dy > 0 ? "above" : "below";
    return {
      words: [Math.max(right, from[0], to[0]) + halfWidth, (from[1] + to[1]) / 2],
      letters,
      book: hasRoom ? [middleX, dy > 0 ? bottom + halfHeight * 2.5 : top - halfHeight * 2.5] : null,
    };
  }
  const high = Math.min(from[1], to[1]);
  const low = Math.max(from[1], to[1]);
  const isBelow = bottom - low <= high - top;
  const past = from[0] + (dx < 0 ? -1 : 1) * Math.max(Math.abs(dx) / 2, halfWidth);
  return {
    words: [past, isBelow ? Math.max(low, bottom) + halfHeight : Math.min(high, top) - halfHeight],
    letters: isBelow ? "above" : "below",
    book: hasRoom ? [middleX, isBelow ? top : bottom] : null,
  };
}

/** A frame of the picture's aspect about both places, no further out than the plan goes. */
function frameOf(
  layout: FieldLayout,
  shown: readonly PicturePoint[],
  target: readonly PicturePoint[],
): Pick<ReportPicture, "surface" | "box" | "inkUnit"> {
  const margin = planMarginYards;
  const onSheet = ([x, y]: PicturePoint): PicturePoint => [
    Math.min(layout.totalLengthYards + margin, Math.max(-margin, x)),
    Math.min(layout.widthYards + margin, Math.max(-margin, y)),
  ];
  const points = [...shown, ...target.map(onSheet)];
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const [left, right] = [Math.min(...xs) - roundYards, Math.max(...xs) + roundYards];
  const [top, bottom] = [Math.min(...ys) - roundYards, Math.max(...ys) + roundYards];
  const width = Math.max(leastWidthYards, right - left, (bottom - top) * aspect);
  const height = width / aspect;
  const box = { x: (left + right - width) / 2, y: (top + bottom - height) / 2, width, height };
  return { surface: "paper", box, inkUnit: width / inkPoints };
}

/** The place of a target nearest to a point: the point itself inside it. Targets lie along the field. */
function nearestOf(target: readonly FieldPoint[], { xYards, yYards }: FieldPoint): FieldPoint {
  const held = (value: number, all: readonly number[]) => Math.min(Math.max(...all), Math.max(Math.min(...all), value));
  return fieldPoint(
    held(
      xYards,
      target.map((corner) => corner.xYards),
    ),
    held(
      yYards,
      target.map((corner) => corner.yYards),
    ),
  );
}
