import { fieldDistanceYards } from "../field/units.ts";
import { type Course, isPosition, type MatterAt } from "./handoff-course.ts";
import {
  gapOf,
  greatest,
  idle,
  type Judged,
  judgedOf,
  lengthWords,
  mattersAt,
  nameOf,
  sec,
  turnedTo,
} from "./handoff-lapse.ts";
import { type ChangeTime, lengthBetween, probabilityLonger } from "./handoff-lengths.ts";
import { type Standing, turnBetween } from "./handoff-tracks.ts";
import { listed } from "./look-words.ts";
import { turnOf } from "./handoff-watch.ts";

const degrees = 180 / Math.PI;

/** How near the line of the ball's flight a receiver stands to be where it may come down; degrees as the ball sees it. */
const flightDegrees = 25;
/** A second receiver as near to the flight as the first, within so many degrees, may be meant as well. */
const undecidedDegrees = 10;

const ballAt = (course: Course, time: number): Standing | null =>
  course.standings(time).find(({ track }) => track.subject.kind === "ball") ?? null;

const awayTimes = (course: Course) => course.times.filter((time) => course.phaseAt(time) === "ball-away");

/**
 * Whom the pass may be for: the runner, where a later moment shows a catch; and otherwise, read from the marks of the ball
 * on the ground below it, the receivers and backs ahead of its flight. The ball's mark is a place on the ground.
 */
export function destinations(course: Course): readonly string[] {
  for (const time of course.times) {
    const runner = course.runnerAt(time);
    if (runner !== null) return [runner];
  }
  const times = awayTimes(course);
  const last = times.at(-1);
  const ball = last === undefined ? null : ballAt(course, last);
  if (!ball || last === undefined) return [];
  const from = times.length > 1 ? ballAt(course, times[0] ?? last)?.at : passerBefore(course);
  if (!from || fieldDistanceYards(from, ball.at) < 1) return [];
  const flight = Math.atan2(ball.at.yYards - from.yYards, ball.at.xYards - from.xYards);
  const near = mattersAt(course, last).flatMap(({ player }) => {
    const { subject } = player.track;
    if (subject.kind !== "player" || (subject.role !== "receiver" && subject.role !== "back")) return [];
    const to = Math.atan2(player.at.yYards - ball.at.yYards, player.at.xYards - ball.at.xYards);
    const off = Math.abs(turnBetween(flight, to)) * degrees;
    // One under the ball is where it comes down, whichever way it lies.
    return [{ id: player.track.id, off: fieldDistanceYards(player.at, ball.at) < 2 ? 0 : off }];
  });
  const least = Math.min(...near.map(({ off }) => off));
  return near.filter(({ off }) => off <= flightDegrees && off <= least + undecidedDegrees).map(({ id }) => id);
}

function passerBefore(course: Course) {
  const held = course.times.findLast((time) => course.phaseAt(time) === "keys" || course.phaseAt(time) === "zone") ?? 0;
  return course
    .standings(held)
    .find(({ track: { subject } }) => subject.kind === "player" && subject.side === "A" && subject.role === "passer")
    ?.at;
}

/** Attention while the ball is away, and who has the runner after a catch. */
export function ballFindings(course: Course): Judged[] {
  const meant = destinations(course);
  return [
    ...course.book.positions.flatMap(({ id }) => eyesOnBall(id, meant, course) ?? []),
    ...(destinationFinding(meant, course) ?? []),
    ...(catchFinding(course) ?? []),
  ];
}

/** The turn that a body makes after the ball is at least this share of the ball's own, and the ball's this much. */
const followedShare = 0.4;
const followedDegrees = 6;

/**
 * A body that follows the ball through the air: turned to it at two moments or more, having turned as it flew, and turned
 * away from where it comes down and from every matter of two opponents.
 */
