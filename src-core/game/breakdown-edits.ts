import type { FieldLayout } from "../field/template.ts";
import { playSecOf, inOrder, playAt, playsOn, toPlaySec } from "./angles.ts";
import { applyChanges, type Change, put, removePlay } from "./changes.ts";
import type { FrameHere, NewId } from "./edits.ts";
import { type DownRules, firstSituation, nextSituation } from "./next-situation.ts";
import { type GameRecords, nothingSaid, type Play } from "./records.ts";
import { clock } from "./words.ts";

/** Cutting a film into plays, as plans of changes. Times are seconds of the play's own film. */
export const playTimes = ["start", "snap", "release", "catch", "dead", "end"] as const;
export type PlayTime = (typeof playTimes)[number];

export const playTimeNames: Record<PlayTime, string> = {
  start: "Start",
  snap: "Snap",
  release: "Release",
  catch: "Catch",
  dead: "Dead ball",
  end: "End",
};

export type BreakdownEdit =
  | { readonly ok: true; readonly play: Play; readonly label: string; readonly changes: readonly Change[] }
  | { readonly ok: false; readonly sentence: string };

/** A new play runs from so long before its snap, and to so long after it until its end is said. Seconds. */
const newSpanSec = { before: 3, after: 9 };
/** A play ends so long after the ball is dead, unless the next one begins before. */
const afterDeadSec = 1.5;
/** What is judged at a frame must lie before the play's end, which is past its last frame. Seconds. */
const aFrameSec = 0.05;
/** A time given so long after a play's end is still taken for that play's, when no other begins between. */
const lateSec = 15;

export function timeOf(play: Play, which: PlayTime): number | null {
  switch (which) {
    case "start":
      return play.startSec;
    case "snap":
      return play.snapSec;
    case "release":
      return play.releaseSec;
    case "catch":
      return play.catchSec;
    case "dead":
      return play.deadSec;
    case "end":
      return play.endSec;
  }
}

function withTime(play: Play, which: PlayTime, sec: number): Play {
  switch (which) {
    case "start":
      return { ...play, startSec: sec };
    case "snap":
      return { ...play, snapSec: sec };
    case "release":
      return { ...play, releaseSec: sec };
    case "catch":
      return { ...play, catchSec: sec };
    case "dead":
      return { ...play, deadSec: sec };
    case "end":
      return { ...play, endSec: sec };
  }
}

/** How far a time may go: between the play's other times in their order, and between the plays around it. */
export function boundsOf(records: Pick<GameRecords, "plays" | "films">, play: Play, which: PlayTime): [number, number] {
  const at = playTimes.indexOf(which);
  const said = (times: readonly PlayTime[]) => times.flatMap((time) => timeOf(play, time) ?? []);
  const onFilm = records.plays.filter((one) => one.filmId === play.filmId && one.id !== play.id);
  const film = records.films.find(({ id }) => id === play.filmId);
  const low =
    at === 0
      ? Math.max(0, ...onFilm.filter((one) => one.startSec < play.startSec).map((one) => one.endSec))
      : Math.max(...said(playTimes.slice(0, at)));
  const high =
    at === playTimes.length - 1
      ? Math.min(
          Math.max(film?.durationSec ?? play.endSec, play.endSec),
          ...onFilm.filter((one) => one.startSec > play.startSec).map((one) => one.startSec),
        )
      : Math.min(...said(playTimes.slice(at + 1)));
  return [low, high];
}

/** The number that each play gets by the order of the films and the time on them, as changes to those that have another. */
export function renumbered(records: Pick<GameRecords, "plays" | "films">): Change[] {
  const order = new Map(inOrder(records.films).map(({ id }, index) => [id, index]));
  return records.plays
    .toSorted(
      (a, b) =>
        (order.get(a.filmId) ?? 0) - (order.get(b.filmId) ?? 0) ||
        a.startSec - b.startSec ||
        a.number - b.number ||
        (a.id < b.id ? -1 : 1),
    )
    .flatMap((play, index) => (play.number === index + 1 ? [] : [put("play", play, { ...play, number: index + 1 })]));
}

/** The changes, and after them whatever numbers they leave out of order. */
function numbered(records: GameRecords, changes: readonly Change[]): Change[] {
  return [...changes, ...renumbered(applyChanges(records, changes))];
}

/** A play that starts and ends here, with the situation that the play before it leads to. */
export function newPlay(
  records: GameRecords,
  span: {
    readonly filmId: string;
    readonly startSec: number;
    readonly endSec: number;
    readonly snapSec: number | null;
  },
  newId: NewId,
  rules: DownRules,
  layout: FieldLayout,
): { readonly play: Play; readonly changes: readonly Change[] } {
  const draft: Play = {
    id: newId(),
    gameId: records.game.id,
    number: 1,
    ...nothingSaid,
    ...span,
    situation: firstSituation(rules, layout).situation,
  };
  const all = { ...records, plays: [...records.plays, draft] };
  const numbers = renumbered(all);
  const numberOf = (play: Play) => numbers.find(({ id }) => id === play.id)?.after as Play | undefined;
  const number = numberOf(draft)?.number ?? 1;
  const before = records.plays
    .map((play) => numberOf(play) ?? play)
    .filter((play) => play.number < number)
    .toSorted((a, b) => b.number - a.number)[0];
  const { situation, kind, quarter, series } = before
    ? nextSituation(before, rules, layout)
    : firstSituation(rules, layout);
  const play: Play = { ...draft, number, situation, kind, quarter, series };
  return { play, changes: [put("play", null, play), ...numbers.filter(({ id }) => id !== play.id)] };
}

