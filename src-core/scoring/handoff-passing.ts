import type { HandoffReason } from "../mechanics/watch-rules.ts";
import type { Course, MatterAt } from "./handoff-course.ts";
import { overdueKey } from "./handoff-keys.ts";
import {
  defaultGapSec,
  fullyOn,
  gapOf,
  greatest,
  isOwn,
  type Judged,
  judgedOf,
  lengthOf,
  lengthWords,
  liveAt,
  nameOf,
  sec,
  turnedTo,
  untold,
} from "./handoff-lapse.ts";
import { at, type ChangeTime, edge, lengthBetween, probabilityLonger, type Run, runsOf } from "./handoff-lengths.ts";
import type { Track } from "./handoff-tracks.ts";
import { listed } from "./look-words.ts";
import { type Holder, keyEndSlackSec, positionsOf } from "./responsibility.ts";

export const handoffKinds = ["clean", "late", "early", "dropped"] as const;
export type HandoffKind = (typeof handoffKinds)[number];

/** A matter that passed from one to another, or was to. */
export type Handoff = {
  readonly kind: HandoffKind | "cannot tell";
  readonly reason: HandoffReason;
  readonly trackId: string;
  readonly from: readonly string[];
  readonly to: readonly string[];
  /** When the matter became the next one's. Seconds after the snap. */
  readonly dueSec: number;
};

type Passing = {
  readonly reason: HandoffReason;
  readonly from: readonly Holder[];
  readonly to: readonly Holder[];
  readonly dueSec: number;
};

const isWatched = (course: Course, time: number) => {
  const phase = course.phaseAt(time);
  return phase === "keys" || phase === "zone";
};

/** The matters of two opponents from the snap until the ball is away: passed on, left, or never taken up. */
export function passingFindings(course: Course): { readonly judged: Judged[]; readonly handoffs: Handoff[] } {
  const all = course.players.map((track) => passingsOf(track, course));
  return { judged: all.flatMap(({ judged }) => judged), handoffs: all.flatMap(({ handoffs }) => handoffs) };
}

function passingsOf(track: Track, course: Course): { judged: Judged[]; handoffs: Handoff[] } {
  const { times } = course;
  const judged: Judged[] = [];
  const handoffs: Handoff[] = [];
  const unwatched = (time: number) => unwatchedAt(course.matterAt(track, time), course, time);
  const runs = runsOf(times, 0, unwatched);
  for (const run of runs) {
    const lapse = lapseOf(track, run, course);
    if (!lapse) continue;
    judged.push(lapse.judged);
    if (lapse.handoff) handoffs.push(lapse.handoff);
  }
  for (const [index, time] of times.entries()) {
    const before = index === 0 ? null : times[index - 1];
    if (before == null || !isWatched(course, before) || !isWatched(course, time)) continue;
    if (runs.some((run) => run.first - 1 <= index && run.last + 1 >= index)) continue;
    const clean = passedOn(track, before, time, course);
    if (!clean) continue;
    judged.push(clean.judged);
    if (clean.handoff) handoffs.push(clean.handoff);
  }
  return { judged, handoffs };
}

/** That there was a matter, and that nobody whose it may be was turned to it, nor surely anybody else. */
function unwatchedAt(matter: MatterAt | null, course: Course, time: number): number {
  if (!matter?.isLive || !isWatched(course, time) || matter.responsibility.holders.length === 0) return 0;
  const { possible, holders } = matter.responsibility;
  const own = new Set([...possible, ...positionsOf(holders)]);
  let none = matter.probabilityLive;
  for (const position of own) none *= 1 - (turnedTo(matter, position) ?? 1);
  if (fullyOn(matter, course).some((position) => !own.has(position))) return 0;
  return none;
}

const finest = 24;

/** The change of holders between two instants, where there is one. */
function passingBetween(track: Track, from: number, to: number, course: Course): Passing | null {
  const first = course.matterAt(track, from);
  const last = course.matterAt(track, to);
  if (!first || !last || from >= to) return null;
  const [before, after] = [first.responsibility.holders, last.responsibility.holders];
  const names = positionsOf(after);
  if (before.length === 0 || names.length === 0 || positionsOf(before).some((one) => names.includes(one))) return null;
  let dueSec = to;
  for (let i = finest - 1; i > 0; i--) {
    const time = from + ((to - from) * i) / finest;
    const holders = course.matterAt(track, time)?.responsibility.holders ?? [];
    if (!positionsOf(holders).some((one) => names.includes(one))) break;
    dueSec = time;
  }
  return { reason: reasonOf(before, after, dueSec, course, track), from: before, to: after, dueSec };
}