function eyesOnBall(position: string, meant: readonly string[], course: Course): Judged | null {
  const rule = gapOf(course, "eyes-on-ball");
  const times = awayTimes(course);
  if (!rule || times.length === 0 || meant.length === 0) return null;
  const { attentionDegrees } = course.look;
  const base = {
    rank: "eyes-on-ball" as const,
    ruleId: rule.ruleId,
    asks: rule.asks,
    position,
    phase: "ball-away" as const,
  };
  const readings = times.flatMap((time) => {
    const ball = ballAt(course, time);
    const official = course.standings(time).find(({ track }) => isPosition(track, position));
    if (!ball || !official?.facing) return [];
    const toBall = turnOf(official, ball.at, ball.covariance, attentionDegrees.full);
    const matters = mattersAt(course, time);
    const there = matters.filter(({ player }) => meant.includes(player.track.id));
    const elsewhere = greatest(
      [...there, ...matters.filter(({ isLive }) => isLive)].map((matter) => turnedTo(matter, position)),
    );
    const isOn = (toBall?.probability ?? 0) * (1 - (elsewhere ?? 1));
    const bearing = Math.atan2(ball.at.yYards - official.at.yYards, ball.at.xYards - official.at.xYards);
    const off = Math.min(...there.map(({ watches }) => watches.get(position)?.offDegrees ?? Infinity));
    return [
      { time, isOn, bearing, facing: official.facing.radians, elsewhere: elsewhere ?? 0, there: there[0] ?? null, off },
    ];
  });
  const [first, last] = [readings[0], readings.at(-1)];
  if (!first || !last) return null;
  const watching = readings.filter(({ isOn }) => isOn > 0.5);
  const [from, to] = [watching[0], watching.at(-1)];
  if (!from || !to) {
    const best = readings.reduce((most, reading) => (reading.elsewhere > most.elsewhere ? reading : most), first);
    if (best.elsewhere < course.book.grading.metFrom) return null;
    const sentence = `With the ball away, ${position} looked to where it came down or to two opponents, and not at the ball.`;
    return judgedOf(course, {
      ...base,
      probabilityMet: best.elsewhere,
      sentences: { met: sentence, missed: sentence, unsure: sentence },
      matter: best.there,
      lengthSec: null,
      allowedSec: rule.gapSec,
      fromSec: best.time,
      toSec: best.time,
    });
  }
  const flown = turnBetween(from.bearing, to.bearing);
  const turned = turnBetween(from.facing, to.facing);
  const isFollowed = Math.abs(flown) * degrees >= followedDegrees && turned / flown >= followedShare;
  const previous = course.times.findLast((time) => time < from.time) ?? from.time;
  const next = course.times.find((time) => time > to.time) ?? to.time;
  const start: ChangeTime = { low: previous, mode: (previous + from.time) / 2, high: from.time };
  const end: ChangeTime = { low: to.time, mode: (to.time + next) / 2, high: next };
  const longer = probabilityLonger(start, end, rule.gapSec);
  // Looking toward the ball at one moment is not yet following it.
  const probability = isFollowed ? Math.min(from.isOn, to.isOn) * longer : Math.min(0.5, longer / 2);
  const away = Number.isFinite(to.off) ? `, turned ${to.off.toFixed(0)}° from where it came down` : "";
  const lengthSec = lengthBetween(start, end);
  return judgedOf(course, {
    ...base,
    probabilityMet: 1 - probability,
    sentences: {
      met: `${position} looked toward the ball for less than ${rule.gapSec} s.`,
      missed: `${position}’s body followed the ball through the air, ${sec(from.time)} to ${sec(to.time)} after the snap${away}.`,
      unsure: `${position} may have followed the ball through the air${away}: what is marked does not show it turning with the ball for ${lengthWords(lengthSec)}.`,
    },
    matter: to.there,
    lengthSec,
    allowedSec: rule.gapSec,
    fromSec: from.time,
    toSec: to.time,
  });
}

/** Whether somebody looked to where the ball came down once it was away. */
function destinationFinding(meant: readonly string[], course: Course): Judged[] | null {
  const rule = gapOf(course, "ball-away");
  const times = awayTimes(course);
  const [first, last] = [times[0], times.at(-1)];
  const begun = course.times.findLast((time) => first !== undefined && time < first);
  if (!rule || first === undefined || last === undefined || begun === undefined || meant.length === 0) return null;
  return attended(
    course,
    { ...rule, rank: "destination", phase: "ball-away", ids: meant, begun, first, last },
    "where the ball came down",
  );
}

function catchFinding(course: Course): Judged[] | null {
  const rule = gapOf(course, "catch");
  const times = course.times.filter((time) => course.runnerAt(time) !== null);
  const [first, last] = [times[0], times.at(-1)];
  const runner = first === undefined ? null : course.runnerAt(first);
  const begun = course.times.findLast((time) => first !== undefined && time < first);
  if (!rule || first === undefined || last === undefined || begun === undefined || runner === null) return null;
  return attended(
    course,
    { ...rule, rank: "handoff", phase: "catch", ids: [runner], begun, first, last },
    "the runner",
  );
}

type Wanted = {
  readonly ruleId: string;
  readonly asks: string;
  readonly gapSec: number;
  readonly rank: "destination" | "handoff";
  readonly phase: "ball-away" | "catch";
  readonly ids: readonly string[];
  readonly begun: number;
  readonly first: number;
  readonly last: number;
};

/** Whether the one whose it is, or somebody, was turned to a place within the time that the book gives. */
function attended(course: Course, wanted: Wanted, what: string): Judged[] {
  const { ids, first, last, begun } = wanted;
  const at = (time: number): MatterAt[] =>
    mattersAt(course, time).filter(({ player }) => ids.includes(player.track.id));
  const there = at(last)[0] ?? null;
  if (!there) return [];
  const zone = there.responsibility.zone?.position;
  const everybody = [...there.watches.keys()];
  const best = (time: number) => greatest(at(time).flatMap((matter) => everybody.map((who) => turnedTo(matter, who))));
  const chance = greatest([first, last].map(best));
  const base = {
    rank: wanted.rank,
    ruleId: wanted.ruleId,
    asks: wanted.asks,
    position: zone ?? "crew",
    phase: wanted.phase,
  };
  if (chance === null) return [idle(base, `The way nobody on the field faced is known then.`)];
  const start: ChangeTime = { low: begun, mode: (begun + first) / 2, high: first };
  const longer = probabilityLonger(start, { low: last, mode: last, high: last }, wanted.gapSec);
  const lengthSec = lengthBetween(start, { low: last, mode: last, high: last });
  const watchers = everybody.filter((who) => at(last).some((matter) => (turnedTo(matter, who) ?? 0) > 0.5));
  const own = zone === undefined ? null : greatest(at(last).map((matter) => turnedTo(matter, zone)));
  const isOthers = zone !== undefined && own !== null && own < 0.5;
  const lapse = (1 - chance) * longer;
  return [
    judgedOf(course, {
      ...base,
      probabilityMet: 1 - lapse,
      sentences: {
        met: isOthers
          ? `${listed(watchers) || "The crew"} had ${what}, which was ${zone}’s.`
          : `${listed(watchers) || "The crew"} looked to ${what}.`,
        missed: `Nobody looked to ${what}: ${nameOf(there, course)}, ${lengthWords(lengthSec)} on.`,
        unsure: `It cannot be told whether anybody looked to ${what} in time.`,
      },
      matter: there,
      lengthSec,
      allowedSec: wanted.gapSec,
      fromSec: first,
      toSec: last,
    }),
  ];
}
