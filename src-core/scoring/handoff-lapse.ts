import type { Phase } from "../game/records.ts";
import { type Finding, type Measured, verdictOf } from "./finding.ts";
import { asMatter, type Course, type MatterAt } from "./handoff-course.ts";
import { lengthBetween, meanOf, probabilityLonger, type Run } from "./handoff-lengths.ts";
import { normalBelow } from "./handoff-watch.ts";
import { matterName } from "./look-words.ts";

/** Findings of the same official at the same time come from one cause: of two that overlap, the lower rank is said. */
export const lapseRanks = [
  "eyes-on-ball",
  "handoff",
  "key-early",
  "key-held",
  "destination",
  "empty-zone",
  "zone",
  "doubled",
] as const;
export type LapseRank = (typeof lapseRanks)[number];

export type Judged = {
  readonly rank: LapseRank;
  readonly fromSec: number;
  readonly toSec: number;
  readonly finding: Finding;
};

/** Longest that a matter of one's own may go unwatched where the book names no time for it. Seconds. */
export const defaultGapSec = 0.4;

export function gapOf(
  course: Course,
  reason: string,
): { readonly ruleId: string; readonly asks: string; readonly gapSec: number } | null {
  const rule = course.book.handoffs.find((handoff) => handoff.reason === reason);
  return rule ? { ruleId: rule.id, asks: rule.sentence, gapSec: rule.gapSec } : null;
}

/** That a position is turned to a matter; null where it is not marked or the way it faced is not known. */
export function turnedTo(matter: MatterAt | null, position: string): number | null {
  return matter?.watches.get(position)?.probability ?? null;
}

/**
 * Who is surely on a matter with full attention, be it theirs or not: a partner who happens to look that way, and at
 * nobody of their own more nearly. Being turned within what still counts is enough for whose it is, but does not show
 * that somebody else took it up.
 */
export function fullyOn(matter: MatterAt, course: Course): string[] {
  const { full } = course.look.attentionDegrees;
  const others = mattersAt(course, matter.sinceSnapSec).filter(({ player }) => player.track !== matter.player.track);
  return course.book.positions.flatMap(({ id }) => {
    const watch = matter.watches.get(id);
    if (watch == null || watch.limitDegrees <= 0) return [];
    const nearer = others.some(
      (other) => isOwn(other, id) && (other.watches.get(id)?.offDegrees ?? 180) < watch.offDegrees,
    );
    const sure = normalBelow((Math.min(full, watch.limitDegrees) - watch.offDegrees) / (watch.sdDegrees || 1e-9));
    return !nearer && sure >= course.book.grading.metFrom ? [id] : [];
  });
}

/** Every player of A who has an opponent close at an instant. */
export function liveAt(course: Course, sec: number): MatterAt[] {
  return course.players.flatMap((track) => {
    const matter = course.matterAt(track, sec);
    return matter?.isLive ? [matter] : [];
  });
}

/** Every player of A at an instant. */
export function mattersAt(course: Course, sec: number): MatterAt[] {
  return course.players.flatMap((track) => course.matterAt(track, sec) ?? []);
}

export function isOwn(matter: MatterAt, position: string): boolean {
  return matter.responsibility.holders.some((holder) => holder.position === position);
}

/** The greatest of what is known; null where nothing is. */
export function greatest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : Math.max(...known);
}

export function nameOf(matter: MatterAt, course: Course): string {
  return matterName(asMatter(matter), course);
}

export const sec = (value: number) => `${Math.abs(value).toFixed(1)} s`;

/** "0.7 s (0.2 to 1.3)": as the straight lines between moments have it, and what their spacing leaves. */
export function lengthWords({ value, low, high }: Measured): string {
  return `${value.toFixed(1)} s (${Math.max(0, low).toFixed(1)} to ${high.toFixed(1)})`;
}

export type RunLength = {
  readonly lengthSec: Measured;
  readonly probabilityLonger: number;
  readonly fromSec: number;
  readonly toSec: number;
};