/** Why a matter is the next one's: its key over by the clock, no longer pressed, or gone into the next zone. */
function reasonOf(
  before: readonly Holder[],
  after: readonly Holder[],
  dueSec: number,
  course: Course,
  track: Track,
): HandoffReason {
  if (!before.some(({ by }) => by === "key") || after.some(({ by }) => by === "key")) return "left-zone";
  const key = course.keys.find(({ playerId, rule }) => playerId === track.id && rule.position === before[0]?.position);
  const isOverdue = key !== undefined && dueSec > key.rule.forSec + keyEndSlackSec;
  if (!isOverdue) return "key-time-over";
  return course.matterAt(track, dueSec)?.isLive ? "left-zone" : "press-ended";
}

/** The finding of one stretch in which a matter had nobody. Null where it is nobody's fault alone. */
function lapseOf(track: Track, run: Run, course: Course): { judged: Judged; handoff: Handoff | null } | null {
  const { times } = course;
  const firstSec = times[run.first] ?? 0;
  const lastSec = times[run.last] ?? firstSec;
  const matter = course.matterAt(track, lastSec);
  const atFirst = course.matterAt(track, firstSec);
  if (!matter || !atFirst) return null;
  // The instant just after the snap stands for the moment before the first one after it.
  const beforeSec = times[run.first - 1] ?? Math.min(0.05, firstSec);
  const passing = passingBetween(track, beforeSec, lastSec, course);
  if (passing) return passedLate(track, run, passing, matter, course);
  const [holder] = matter.responsibility.holders;
  // A key left while it is one is said as a key.
  if (!holder || holder.by === "key" || isBusy(course, holder.position, run)) return null;
  return zoneLeft(run, holder, matter, course);
}

/** Whether a position was turned to another matter of its own at the moments of a run. */
function isBusy(course: Course, position: string, run: Run): boolean {
  return course.times.slice(run.first, run.last + 1).every((time) => {
    const own = liveAt(course, time).filter((matter) => isOwn(matter, position));
    return (greatest(own.map((matter) => turnedTo(matter, position))) ?? 0) >= 0.5;
  });
}

function passedLate(
  track: Track,
  run: Run,
  passing: Passing,
  matter: MatterAt,
  course: Course,
): { judged: Judged; handoff: Handoff } | null {
  const rule = gapOf(course, passing.reason) ?? gapOf(course, "left-zone");
  if (!rule) return null;
  const length = lengthOf(run, rule.gapSec);
  const { start, end } = run;
  const ownBefore = Math.max(0, Math.min(end.mode, passing.dueSec) - start.mode);
  const ownAfter = Math.max(0, end.mode - Math.max(start.mode, passing.dueSec));
  const [from, to] = [positionsOf(passing.from), positionsOf(passing.to)];
  const isEarly = ownBefore > ownAfter;
  const position = (isEarly ? from : to)[0] ?? "";
  if (isBusy(course, position, run)) return null;
  const takenUp = course.times
    .slice(run.last + 1)
    .some((time) =>
      to.some((one) => (turnedTo(course.matterAt(track, time), one) ?? 0) > 0.5 && isWatched(course, time)),
    );
  const kind: HandoffKind = isEarly ? "early" : takenUp ? "late" : "dropped";
  const name = nameOf(matter, course);
  const gap = lengthWords(length.lengthSec);
  const overdue = overdueKey(course, position, course.times[run.last] ?? 0);
  const instead = overdue ? `; ${position} was still on ${nameOf(overdue.matter, course)}` : "";
  const due = `${sec(passing.dueSec)} after the snap`;
  const sentences = {
    dropped: `${listed(to)} never took ${name}, ${whoseWords(passing)} until ${due}: nobody had them for ${gap}${instead}.`,
    late: `${listed(to)} was late to ${name}, ${whoseWords(passing)} until ${due}: nobody had them for ${gap}${instead}.`,
    early: `${listed(from)} let ${name} go before ${listed(to)} had them: nobody had them for ${gap}.`,
  };
  const judged = judgedOf(course, {
    rank: "handoff",
    ruleId: rule.ruleId,
    asks: rule.asks,
    position,
    phase: "zone",
    probabilityMet: 1 - length.probabilityLonger,
    sentences: {
      met: `${name} passed from ${listed(from)} to ${listed(to)} within ${rule.gapSec} s.`.replace(/^t/u, "T"),
      missed: sentences[kind],
      unsure: `${listed(to)} may have been late to ${name} from ${listed(from)}: the gap reads ${gap}, and the book allows ${rule.gapSec} s.`,
    },
    matter,
    lengthSec: length.lengthSec,
    allowedSec: rule.gapSec,
    fromSec: length.fromSec,
    toSec: length.toSec,
  });
  const { verdict } = judged.finding;
  return {
    judged,
    handoff: {
      kind: verdict === "missed" ? kind : verdict === "met" ? "clean" : "cannot tell",
      reason: passing.reason,
      trackId: track.id,
      from,
      to,
      dueSec: passing.dueSec,
    },
  };
}

function whoseWords({ from, reason }: Passing): string {
  const who = listed(positionsOf(from));
  if (reason === "key-time-over") return `the key of ${who}`;
  return reason === "press-ended" ? `the pressed key of ${who}` : `in the zone of ${who}`;
}

