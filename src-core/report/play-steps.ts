/** A play as pictures to step through: its judged moments, and instants between them. */
import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import type { FieldPoint } from "../field/units.ts";
import type { Phase, Play, Situation } from "../game/records.ts";
import { phaseNames } from "../game/words.ts";
import type { Book } from "../mechanics/book.ts";
import type { Course } from "../scoring/handoff-course.ts";
import type { JudgedPlay } from "../scoring/judge-play.ts";
import type { Block, Figure } from "./document.ts";
import {
  judgedInstants,
  phaseHere,
  type PlayPictureOptions,
  playFrameShapes,
  playPictureFrame,
  saidInstant,
} from "./play-animation.ts";

export type TaughtPlay = {
  readonly play: Pick<Play, "number" | "snapSec" | "situation">;
  readonly judged: Pick<JudgedPlay, "course" | "moments">;
  readonly layout: FieldLayout;
  readonly book: Pick<Book, "looks">;
};

/** The steps, or null and a sentence why a play cannot be shown as a whole. */
export type PlaySteps =
  | { readonly block: Extract<Block, { kind: "steps" }>; readonly why: null }
  | { readonly block: null; readonly why: string };

/** About how far apart the instants between two moments are, seconds, where they are not asked for otherwise. */
const usualBetweenSec = 0.5;

export function playSteps(
  taught: TaughtPlay,
  { betweenSec, ...options }: PlayPictureOptions & { readonly betweenSec?: number } = {},
): PlaySteps {
  const { play, judged, layout } = taught;
  const { course } = judged;
  if (course === null) return { block: null, why: whyNoCourse(taught) };
  return {
    block: {
      kind: "steps",
      name: `Play ${play.number}, step by step`,
      steps: stepInstants(course, betweenSec).map((sec) => ({
        label: stepLabel(sec),
        figure: instantFigure(course, layout, play.situation, sec, options),
      })),
    },
    why: null,
  };
}

/** The moments, and so many instants evenly between two as make steps of about that length. */
export function stepInstants(course: Course, betweenSec: number = usualBetweenSec): readonly number[] {
  const moments = judgedInstants(course).map(({ sec }) => sec);
  return moments.flatMap((sec, i) => {
    const before = moments[i - 1];
    if (before === undefined) return [sec];
    if (sec - before < 1e-9) return [];
    const pieces = Math.max(1, Math.round((sec - before) / betweenSec));
    return Array.from({ length: pieces }, (_, k) =>
      k === pieces - 1 ? sec : before + ((sec - before) * (k + 1)) / pieces,
    );
  });
}

function stepLabel(sec: number): string {
  const shown = sec.toFixed(2);
  return Number(shown) === 0 ? "snap" : `${sec < 0 ? "−" : "+"}${Math.abs(sec).toFixed(2)} s`;
}

function instantFigure(
  course: Course,
  layout: FieldLayout,
  situation: Situation,
  sec: number,
  options: PlayPictureOptions,
): Figure {
  const isJudged = judgedInstants(course).some((one) => Math.abs(one.sec - sec) < 1e-9);
  const phase = phaseHere(course, sec);
  const said = saidInstant(sec);
  return {
    picture: {
      ...playPictureFrame(layout),
      shapes: playFrameShapes(layout, situation, course, sec, options),
      stillKey: null,
    },
    alt: `Plan of the field ${said}. ${officialsSaid(course, layout, situation, sec, options)}`,
    caption: `${captionStart(phase, said)}, ${isJudged ? "as marked" : "between two moments, on straight lines"}.`,
  };
}

function captionStart(phase: Phase, said: string): string {
  return phase === "pre-snap" ? `${said.slice(0, 1).toUpperCase()}${said.slice(1)}` : `${phaseNames[phase]}, ${said}`;
}

function officialsSaid(
  course: Course,
  layout: FieldLayout,
  situation: Situation,
  sec: number,
  { onlyPosition = null }: PlayPictureOptions,
): string {
  const standings = course.standings(sec);
  const order = course.book.positions.map(({ id }) => id);
  const crew = onlyPosition === null ? order : [onlyPosition, ...order.filter((id) => id !== onlyPosition)];
  const sentences = crew.map((position) => {
    const there = standings.find(
      ({ track: { subject } }) => subject.kind === "official" && subject.position === position,
    );
    return there ? `${position} ${saidPlace(there.at, layout, situation)}.` : `${position} is not marked.`;
  });
  return sentences.join(" ");
}

/** "7.2 yd behind the line of scrimmage, 13.0 yd inside the near sideline" */
export function saidPlace(at: FieldPoint, layout: FieldLayout, situation: Situation): string {
  const depth = directionSign(situation.direction) * (at.xYards - situation.scrimmageXYards);
  const yards = (value: number) => `${Math.abs(value).toFixed(1)} yd`;
  const isOn = (value: number) => Math.abs(value) < 0.05;
  const depthSaid = isOn(depth)
    ? "on the line of scrimmage"
    : `${yards(depth)} ${depth > 0 ? "downfield of" : "behind"} the line of scrimmage`;
  const isNear = at.yYards < layout.widthYards / 2;
  const inside = isNear ? at.yYards : layout.widthYards - at.yYards;
  const sideline = isNear ? "the near sideline" : "the far sideline";
  const widthSaid = isOn(inside)
    ? `on ${sideline}`
    : `${yards(inside)} ${inside > 0 ? "inside" : "outside"} ${sideline}`;
  return `${depthSaid}, ${widthSaid}`;
}

/** Why a play cannot be shown between its moments. */
function whyNoCourse({ play, judged, book }: TaughtPlay): string {
  const placed = judged.moments.filter((one) => one.judged.placed.length > 0);
  const start = `Play ${play.number} cannot be shown as a whole:`;
  if (placed.length < 2)
    return `${start} ${placed.length === 0 ? "none of its moments is" : "only one of its moments is"} surveyed and marked, and it takes two to place people between them.`;
  if (book.looks.length === 0) return `${start} its book does not say how looks are read.`;
  const isBefore = placed.some(({ moment }) => moment.phase === "pre-snap");
  if (play.snapSec === null && !isBefore) return `${start} nobody has said when its snap was.`;
  return `${start} none of its marked moments follows the snap.`;
}