export function lengthOf({ start, end, probability }: Run, allowedSec: number): RunLength {
  return {
    lengthSec: lengthBetween(start, end),
    probabilityLonger: probability * probabilityLonger(start, end, allowedSec),
    fromSec: meanOf(start),
    toSec: meanOf(end),
  };
}

type Said = {
  readonly rank: LapseRank;
  readonly ruleId: string;
  readonly asks: string;
  readonly position: string;
  readonly phase: Phase;
  readonly probabilityMet: number;
  readonly sentences: { readonly met: string; readonly missed: string; readonly unsure: string };
  readonly help?: string;
  readonly matter: MatterAt | null;
  readonly lengthSec: Measured | null;
  readonly allowedSec: number;
  readonly fromSec: number;
  readonly toSec: number;
};

/** The finding of something watched or not watched over a stretch of the play. */
export function judgedOf(course: Course, said: Said): Judged {
  const { matter, probabilityMet, fromSec, toSec } = said;
  const verdict = verdictOf(probabilityMet, course.book.grading);
  const { sentences } = said;
  const unsure = verdict === "cannot tell";
  const finding: Finding = {
    ruleId: said.ruleId,
    position: said.position,
    phase: said.phase,
    verdict,
    sentence: unsure ? sentences.unsure : verdict === "met" ? sentences.met : sentences.missed,
    asks: said.asks,
    help: unsure ? (said.help ?? "Mark a moment in between, or point facings further ahead on the ground.") : null,
    score: 100 * probabilityMet,
    measure: {
      kind: "watch",
      trackId: matter?.player.track.id ?? null,
      lengthSec: said.lengthSec,
      allowedSec: said.allowedSec,
      fromSec,
      toSec,
      probabilityMet,
    },
    target: null,
    markIds: markIdsOf(course, said.position, matter, fromSec, toSec),
  };
  return { rank: said.rank, fromSec, toSec, finding };
}

/** What cannot be judged because an official is not marked or not known to face anywhere. */
export function untold(
  said: Pick<Said, "rank" | "ruleId" | "asks" | "position" | "phase" | "matter" | "fromSec" | "toSec">,
  sentence: string,
  course: Course,
): Judged {
  const { fromSec, toSec, matter, position } = said;
  const finding: Finding = {
    ruleId: said.ruleId,
    position,
    phase: said.phase,
    verdict: "cannot tell",
    sentence,
    asks: said.asks,
    help: `Mark ${position} with a facing at this moment: a point on the ground in the direction faced.`,
    score: null,
    measure: null,
    target: null,
    markIds: markIdsOf(course, position, matter, fromSec, toSec),
  };
  return { rank: said.rank, fromSec, toSec, finding };
}

/** What did not come up in this play. */
export function idle(said: Pick<Said, "rank" | "ruleId" | "asks" | "position" | "phase">, sentence: string): Judged {
  const finding: Finding = {
    ruleId: said.ruleId,
    position: said.position,
    phase: said.phase,
    verdict: "not applicable",
    sentence,
    asks: said.asks,
    help: null,
    score: null,
    measure: null,
    target: null,
    markIds: [],
  };
  return { rank: said.rank, fromSec: 0, toSec: 0, finding };
}

/** The official's marks at the moments about a stretch, then those of the two players. */
function markIdsOf(
  course: Course,
  position: string,
  matter: MatterAt | null,
  fromSec: number,
  toSec: number,
): readonly string[] {
  const wanted = new Set([matter?.player.track.id, matter?.opponent?.track.id]);
  const about = course.times.filter((time) => time >= fromSec - 1e-9 && time <= toSec + 1e-9);
  const near = about.length > 0 ? about : course.times.slice(0, 1);
  const ids = (isWanted: (id: string, isOfficial: boolean) => boolean) =>
    near.flatMap((time) =>
      course
        .standings(time)
        .filter(({ track }) =>
          isWanted(track.id, track.subject.kind === "official" && track.subject.position === position),
        )
        .flatMap(({ markId }) => markId ?? []),
    );
  return [...new Set([...ids((_, isOfficial) => isOfficial), ...ids((id) => wanted.has(id))])];
}
