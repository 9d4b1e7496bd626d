/**
 * A whole play on the plan of the field, frame by frame: everybody on straight lines between the judged moments, which is
 * all that was measured. Times are seconds since the snap.
 */
import type { FieldLayout } from "../field/template.ts";
import type { Phase, Situation } from "../game/records.ts";
import { phaseNames } from "../game/words.ts";
import { planInstantShapes } from "../picture/instant-picture.ts";
import { planFieldShapes, planMarginYards, planPoint, planSituationShapes } from "../picture/plan-picture.ts";
import type { PicturePoint, Shape } from "../picture/shape.ts";
import type { Course } from "../scoring/handoff-course.ts";
import type { Block, ReportPicture } from "./document.ts";

export type PlayPictureOptions = {
  /** Whom a page is about; the others of the crew are then drawn beside the play. Null or left out: all of them. */
  readonly onlyPosition?: string | null;
};

/** What a moving picture is painted from: plain data, so that it can be handed to a worker. */
export type PlayAnimation = Pick<ReportPicture, "surface" | "box" | "inkUnit"> & {
  readonly framesPerSecond: number;
  /** What does not move, under every frame. */
  readonly base: readonly Shape[];
  readonly frames: readonly (readonly Shape[])[];
};

/** How long the first and the last moment stand still, seconds. */
export const holdSec = 0.6;

/** Room for the time above the field's margin, in which benches have their lines, yards. */
const titleYards = 6;
/** A picture is some so many points of ink wide, so that its letters can be read at half of its size. */
const inkPoints = 600;

/** A trail shorter than this lies under the letters, yards. */
const shortestTrailYards = 0.3;

/** The field with its margin and room for the time, in plan yards. */
export function playPictureFrame(layout: FieldLayout): Pick<ReportPicture, "surface" | "box" | "inkUnit"> {
  const margin = planMarginYards;
  const box = {
    x: -margin,
    y: -margin - titleYards,
    width: layout.totalLengthYards + 2 * margin,
    height: layout.widthYards + 2 * margin + titleYards,
  };
  return { surface: "paper", box, inkUnit: box.width / inkPoints };
}

/** The judged moments of a play, ascending. */
export function judgedInstants(course: Course): readonly { readonly sec: number; readonly phase: Phase }[] {
  return course.moments.map(({ moment }) => ({ sec: moment.timeSec - course.snapAtSec, phase: moment.phase }));
}

export function phaseHere(course: Course, sinceSnapSec: number): Phase {
  const here = judgedInstants(course).find(({ sec }) => Math.abs(sec - sinceSnapSec) < 1e-9);
  return here?.phase ?? course.phaseAt(sinceSnapSec);
}

/** "1.24 s after the snap" */
export function saidInstant(sinceSnapSec: number): string {
  const shown = Math.abs(sinceSnapSec).toFixed(2);
  if (shown === "0.00") return "at the snap";
  return `${shown} s ${sinceSnapSec < 0 ? "before" : "after"} the snap`;
}

/** The instant of each frame: the first and last moment are met exactly, and each is held for a while. */
export function playFrames(
  course: Course,
  { framesPerSecond }: { readonly framesPerSecond: number },
): readonly number[] {
  const instants = judgedInstants(course);
  const first = instants[0];
  const last = instants.at(-1);
  if (!first || !last) return [];
  const held = Math.round(holdSec * framesPerSecond);
  const steps = Math.ceil((last.sec - first.sec) * framesPerSecond - 1e-6);
  const moving = Array.from({ length: steps }, (_, i) => first.sec + i / framesPerSecond);
  return [
    ...Array.from({ length: held }, () => first.sec),
    ...moving,
    ...Array.from({ length: held + 1 }, () => last.sec),
  ];
}

/** What stands still under a play: the field, the line of scrimmage and the line to gain. */
export function playBaseShapes(layout: FieldLayout, situation: Situation): Shape[] {
  return [...planFieldShapes(layout), ...planSituationShapes(layout, situation)];
}

