import type { FieldLayout } from "../field/template.ts";
import { fieldDistanceYards, type FieldPoint, fieldPoint } from "../field/units.ts";
import type { FieldSide, Phase, Situation } from "../game/records.ts";
import type { AnchorPlayer, StationScene } from "../mechanics/anchors.ts";
import type { Book } from "../mechanics/book.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import { zoneRuleAt } from "../mechanics/zone-area.ts";
import { defaultPressYards } from "./formation.ts";
import { type PlacedMoment, type Standing, standingAt, type Track, tracksOf } from "./handoff-tracks.ts";
import { normalBelow, type Watch, watchOf } from "./handoff-watch.ts";
import type { Matter } from "./matters.ts";
import { type KeyHolding, keysAtSnap, type Responsibility, responsibilityAt } from "./responsibility.ts";

/** One player of A at an instant, with the nearest of B, whose they are, and who is turned to them. */
export type MatterAt = {
  readonly sinceSnapSec: number;
  readonly player: Standing;
  readonly opponent: Standing | null;
  readonly apartYards: number;
  /** Midway between the two where they are close enough to be a matter, and otherwise the player. */
  readonly place: FieldPoint;
  /** That the two are close enough to be a matter, over the marks' errors. */
  readonly probabilityLive: number;
  readonly isLive: boolean;
  readonly responsibility: Responsibility;
  /** By position, of everybody who stands on the ground at this instant; null where the way faced is not known. */
  readonly watches: ReadonlyMap<string, Watch | null>;
};

export type CourseInput = {
  readonly book: Book;
  readonly layout: FieldLayout;
  readonly situation: Situation;
  readonly lineJudgeSide: FieldSide;
  /** Null where nobody has said when the snap was: it is then taken at the last moment before it. */
  readonly snapSec: number | null;
  readonly moments: readonly PlacedMoment[];
};

/** A play as it went: everybody at every instant between its moments, in seconds after the snap. */
export type Course = CourseInput & {
  readonly look: LookRule;
  readonly pressYards: number;
  readonly snapAtSec: number;
  readonly tracks: readonly Track[];
  /** Players of A, ascending by id. */
  readonly players: readonly Track[];
  readonly keys: readonly KeyHolding[];
  /** The moments after the snap, ascending. */
  readonly times: readonly number[];
  readonly phaseAt: (sinceSnapSec: number) => Phase;
  readonly standings: (sinceSnapSec: number) => readonly Standing[];
  readonly sceneAt: (sinceSnapSec: number) => StationScene;
  readonly matterAt: (track: Track, sinceSnapSec: number) => MatterAt | null;
  /**
   * Whether a key is held past its time: pressed from its end up to an instant, and in its official's own zone. Who goes
   * into somebody else's is passed on, pressed or not.
   */
  readonly isHeldOn: (key: KeyHolding, sinceSnapSec: number) => boolean;
  readonly runnerAt: (sinceSnapSec: number) => string | null;
};

const runnerHoldsYards = 3;

