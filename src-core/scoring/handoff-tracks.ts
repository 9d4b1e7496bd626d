import { type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldCovariance } from "../field/uncertainty.ts";
import type { MarkSubject, Moment } from "../game/records.ts";
import { assign } from "./handoff-assign.ts";
import type { PlacedMark } from "./station.ts";

/** The people of one moment on the ground. */
export type PlacedMoment = { readonly moment: Moment; readonly placed: readonly PlacedMark[] };

/** A way faced on the ground, radians from x toward y, with the standard deviation that the two clicks leave it. */
export type Bearing = { readonly radians: number; readonly sdRadians: number };

export type TrackPoint = {
  readonly timeSec: number;
  readonly markId: string;
  readonly at: FieldPoint;
  readonly covariance: FieldCovariance;
  /** Null where no facing was marked. */
  readonly facing: Bearing | null;
};

/** One person, or the ball, through the moments of a play; named by the id of the first mark. Points ascend in time. */
export type Track = { readonly id: string; readonly subject: MarkSubject; readonly points: readonly TrackPoint[] };

/** Somebody at an instant: as marked, or between two moments as the straight line and the shorter turn have it. */
export type Standing = Omit<TrackPoint, "timeSec" | "markId"> & {
  readonly track: Track;
  /** Null between two moments. */
  readonly markId: string | null;
};

/** Faster than anybody on a field, yards a second, and what a click may be off on top of it, yards. */
const fastestYardsPerSec = 10;
const slackYards = 1.5;
/** Share of the last displacement that a player is taken to keep up. */
const keptUp = 0.5;
/** Price of matching two roles, square yards: a rusher of one moment may be a defender of the next, but not gladly. */
const otherRoleSquareYards = 36;

export function bearingOf(mark: Pick<PlacedMark, "measured" | "facing">): Bearing | null {
  if (!mark.facing) return null;
  const { position: from, covariance: feet } = mark.measured;
  const { position: to, covariance: ahead } = mark.facing;
  const x = to.xYards - from.xYards;
  const y = to.yYards - from.yYards;
  const length = Math.hypot(x, y);
  if (length === 0) return null;
  const sum = { xx: feet.xx + ahead.xx, xy: feet.xy + ahead.xy, yy: feet.yy + ahead.yy };
  return { radians: Math.atan2(y, x), sdRadians: acrossSd(sum, x / length, y / length) / length };
}

/** Standard deviation across a direction, yards. */
export function acrossSd({ xx, xy, yy }: FieldCovariance, alongX: number, alongY: number): number {
  return Math.sqrt(Math.max(0, alongY * alongY * xx - 2 * alongX * alongY * xy + alongX * alongX * yy));
}

function pointOf(moment: Moment, mark: PlacedMark): TrackPoint {
  const { position: at, covariance } = mark.measured;
  return { timeSec: moment.timeSec, markId: mark.markId, at, covariance, facing: bearingOf(mark) };
}

type Growing = { readonly subject: MarkSubject; readonly points: TrackPoint[] };

/**
 * Who is who from moment to moment: an official by the position, the ball as the ball, and players of a side by the
 * pairing that moves them least in all. Marks are taken in the order of their ids, so that theirs never matters.
 */
export function tracksOf(moments: readonly PlacedMoment[]): Track[] {
  const growing: Growing[] = [];
  const sorted = moments.toSorted((a, b) => a.moment.timeSec - b.moment.timeSec);
  for (const { moment, placed } of sorted) {
    const marks = placed.toSorted((a, b) => (a.markId < b.markId ? -1 : 1));
    for (const side of ["A", "B"] as const) {
      const isOurs = ({ subject }: { readonly subject: MarkSubject }) =>
        subject.kind === "player" && subject.side === side;
      addPlayers(growing, growing.filter(isOurs), marks.filter(isOurs), moment);
    }
    const named = new Set<string>();
    for (const mark of marks) {
      const { subject } = mark;
      if (subject.kind === "player") continue;
      const name = nameOf(subject);
      if (named.has(name)) continue;
      named.add(name);
      const there = growing.find((track) => nameOf(track.subject) === name);
      if (there) there.points.push(pointOf(moment, mark));
      else growing.push({ subject, points: [pointOf(moment, mark)] });
    }
  }
  return growing
    .map(({ subject, points }): Track => ({ id: points[0]?.markId ?? "", subject, points }))
    .toSorted((a, b) => (a.id < b.id ? -1 : 1));
}

