import type { ImagePoint } from "../field/units.ts";
import { playAt, toPlaySec } from "./angles.ts";
import { proposedMoments } from "./moment-proposals.ts";
import { applyChanges, type Change, put } from "./changes.ts";
import {
  defaultMarkSigmaPx,
  defaultStakeSigmaPx,
  type Film,
  type GameRecords,
  type Mark,
  type MarkSubject,
  type LineClick,
  type LineStake,
  type Moment,
  nothingSaid,
  type Phase,
  type Play,
  type PointStake,
  type Situation,
  snappedStakeSigmaPx,
} from "./records.ts";

/**
 * Edits a person makes, as plans: the changes to hand to the write door. Ids come from outside, so that the same call
 * makes the same plan.
 */
export type NewId = () => string;

/** A frame of a film: what is on screen when somebody clicks. */
export type FrameHere = { readonly film: Film; readonly frameIndex: number; readonly timeSec: number };

export function momentAt(records: GameRecords, filmId: string, frameIndex: number): Moment | null {
  return records.moments.find((moment) => moment.filmId === filmId && moment.frameIndex === frameIndex) ?? null;
}

/** A person stops a frame or two beside the instant that is meant. Seconds. */
const besideSec = 0.07;

/** The phase a moment most likely has: that of one proposed there, or from where it lies against the play's times. */
export function likelyPhase(play: Play, timeSec: number): Phase {
  const proposed = proposedMoments(play)
    .toSorted((a, b) => Math.abs(a.playSec - timeSec) - Math.abs(b.playSec - timeSec))
    .find(({ playSec }) => Math.abs(playSec - timeSec) <= besideSec);
  if (proposed) return proposed.phase;
  const { snapSec, releaseSec, catchSec, deadSec, endSec } = play;
  if (snapSec === null || timeSec <= snapSec + 0.05) return "pre-snap";
  if (deadSec !== null && timeSec >= deadSec - besideSec) return "dead-ball";
  if (catchSec !== null && timeSec >= catchSec - besideSec) return "catch";
  if (releaseSec !== null && timeSec > releaseSec + besideSec && (catchSec ?? deadSec) !== null) return "ball-away";
  if (timeSec - snapSec < 2) return "keys";
  return deadSec === null && timeSec > endSec - 0.7 ? "dead-ball" : "zone";
}

const newPlaySpanSec = { before: 3, after: 7 };

/** A play around this instant, with the situation of the play before it as a start. */
export function planPlay(records: GameRecords, here: FrameHere, situation: Situation, newId: NewId): Play {
  const onFilm = records.plays.filter((play) => play.filmId === here.film.id);
  const before = onFilm.filter((play) => play.endSec <= here.timeSec).map((play) => play.endSec);
  const after = onFilm.filter((play) => play.startSec > here.timeSec).map((play) => play.startSec);
  return {
    id: newId(),
    gameId: records.game.id,
    filmId: here.film.id,
    number: Math.max(0, ...records.plays.map((play) => play.number)) + 1,
    startSec: Math.max(0, here.timeSec - newPlaySpanSec.before, ...before),
    endSec: Math.min(
      Math.max(here.film.durationSec, here.timeSec + 0.1),
      here.timeSec + newPlaySpanSec.after,
      ...after,
    ),
    ...nothingSaid,
    situation,
  };
}

/** The moment of this frame, with the changes that make it (and its play) when there is none yet. */
export function ensureMoment(
  records: GameRecords,
  here: FrameHere,
  situation: Situation,
  newId: NewId,
): { readonly moment: Moment; readonly changes: Change[] } {
  const existing = momentAt(records, here.film.id, here.frameIndex);
  if (existing) return { moment: existing, changes: [] };
  const found = playAt(records, here.film.id, here.timeSec);
  const play = found ?? planPlay(records, here, situation, newId);
  const moment: Moment = {
    id: newId(),
    gameId: records.game.id,
    playId: play.id,
    filmId: here.film.id,
    phase: likelyPhase(play, toPlaySec(play, records.angles, here.film.id, here.timeSec) ?? here.timeSec),
    frameIndex: here.frameIndex,
    timeSec: here.timeSec,
  };
  return { moment, changes: [...(found ? [] : [put("play", null, play)]), put("moment", null, moment)] };
}

export function newStake(moment: Moment, landmarkId: string, click: LineClick, newId: NewId): PointStake {
  return {
    id: newId(),
    gameId: moment.gameId,
    momentId: moment.id,
    kind: "point",
    landmarkId,
    click: click.at,
    raw: click.raw,
    sigmaPx: sigmaOf([click]),
  };
}

