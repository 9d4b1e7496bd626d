import type { ZoneRule } from "../mechanics/watch-rules.ts";
import type { Course, MatterAt } from "./handoff-course.ts";
import { onKeyInTime, overdueKey } from "./handoff-keys.ts";
import {
  defaultGapSec,
  gapOf,
  greatest,
  idle,
  type Judged,
  judgedOf,
  lengthOf,
  lengthWords,
  liveAt,
  mattersAt,
  nameOf,
  turnedTo,
} from "./handoff-lapse.ts";
import { runsOf } from "./handoff-lengths.ts";

/** Zones of the crew while the ball is held: kept, empty and reached out of, or empty and not. */
export function zoneFindings(course: Course): Judged[] {
  return course.book.positions.flatMap(({ id }) => {
    const rules = course.book.zones.filter(({ position, phases }) => position === id && phases.includes("zone"));
    const kept = rules.map((rule) => zoneKept(rule, course));
    const reaching = rules.find((rule) => rule.reachesOut);
    const empty = reaching ? emptyZone(reaching, course) : null;
    return empty
      ? [...kept.filter(({ finding }) => finding.ruleId !== empty.finding.ruleId || finding.verdict === "met"), empty]
      : kept;
  });
}

const inZones = (course: Course) => course.times.filter((time) => course.phaseAt(time) === "zone");

function heldBy(rule: ZoneRule, course: Course, time: number): MatterAt[] {
  return liveAt(course, time).filter(({ responsibility }) =>
    responsibility.holders.some(({ ruleId, by }) => by === "zone" && ruleId === rule.id),
  );
}

/** Matters of a zone that its position was turned to. What was not is said by the passing of the matter. */
function zoneKept(rule: ZoneRule, course: Course): Judged {
  const { position } = rule;
  const base = { rank: "zone" as const, ruleId: rule.id, asks: rule.sentence, position, phase: "zone" as const };
  let seen: { readonly matter: MatterAt; readonly probability: number } | null = null;
  for (const time of inZones(course)) {
    for (const matter of heldBy(rule, course, time)) {
      const probability = turnedTo(matter, position) ?? 0;
      if (seen === null || probability > seen.probability) seen = { matter, probability };
    }
  }
  if (seen === null || seen.probability < course.book.grading.metFrom) {
    return idle(base, `No two opponents were close to each other for ${position} to watch there.`);
  }
  const { matter, probability } = seen;
  const name = nameOf(matter, course);
  const sentence = `${position} had ${name}, in the own zone.`;
  return judgedOf(course, {
    ...base,
    probabilityMet: probability,
    sentences: { met: sentence, missed: sentence, unsure: sentence },
    matter,
    lengthSec: null,
    allowedSec: 0,
    fromSec: matter.sinceSnapSec,
    toSec: matter.sinceSnapSec,
  });
}

/** Nobody of A is, or may be within the error, in any zone of a position. */
function isEmpty(position: string, course: Course, time: number): boolean {
  return mattersAt(course, time).every(({ responsibility }) => !responsibility.inZoneOf.includes(position));
}

function emptyZone(rule: ZoneRule, course: Course): Judged | null {
  const { position } = rule;
  const { metFrom } = course.book.grading;
  const times = inZones(course).filter((time) => isEmpty(position, course, time));
  const first = times[0];
  if (first === undefined) return null;
  const nearest = (time: number): MatterAt | null => {
    // Who has just gone out of the zone was passed on, and is not to be followed.
    const before = course.times.findLast((one) => one < time) ?? 0;
    const reachable = liveAt(course, time).filter(({ player, watches }) => {
      const earlier = course.matterAt(player.track, before);
      return (watches.get(position)?.limitDegrees ?? 0) > 0 && !(earlier && wasOf(earlier, position, course, before));
    });
    return reachable.reduce<MatterAt | null>((best, matter) => {
      const [away, least] = [
        distanceFrom(position, matter, course, time),
        best ? distanceFrom(position, best, course, time) : Infinity,
      ];
      return away < least ? matter : best;
    }, null);
  };
  const idlePart = (time: number): number => {
    if (course.phaseAt(time) !== "zone" || !isEmpty(position, course, time)) return 0;
    const near = nearest(time);
    const best = greatest(liveAt(course, time).map((matter) => turnedTo(matter, position)));
    return near && best !== null ? near.probabilityLive * (1 - best) * (1 - onKeyInTime(course, position, time)) : 0;
  };
  const allowedSec = gapOf(course, "left-zone")?.gapSec ?? defaultGapSec;
  const worst = runsOf(course.times, 0, idlePart)
    .map((run) => ({ run, length: lengthOf(run, allowedSec) }))
    .toSorted((a, b) => b.length.probabilityLonger - a.length.probabilityLonger)[0];
  const time = worst ? (course.times[worst.run.last] ?? first) : first;
  const matter = nearest(time);
  if (!matter) return null;
  const overdue = worst ? overdueKey(course, position, time) : null;
  const asks = overdue?.rule ?? rule;
  const turned = greatest(times.flatMap((one) => liveAt(course, one).map((other) => turnedTo(other, position))));
  if (!worst && (turned ?? 0) < metFrom) return null;
  const name = nameOf(matter, course);
  const off = matter.watches.get(position)?.offDegrees ?? 0;
  const gap = worst ? lengthWords(worst.length.lengthSec) : "";
  const instead = overdue
    ? `stayed on ${nameOf(overdue.matter, course)}, whose key was over`
    : `was turned ${off.toFixed(0)}° away`;
  return judgedOf(course, {
    rank: overdue ? "key-held" : "empty-zone",
    ruleId: asks.id,
    asks: asks.sentence,
    position,
    phase: "zone",
    probabilityMet: worst ? 1 - worst.length.probabilityLonger : (turned ?? 0),
    sentences: {
      met: `With nobody in the own zone, ${position} reached out to ${name}.`,
      missed: `With nobody in the own zone, ${position} did not reach out to ${name}, and ${instead}, for ${gap}.`,
      unsure: `With nobody in the own zone, ${position} may not have reached out to ${name}: ${off.toFixed(0)}° off, for ${gap}.`,
    },
    matter,
    lengthSec: worst?.length.lengthSec ?? null,
    allowedSec,
    fromSec: worst?.length.fromSec ?? first,
    toSec: worst?.length.toSec ?? first,
  });
}

/** Whether a player was in a position's zone at a moment in the zone phase. */
function wasOf({ responsibility }: MatterAt, position: string, course: Course, time: number): boolean {
  return course.phaseAt(time) === "zone" && responsibility.inZoneOf.includes(position);
}

/** From the official, yards; of two as near the receiver who began widest comes first. */
function distanceFrom(position: string, matter: MatterAt, course: Course, time: number): number {
  const official = course
    .standings(time)
    .find(({ track: { subject } }) => subject.kind === "official" && subject.position === position);
  if (!official) return Infinity;
  const away = Math.hypot(matter.place.xYards - official.at.xYards, matter.place.yYards - official.at.yYards);
  const began = matter.player.track.points[0]?.at.yYards ?? 0;
  const wide = Math.abs(began - course.situation.ballYYards);
  return away - 1e-6 * wide;
}