function nameOf(subject: MarkSubject): string {
  return subject.kind === "official" ? `official ${subject.position}` : subject.kind;
}

function addPlayers(all: Growing[], tracks: readonly Growing[], marks: readonly PlacedMark[], moment: Moment): void {
  const costs = tracks.map((track) => {
    const last = track.points.at(-1)!;
    const before = track.points.at(-2);
    const sec = moment.timeSec - last.timeSec;
    const keep = before ? (keptUp * sec) / (last.timeSec - before.timeSec) : 0;
    const x = last.at.xYards + keep * (last.at.xYards - (before?.at.xYards ?? last.at.xYards));
    const y = last.at.yYards + keep * (last.at.yYards - (before?.at.yYards ?? last.at.yYards));
    const reach = fastestYardsPerSec * sec + slackYards;
    return marks.map(({ measured: { position }, subject }) => {
      const gone = Math.hypot(position.xYards - last.at.xYards, position.yYards - last.at.yYards);
      if (gone > reach) return Infinity;
      const square = (position.xYards - x) ** 2 + (position.yYards - y) ** 2;
      return roleOf(subject) === roleOf(track.subject) ? square : square + otherRoleSquareYards;
    });
  });
  const longest = Math.max(0, ...tracks.map((track) => moment.timeSec - track.points.at(-1)!.timeSec));
  const alone = (fastestYardsPerSec * longest + slackYards) ** 2 + otherRoleSquareYards;
  const paired = assign(costs, marks.length, 2 * alone);
  const taken = new Set<number>();
  for (const [row, column] of paired.entries()) {
    const mark = marks[column];
    if (!mark || costs[row]?.[column] === Infinity) continue;
    taken.add(column);
    tracks[row]?.points.push(pointOf(moment, mark));
  }
  for (const [index, mark] of marks.entries()) {
    if (!taken.has(index)) all.push({ subject: mark.subject, points: [pointOf(moment, mark)] });
  }
}

function roleOf(subject: MarkSubject): string {
  return subject.kind === "player" ? subject.role : subject.kind;
}

const turn = 2 * Math.PI;

/** The shorter turn from one bearing to another, radians, over −π to π. */
export function turnBetween(from: number, to: number): number {
  const by = (to - from) % turn;
  return by > Math.PI ? by - turn : by <= -Math.PI ? by + turn : by;
}

/** Where a track is at an instant; null before its first point and after its last. */
export function standingAt(track: Track, timeSec: number): Standing | null {
  const { points } = track;
  const next = points.findIndex((point) => point.timeSec >= timeSec);
  const after = points[next];
  if (!after) return null;
  if (after.timeSec === timeSec) {
    const { at, covariance, facing, markId } = after;
    return { track, at, covariance, facing, markId };
  }
  const before = points[next - 1];
  if (!before) return null;
  const t = (timeSec - before.timeSec) / (after.timeSec - before.timeSec);
  const mix = (a: number, b: number) => a + (b - a) * t;
  return {
    track,
    markId: null,
    at: fieldPoint(mix(before.at.xYards, after.at.xYards), mix(before.at.yYards, after.at.yYards)),
    covariance: {
      xx: mix(before.covariance.xx, after.covariance.xx),
      xy: mix(before.covariance.xy, after.covariance.xy),
      yy: mix(before.covariance.yy, after.covariance.yy),
    },
    facing:
      before.facing && after.facing
        ? {
            radians: before.facing.radians + turnBetween(before.facing.radians, after.facing.radians) * t,
            sdRadians: mix(before.facing.sdRadians, after.facing.sdRadians),
          }
        : null,
  };
}