/** Says that this frame is the play's snap, release, catch, dead ball, start or end; a snap or a start may make a play. */
export function markTime(
  records: GameRecords,
  here: FrameHere,
  which: PlayTime,
  newId: NewId,
  rules: DownRules,
  layout: FieldLayout,
): BreakdownEdit {
  const found = playAt(records, here.film.id, here.timeSec);
  const play = found ?? lateFor(records, here, which);
  if (!play) {
    if (which !== "snap" && which !== "start")
      return { ok: false, sentence: "No play is here: press the key of the snap or of the start first." };
    return {
      ok: true,
      label: `${playTimeNames[which]} of a new play`,
      ...startPlay(records, here, which, newId, rules, layout),
    };
  }
  const sec = toPlaySec(play, records.angles, here.film.id, here.timeSec) ?? here.timeSec;
  return moveTime(records, play, which, sec);
}

function startPlay(
  records: GameRecords,
  here: FrameHere,
  which: "snap" | "start",
  newId: NewId,
  rules: DownRules,
  layout: FieldLayout,
): { readonly play: Play; readonly changes: readonly Change[] } {
  const onFilm = playsOn(records, here.film.id);
  const lead = which === "snap" ? newSpanSec.before : 0;
  const startSec = Math.max(
    0,
    here.timeSec - lead,
    ...onFilm.filter((one) => one.endSec <= here.timeSec).map((one) => one.endSec),
  );
  const endSec = Math.min(
    Math.max(here.film.durationSec, here.timeSec + 0.1),
    here.timeSec + newSpanSec.after,
    ...onFilm.filter((one) => one.startSec > here.timeSec).map((one) => one.startSec),
  );
  const snapSec = which === "snap" ? here.timeSec : null;
  return newPlay(records, { filmId: here.film.id, startSec, endSec, snapSec }, newId, rules, layout);
}

/** The play that ended a moment ago, for what still belongs to it. */
function lateFor(records: GameRecords, here: FrameHere, which: PlayTime): Play | null {
  if (which === "start" || which === "snap") return null;
  const latest = playsOn(records, here.film.id)
    .filter((one) => one.endSec <= here.timeSec && here.timeSec - one.endSec <= lateSec)
    .toSorted((a, b) => b.endSec - a.endSec)[0];
  return records.plays.find(({ id }) => id === latest?.id) ?? null;
}

/** Moves one time of a play. What comes out of order is refused with the time that is in the way; a dead ball ends the play. */
export function moveTime(records: GameRecords, play: Play, which: PlayTime, sec: number): BreakdownEdit {
  // A time after the play's end carries the end with it.
  const reach =
    which === "start" || which === "end" || sec <= play.endSec
      ? play
      : { ...play, endSec: boundsOf(records, play, "end")[1] };
  const judged = judgedSpan(records, play);
  if (judged && ((which === "start" && sec > judged.firstSec + 1e-6) || (which === "end" && sec <= judged.lastSec)))
    return {
      ok: false,
      sentence: `A moment of play ${play.number} is judged at ${clock(which === "start" ? judged.firstSec : judged.lastSec)}, which would lie outside it: remove that moment first, or cut the play in two.`,
    };
  const [low, high] = boundsOf(records, reach, which);
  if (sec < low - 1e-6 || sec > high + 1e-6) return { ok: false, sentence: inTheWay(reach, which, sec, low) };
  const moved = withTime(play, which, sec);
  const endSec =
    which === "dead"
      ? Math.min(Math.max(sec + afterDeadSec, (judged?.lastSec ?? sec) + aFrameSec), boundsOf(records, reach, "end")[1])
      : Math.max(moved.endSec, which === "start" ? moved.endSec : sec);
  const after = which === "end" ? moved : { ...moved, endSec };
  return {
    ok: true,
    play: after,
    label: `${playTimeNames[which]} of play ${play.number}`,
    changes: numbered(records, [put("play", play, after)]),
  };
}

/** From the first moment of a play that is judged to the last, on the play's clock; null without any. */
function judgedSpan({ moments, angles }: GameRecords, play: Play): { firstSec: number; lastSec: number } | null {
  const times = moments.filter(({ playId }) => playId === play.id).map((moment) => playSecOf(play, angles, moment));
  return times.length === 0 ? null : { firstSec: Math.min(...times), lastSec: Math.max(...times) };
}

function inTheWay(play: Play, which: PlayTime, sec: number, low: number): string {
  const isEarly = sec < low;
  const others = isEarly
    ? playTimes.slice(0, playTimes.indexOf(which)).toReversed()
    : playTimes.slice(playTimes.indexOf(which) + 1);
  const blocking = others.find((time) => {
    const at = timeOf(play, time);
    return at !== null && (isEarly ? at > sec : at < sec);
  });
  const name = playTimeNames[which].toLowerCase();
  if (blocking === undefined)
    return `The ${name} of play ${play.number} would lie in another play: move that one first.`;
  const at = clock(timeOf(play, blocking) ?? 0);
  return `The ${name} of play ${play.number} would come ${isEarly ? "before" : "after"} its ${playTimeNames[blocking].toLowerCase()} (${at}): move that first.`;
}

/** Takes a time back that nobody needs: all but the start and the end can be unsaid. */
export function clearTime(play: Play, which: Exclude<PlayTime, "start" | "end">): Change {
  const key = { snap: "snapSec", release: "releaseSec", catch: "catchSec", dead: "deadSec" } as const;
  return put("play", play, { ...play, [key[which]]: null });
}

/** Removes a play with everything measured on it, and closes the numbers up. */
export function takePlayOut(records: GameRecords, play: Play): Change[] {
  return numbered(records, removePlay(records, play.id));
}
