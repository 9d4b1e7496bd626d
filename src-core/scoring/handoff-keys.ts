import type { KeyRule } from "../mechanics/watch-rules.ts";
import { runsOf } from "./handoff-lengths.ts";
import type { Course, MatterAt } from "./handoff-course.ts";
import {
  defaultGapSec,
  fullyOn,
  gapOf,
  greatest,
  idle,
  type Judged,
  judgedOf,
  lengthOf,
  nameOf,
  sec,
  turnedTo,
  untold,
} from "./handoff-lapse.ts";
import { listed } from "./look-words.ts";
import { keyEndSlackSec } from "./responsibility.ts";

/** Every key of the crew: watched while it was pressed, left early, or with nothing to watch. */
export function keyFindings(course: Course): Judged[] {
  const rules = new Map(course.keys.map(({ rule }) => [rule.id, rule]));
  const judged = [...rules.values()].map((rule) => keyFinding(rule, course));
  // Of several keys of one position left at once, the first in order is what is said.
  return judged.filter(
    (one, index) =>
      one.finding.verdict !== "missed" ||
      !judged
        .slice(0, index)
        .some(
          (earlier) =>
            earlier.finding.verdict === "missed" &&
            earlier.finding.position === one.finding.position &&
            earlier.fromSec < one.toSec &&
            one.fromSec < earlier.toSec,
        ),
  );
}

/** Players who are a key of a position at an instant: within its time, or pressed ever since. */
function keysOf(course: Course, position: string, time: number, ruleId: string | null): MatterAt[] {
  const phase = course.phaseAt(time);
  if (phase !== "keys" && phase !== "zone") return [];
  const ids = new Set(
    course.keys
      .filter((key) => key.rule.position === position && (ruleId === null || key.rule.id === ruleId))
      .filter(
        (key) =>
          (phase === "keys" && time <= key.rule.forSec) || (time > key.rule.forSec && course.isHeldOn(key, time)),
      )
      .map(({ playerId }) => playerId),
  );
  return course.players.flatMap((track) => {
    const matter = course.matterAt(track, time);
    const isKey = ids.has(track.id) || (matter?.opponent != null && matter.isLive && ids.has(matter.opponent.track.id));
    return matter && matter.isLive && isKey ? [matter] : [];
  });
}

/** The key whose defender is nearest. */
function mostPressed(keys: readonly MatterAt[]): MatterAt | null {
  return keys.reduce<MatterAt | null>(
    (best, key) => (best === null || key.apartYards < best.apartYards ? key : best),
    null,
  );
}

function keyFinding(rule: KeyRule, course: Course): Judged {
  const { position } = rule;
  const base = { rank: "key-early" as const, ruleId: rule.id, asks: rule.sentence, position, phase: "keys" as const };
  const pressedTimes = course.times.filter((time) => keysOf(course, position, time, rule.id).length > 0);
  const first = pressedTimes[0];
  if (first === undefined) return idle(base, `Nobody came near the key of ${position} while it was one.`);
  const watched = (time: number) =>
    greatest(keysOf(course, position, time, null).map((key) => turnedTo(key, position)));
  /** That the key was pressed and neither this position nor another whose it may be was turned to it. */
  const left = (time: number): number => {
    const key = mostPressed(keysOf(course, position, time, rule.id));
    const own = watched(time);
    if (!key || own === null) return 0;
    const others = key.responsibility.possible.filter((other) => other !== position);
    const partners = others.reduce((none, other) => none * (1 - (turnedTo(key, other) ?? 0)), 1);
    return key.probabilityLive * (1 - own) * partners;
  };
  const allowedSec = gapOf(course, "key-time-over")?.gapSec ?? defaultGapSec;
  const runs = runsOf(course.times, 0, left).map((run) => ({ run, length: lengthOf(run, allowedSec) }));
  const worst = runs.toSorted((a, b) => b.length.probabilityLonger - a.length.probabilityLonger)[0];
  const unknown = pressedTimes.find((time) => watched(time) === null);
  const atFirst = mostPressed(
    keysOf(course, position, worst ? (course.times[worst.run.first] ?? first) : first, rule.id),
  );
  if (!worst && unknown !== undefined) {
    const said = { ...base, matter: atFirst, fromSec: unknown, toSec: unknown };
    return untold(
      said,
      `It cannot be told whether ${position} was on the key: the way ${position} faced is not known.`,
      course,
    );
  }
  const name = atFirst ? nameOf(atFirst, course) : "the key";
  const onThis = greatest(
    pressedTimes.flatMap((time) => keysOf(course, position, time, rule.id).map((key) => turnedTo(key, position))),
  );
  if (!worst && (onThis ?? 0) < 0.5)
    return idle(base, `${position} or a partner had another key of ${position}’s first.`);
  const matter = atFirst;
  const lengths = worst?.length;
  const probabilityMet = 1 - (lengths?.probabilityLonger ?? Math.max(...course.times.map(left)));
  const apart = matter ? `${matter.apartYards.toFixed(1)} yd apart` : "close";
  const when = lengths ? sec(lengths.fromSec) : "";
  const partner = worst && matter ? partnerWords(matter, position, course) : "";
  return judgedOf(course, {
    ...base,
    probabilityMet,
    matter,
    lengthSec: lengths?.lengthSec ?? null,
    allowedSec,
    fromSec: lengths?.fromSec ?? first,
    toSec: lengths?.toSec ?? pressedTimes.at(-1) ?? first,
    sentences: {
      met: `${position} stayed on ${name} while the key was pressed.`,
      missed: `${position} left ${name} about ${when} after the snap, with the two still ${apart}${partner}.`,
      unsure: `${position} may have left ${name} early: how far ${position} was turned away, or for how long, is within the error.`,
    },
  });
}

function partnerWords(matter: MatterAt, position: string, course: Course): string {
  const sure = fullyOn(matter, course).filter((other) => other !== position);
  return sure.length > 0
    ? `; ${listed(sure)} ${sure.length === 1 ? "was" : "were"} turned that way`
    : "; nobody else was turned to them";
}

/**
 * The key that a position is on at an instant though its need is over: its time past, no opponent near, and the position
 * turned to it. Null where it is on none.
 */
export function overdueKey(
  course: Course,
  position: string,
  time: number,
): { readonly rule: KeyRule; readonly matter: MatterAt } | null {
  for (const { rule, playerId } of course.keys) {
    if (rule.position !== position || time <= rule.forSec) continue;
    const track = course.players.find(({ id }) => id === playerId);
    const matter = track ? course.matterAt(track, time) : null;
    if (matter && !matter.isLive && (turnedTo(matter, position) ?? 0) >= course.book.grading.metFrom)
      return { rule, matter };
  }
  return null;
}

/** That a position is turned to a key of its own within the key's time, pressed or not. */
export function onKeyInTime(course: Course, position: string, time: number): number {
  const own = course.keys.filter(({ rule }) => rule.position === position && time <= rule.forSec + keyEndSlackSec);
  const turned = course.players.flatMap((track) =>
    own.some(({ playerId }) => playerId === track.id) ? [turnedTo(course.matterAt(track, time), position)] : [],
  );
  return greatest(turned) ?? 0;
}