/** One more click on a line: in the stake that is there for it, or in a new one. */
export function clickLine(
  records: GameRecords,
  moment: Moment,
  lineId: string,
  click: LineClick,
  newId: NewId,
): { readonly stake: LineStake; readonly change: Change } {
  const there = records.stakes.find(
    (stake): stake is LineStake => stake.kind === "line" && stake.momentId === moment.id && stake.lineId === lineId,
  );
  const clicks = [...(there?.clicks ?? []), click];
  const stake: LineStake = {
    id: there?.id ?? newId(),
    gameId: moment.gameId,
    momentId: moment.id,
    kind: "line",
    lineId,
    clicks,
    sigmaPx: sigmaOf(clicks),
  };
  return { stake, change: put("stake", there ?? null, stake) };
}

/** A stake is as good as its worst click: finer only when every one was settled on the paint. */
export function sigmaOf(clicks: readonly LineClick[]): number {
  return clicks.every((click) => click.raw !== null) ? snappedStakeSigmaPx : defaultStakeSigmaPx;
}

/** A stake with one of its clicks somewhere else; `at` counts the clicks of a line, and is 0 for a point. */
export function movedStake<S extends PointStake | LineStake>(stake: S, at: number, click: LineClick): S {
  if (stake.kind === "point") return { ...stake, click: click.at, raw: click.raw, sigmaPx: sigmaOf([click]) };
  const clicks = stake.clicks.map((before, index) => (index === at ? click : before));
  return { ...stake, clicks, sigmaPx: sigmaOf(clicks) };
}

/** How much of a survey a stake gives, of eight that it takes: two for a point, one for each of a line's first two clicks. */
export function equationsOf(stake: PointStake | LineStake): number {
  return stake.kind === "point" ? 2 : Math.min(2, stake.clicks.length);
}

/** Equations that make a survey by themselves, and that are enough once two other frames have told where the camera is. */
const wholeSurvey = 8;
const surveyOfKnownCamera = 4;

/** The moments whose stakes are enough for a survey. */
export function stakedEnough(stakes: readonly (PointStake | LineStake)[]): ReadonlySet<string> {
  const counts = new Map<string, number>();
  for (const stake of stakes) counts.set(stake.momentId, (counts.get(stake.momentId) ?? 0) + equationsOf(stake));
  const own = [...counts.values()].filter((count) => count >= wholeSurvey);
  const enough = own.length >= 2 ? surveyOfKnownCamera : wholeSurvey;
  return new Set([...counts].filter(([, count]) => count >= enough).map(([momentId]) => momentId));
}

/** The clicks of a stake, whichever kind it is. */
export function clicksOf(stake: PointStake | LineStake): readonly LineClick[] {
  return stake.kind === "point" ? [{ at: stake.click, raw: stake.raw }] : stake.clicks;
}

/** A new mark, or the one already there of somebody there is only one of: an official, the ball, the snapper, the passer. */
export function placeMark(
  records: GameRecords,
  moment: Moment,
  subject: MarkSubject,
  click: ImagePoint,
  newId: NewId,
): { readonly mark: Mark; readonly change: Change } {
  const there = isSingle(subject)
    ? records.marks.find((mark) => mark.momentId === moment.id && sameSubject(mark.subject, subject))
    : undefined;
  if (there) {
    const mark = { ...there, click };
    return { mark, change: put("mark", there, mark) };
  }
  const mark: Mark = {
    id: newId(),
    gameId: moment.gameId,
    momentId: moment.id,
    subject,
    click,
    sigmaPx: defaultMarkSigmaPx,
    facing: null,
  };
  return { mark, change: put("mark", null, mark) };
}

/** Several people at once, with the moment when there is none yet: one edit. */
export function placeAll(
  records: GameRecords,
  here: FrameHere,
  situation: Situation,
  people: readonly {
    readonly subject: MarkSubject;
    readonly click: ImagePoint;
    readonly facing: ImagePoint | null;
  }[],
  newId: NewId,
): { readonly marks: readonly Mark[]; readonly changes: readonly Change[] } {
  const { moment, changes } = ensureMoment(records, here, situation, newId);
  const all = [...changes];
  const marks = people.map(({ subject, click, facing }) => {
    const placed = placeMark(applyChanges(records, all), moment, subject, click, newId);
    const mark = { ...placed.mark, facing };
    all.push({ ...placed.change, after: mark } as Change);
    return mark;
  });
  return { marks, changes: all };
}

function isSingle(subject: MarkSubject): boolean {
  return subject.kind !== "player" || subject.role === "snapper" || subject.role === "passer";
}

export function sameSubject(a: MarkSubject, b: MarkSubject): boolean {
  if (a.kind === "official") return b.kind === "official" && a.position === b.position;
  if (a.kind === "player") return b.kind === "player" && a.side === b.side && a.role === b.role;
  return b.kind === "ball";
}