/** One frame, whole. */
export function playFrameShapes(
  layout: FieldLayout,
  situation: Situation,
  course: Course,
  sinceSnapSec: number,
  options: PlayPictureOptions = {},
): Shape[] {
  return [...playBaseShapes(layout, situation), ...movingShapes(layout, course, sinceSnapSec, options)];
}

export function playAnimation(
  course: Course,
  layout: FieldLayout,
  situation: Situation,
  { framesPerSecond, ...options }: PlayPictureOptions & { readonly framesPerSecond: number },
): PlayAnimation {
  return {
    ...playPictureFrame(layout),
    framesPerSecond,
    base: playBaseShapes(layout, situation),
    frames: playFrames(course, { framesPerSecond }).map((sec) => movingShapes(layout, course, sec, options)),
  };
}

function movingShapes(
  layout: FieldLayout,
  course: Course,
  sinceSnapSec: number,
  { onlyPosition = null }: PlayPictureOptions,
): Shape[] {
  return [
    ...trailShapes(layout, course, sinceSnapSec, onlyPosition),
    ...planInstantShapes(layout, course, sinceSnapSec, onlyPosition),
    ...timeShapes(layout, course, sinceSnapSec),
  ];
}

/** The way each official has come since the first moment, through the moments between. */
function trailShapes(layout: FieldLayout, course: Course, sinceSnapSec: number, onlyPosition: string | null): Shape[] {
  return course.standings(sinceSnapSec).flatMap(({ track, at }): Shape[] => {
    const { subject } = track;
    if (subject.kind !== "official" || (onlyPosition !== null && subject.position !== onlyPosition)) return [];
    const passed = track.points.filter(({ timeSec }) => timeSec - course.snapAtSec < sinceSnapSec - 1e-9);
    const points = [...passed.map((point) => point.at), at].map((point) => planPoint(layout, point));
    return lengthOf(points) < shortestTrailYards ? [] : [{ kind: "path", ink: "trail", points, closed: false }];
  });
}

function lengthOf(points: readonly PicturePoint[]): number {
  return points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i]![0], y - points[i]![1]), 0);
}

/** Above the field, a line each, so that neither moves much as the time runs. */
function timeShapes(layout: FieldLayout, course: Course, sinceSnapSec: number): Shape[] {
  const top = -planMarginYards - titleYards;
  const line = (down: number, text: string): Shape => ({
    kind: "label",
    ink: "note",
    at: [layout.totalLengthYards / 2, top + down],
    text,
    place: "on",
  });
  const said = saidInstant(sinceSnapSec);
  const phase = phaseHere(course, sinceSnapSec);
  return [
    line(1.8, `${said.slice(0, 1).toUpperCase()}${said.slice(1)}`),
    // Before the snap the time has said so already.
    ...(phase === "pre-snap" ? [] : [line(4.6, phaseNames[phase])]),
  ];
}

/** What the lines and rings of such a picture say. */
export const playPictureKey =
  "O is the offence, X the defence, the dot the ball, and letters are the crew, each with an arrow the way they faced and " +
  "a faint trail of where they came from. A line runs from an official to two opponents whom they watched; a dashed " +
  "ring lies round two whom nobody watched whose they were.";

/** The block of a moving picture whose file is known by a key. */
export function playAnimationBlock(
  key: string,
  playNumber: number,
  course: Course,
  { onlyPosition = null }: PlayPictureOptions = {},
): Extract<Block, { kind: "animation" }> {
  const instants = judgedInstants(course);
  const [first, last] = [instants[0]?.sec ?? 0, instants.at(-1)?.sec ?? 0];
  const whom = onlyPosition === null ? "the crew and both teams" : `${onlyPosition} and both teams`;
  return {
    kind: "animation",
    key,
    alt: `Play ${playNumber} on the plan of the field from ${saidInstant(first)} to ${saidInstant(last)}: ${whom}. The pictures that follow it say where each official stands.`,
    caption: `Play ${playNumber}, ${whom}: measured at ${instants.length} moments, and on straight lines between them.`,
  };
}