function zoneLeft(
  run: Run,
  holder: Holder,
  matter: MatterAt,
  course: Course,
): { judged: Judged; handoff: null } | null {
  const { position } = holder;
  const overdue = overdueKey(course, position, course.times[run.last] ?? 0);
  const zone = course.book.zones.find(({ id }) => id === holder.ruleId);
  const asks = overdue?.rule ?? zone;
  if (!asks) return null;
  const allowedSec = gapOf(course, "left-zone")?.gapSec ?? defaultGapSec;
  const length = lengthOf(run, allowedSec);
  const name = nameOf(matter, course);
  const gap = lengthWords(length.lengthSec);
  const missed = overdue
    ? `${position} stayed on ${nameOf(overdue.matter, course)} when that key was over, and had nothing of ${name} in the own zone for ${gap}.`
    : `${position} did not watch ${name}, in the own zone, for ${gap}.`;
  const judged = judgedOf(course, {
    rank: overdue ? "key-held" : "zone",
    ruleId: asks.id,
    asks: asks.sentence,
    position,
    phase: "zone",
    probabilityMet: 1 - length.probabilityLonger,
    sentences: {
      met: `${position} had ${name}, in the own zone.`,
      missed,
      unsure: `${position} may not have watched ${name}, in the own zone: the gap reads ${gap}.`,
    },
    matter,
    lengthSec: length.lengthSec,
    allowedSec,
    fromSec: length.fromSec,
    toSec: length.toSec,
  });
  return { judged, handoff: null };
}

/** A matter that changed hands between two moments at both of which somebody had it. */
function passedOn(
  track: Track,
  before: number,
  after: number,
  course: Course,
): { judged: Judged; handoff: Handoff | null } | null {
  const passing = passingBetween(track, before, after, course);
  const [first, last] = [course.matterAt(track, before), course.matterAt(track, after)];
  if (!passing || !first || !last?.isLive) return null;
  const rule = gapOf(course, passing.reason) ?? gapOf(course, "left-zone");
  if (!rule) return null;
  const [from, to] = [positionsOf(passing.from), positionsOf(passing.to)];
  const position = to[0] ?? "";
  const base = { rank: "handoff" as const, ruleId: rule.ruleId, asks: rule.asks, position, phase: "zone" as const };
  const chance = (matter: MatterAt | null, who: readonly string[]) => greatest(who.map((one) => turnedTo(matter, one)));
  const [fromFirst, fromLast] = [chance(first, from), chance(last, from)];
  const [toFirst, toLast] = [chance(first, to), chance(last, to)];
  const name = nameOf(last, course);
  if (toLast === null && (fromLast ?? 0) < 0.5) {
    const said = { ...base, matter: last, fromSec: before, toSec: after };
    return { judged: untold(said, `It cannot be told whether ${position} took ${name}.`, course), handoff: null };
  }
  // Somebody else whose it may be, or surely somebody, had it: there is nothing to say of the two.
  if (!((toLast ?? 0) > 0.5) && !((fromLast ?? 0) > 0.5)) return null;
  if (!((fromFirst ?? 0) > 0.5) && !((toFirst ?? 0) > 0.5)) return null;
  const isDoubled = (toFirst ?? 0) > 0.5 || (fromLast ?? 0) > 0.5;
  const has = (who: readonly string[]) => (time: number) => chance(course.matterAt(track, time), who) ?? 0;
  const release: ChangeTime =
    (fromLast ?? 0) > 0.5 ? at(after) : { low: before, mode: edge(before, after, has(from)), high: after };
  const take: ChangeTime =
    (toFirst ?? 0) > 0.5 ? at(before) : { low: before, mode: edge(after, before, has(to)), high: after };
  const gap = lengthBetween(release, take);
  const probabilityMet = isDoubled ? 1 : 1 - probabilityLonger(release, take, rule.gapSec);
  const figure = `${gap.value.toFixed(1)} s (${gap.low.toFixed(1)} to ${gap.high.toFixed(1)})`.replaceAll("-", "−");
  const judged = judgedOf(course, {
    ...base,
    probabilityMet,
    sentences: {
      met: `${listed(to)} took ${name} from ${listed(from)} with nothing lost.`,
      missed: `${listed(to)} took ${name} ${figure} after ${listed(from)} let them go.`,
      unsure: `${listed(to)} took ${name} from ${listed(from)} with a gap of ${figure}: the moments are too far apart to tell.`,
    },
    matter: last,
    lengthSec: gap,
    allowedSec: rule.gapSec,
    fromSec: before,
    toSec: after,
  });
  const { verdict } = judged.finding;
  const kind =
    verdict === "met" ? ("clean" as const) : verdict === "missed" ? ("late" as const) : ("cannot tell" as const);
  return {
    judged,
    handoff: { kind, reason: passing.reason, trackId: track.id, from, to, dueSec: passing.dueSec },
  };
}