/** Null where nothing follows the snap, or the book does not say how looks are read. */
export function courseOf(input: CourseInput): Course | null {
  const look = input.book.looks[0];
  const moments = input.moments.toSorted((a, b) => a.moment.timeSec - b.moment.timeSec);
  const before = moments.filter(({ moment }) => moment.phase === "pre-snap");
  const snapAtSec = input.snapSec ?? before.at(-1)?.moment.timeSec ?? null;
  if (!look || snapAtSec === null) return null;
  const since = (timeSec: number) => timeSec - snapAtSec;
  const after = moments.filter(({ moment }) => moment.phase !== "pre-snap" && since(moment.timeSec) > 0);
  if (after.length === 0) return null;
  const tracks = tracksOf(moments);
  const times = after.map(({ moment }) => since(moment.timeSec));
  const pressYards = look.pairWithinYards || defaultPressYards;

  const standings = kept((sec: number) =>
    tracks.flatMap((track) => {
      const point = track.points.find(({ timeSec }) => Math.abs(since(timeSec) - sec) < 1e-9);
      const standing = standingAt(track, point?.timeSec ?? snapAtSec + sec);
      return standing ? [standing] : [];
    }),
  );
  const sceneAt = kept((sec: number) => sceneOf(input, standings(sec)));
  const phaseAt = phasesOf(after.map(({ moment }) => ({ sec: since(moment.timeSec), phase: moment.phase })));
  const runnerAt = kept((sec: number) => runnerOf(standings(sec), phaseAt(sec)));

  // The formation is that of the last moment at or before the snap: tracks that are not seen there have no key.
  const set = moments.findLast(({ moment }) => since(moment.timeSec) <= 1e-9) ?? moments[0];
  const atSet = set ? since(set.moment.timeSec) : 0;
  const keys = keysAtSnap(input.book, sceneAt(atSet), (position) => {
    const official = standings(atSet).find(({ track }) => isPosition(track, position));
    return official?.at ?? null;
  });
  const apart = (trackId: string, sec: number): number => {
    const here = standings(sec);
    const self = here.find(({ track }) => track.id === trackId);
    return self ? (nearestOf(self, here)?.apartYards ?? Infinity) : Infinity;
  };
  const isHeldOn = (key: KeyHolding, sec: number) => {
    const isPressed = [key.rule.forSec, ...times.filter((time) => time > key.rule.forSec && time < sec), sec].every(
      (time) => apart(key.playerId, time) <= pressYards,
    );
    const at = isPressed ? standings(sec).find(({ track }) => track.id === key.playerId)?.at : undefined;
    const zone = at ? zoneRuleAt(input.book, "zone", at, sceneAt(sec), "all-but-runner") : null;
    return isPressed && (zone === null || zone.position === key.rule.position);
  };
  const atTrack = new Map<string, (sec: number) => MatterAt | null>();
  const matterAt = (track: Track, sec: number): MatterAt | null => {
    let at = atTrack.get(track.id);
    if (!at) {
      at = kept((time: number) => readMatter(track, time));
      atTrack.set(track.id, at);
    }
    return at(sec);
  };
  const readMatter = (track: Track, sec: number): MatterAt | null => {
    const here = standings(sec);
    const player = here.find((standing) => standing.track.id === track.id);
    if (!player || player.track.subject.kind !== "player") return null;
    const nearest = nearestOf(player, here);
    const apartYards = nearest?.apartYards ?? Infinity;
    const probabilityLive = nearest
      ? normalBelow((pressYards - apartYards) / (apartSd(player, nearest.one) || 1e-9))
      : 0;
    const isLive = apartYards <= pressYards;
    const place = isLive && nearest ? midway(player.at, nearest.one.at) : player.at;
    const scene = sceneAt(sec);
    const responsibility = responsibilityAt({
      book: input.book,
      phase: phaseAt(sec),
      sinceSnapSec: sec,
      scene,
      player: { markId: track.id, side: "A", role: player.track.subject.role, at: place },
      covariance: player.covariance,
      keys,
      pressedBy: isLive ? (nearest?.one.track.id ?? null) : null,
      isHeldOn: (key) => isHeldOn(key, sec),
      isRunner: runnerAt(sec) === track.id,
    });
    const watches = new Map<string, Watch | null>();
    for (const standing of here) {
      const { subject } = standing.track;
      if (subject.kind === "official") watches.set(subject.position, watchOf(standing, place, player.covariance, look));
    }
    const opponent = nearest?.one ?? null;
    return { sinceSnapSec: sec, player, opponent, apartYards, place, probabilityLive, isLive, responsibility, watches };
  };
  return {
    ...input,
    moments,
    look,
    pressYards,
    snapAtSec,
    tracks,
    players: tracks.filter(({ subject }) => subject.kind === "player" && subject.side === "A"),
    keys,
    times,
    phaseAt,
    standings,
    sceneAt,
    matterAt,
    isHeldOn,
    runnerAt,
  };
}

export function isPosition({ subject }: Track, position: string): boolean {
  return subject.kind === "official" && subject.position === position;
}

function kept<T>(make: (sec: number) => T): (sec: number) => T {
  const made = new Map<number, T>();
  return (sec) => {
    let one = made.get(sec);
    if (one === undefined) {
      one = make(sec);
      made.set(sec, one);
    }
    return one;
  };
}

function sceneOf({ layout, situation, lineJudgeSide }: CourseInput, here: readonly Standing[]): StationScene {
  const ball = here.find(({ track }) => track.subject.kind === "ball");
  return {
    layout,
    situation,
    lineJudgeSide,
    players: here.flatMap(({ at, track: { id, subject } }): AnchorPlayer[] =>
      subject.kind === "player" ? [{ markId: id, side: subject.side, role: subject.role, at }] : [],
    ),
    ball: ball ? { markId: ball.track.id, at: ball.at } : null,
  };
}

/** The phase changes halfway between two moments of different phases; before the first moment keys are on. */
function phasesOf(
  moments: readonly { readonly sec: number; readonly phase: Phase }[],
): (sinceSnapSec: number) => Phase {
  const points = [{ sec: 0, phase: "keys" as Phase }, ...moments];
  return (sec) => {
    if (sec < -1e-9) return "pre-snap";
    let phase: Phase = "keys";
    for (const [index, point] of points.entries()) {
      const before = points[index - 1];
      const begins = before && before.phase !== point.phase ? (before.sec + point.sec) / 2 : (before?.sec ?? 0);
      if (sec >= begins) phase = point.phase;
    }
    return phase;
  };
}

function nearestOf(self: Standing, here: readonly Standing[]): { one: Standing; apartYards: number } | null {
  const { subject } = self.track;
  if (subject.kind !== "player") return null;
  let best: { one: Standing; apartYards: number } | null = null;
  // Tracks ascend by id, so that of two exactly as near the first counts whatever the order of the marks.
  for (const one of here) {
    const other = one.track.subject;
    if (other.kind !== "player" || other.side === subject.side) continue;
    const apartYards = fieldDistanceYards(self.at, one.at);
    if (best === null || apartYards < best.apartYards) best = { one, apartYards };
  }
  return best;
}

function apartSd(a: Standing, b: Standing): number {
  const x = b.at.xYards - a.at.xYards;
  const y = b.at.yYards - a.at.yYards;
  const length = Math.hypot(x, y) || 1;
  const [ux, uy] = [x / length, y / length];
  const along = ({ covariance: { xx, xy, yy } }: Standing) => ux * ux * xx + 2 * ux * uy * xy + uy * uy * yy;
  return Math.sqrt(Math.max(0, along(a) + along(b)));
}

function midway(a: FieldPoint, b: FieldPoint): FieldPoint {
  return fieldPoint((a.xYards + b.xYards) / 2, (a.yYards + b.yYards) / 2);
}

function runnerOf(here: readonly Standing[], phase: Phase): string | null {
  if (phase !== "catch" && phase !== "dead-ball") return null;
  const ball = here.find(({ track }) => track.subject.kind === "ball");
  if (!ball) return null;
  let best: { id: string; yards: number } | null = null;
  for (const { at, track } of here) {
    const { subject } = track;
    if (subject.kind !== "player" || subject.side !== "A" || subject.role === "snapper" || subject.role === "blocker")
      continue;
    const yards = fieldDistanceYards(at, ball.at);
    if (yards <= runnerHoldsYards && (best === null || yards < best.yards)) best = { id: track.id, yards };
  }
  return best?.id ?? null;
}

/** The matter as sentences name it. */
export function asMatter({ player, opponent, apartYards, isLive, place }: MatterAt): Matter {
  const one = ({ track, at }: Standing) => ({
    markId: track.id,
    side: track.subject.kind === "player" ? track.subject.side : ("A" as const),
    role: track.subject.kind === "player" ? track.subject.role : ("receiver" as const),
    at,
  });
  const other = isLive && opponent ? opponent : null;
  return {
    id: other ? `${player.track.id}+${other.track.id}` : player.track.id,
    kind: other ? "matchup" : "alone",
    player: one(player),
    opponent: other && one(other),
    apartYards: other ? apartYards : null,
    at: place,
    weight: 0,
  };
}
