import { at, follow, go, playOf, type PlaySheet, stopSec, untilStop } from "./play-sheet.ts";
import type { Actor, Gaze, Leg, OfficialPosition, PlannedMoment, PlantedFault, Play, Spot } from "./script.ts";

/**
 * Plays in which it matters who looks where after the snap. The formation is a play's sheet; on top of it everybody has
 * their own legs and every official their own looks. What a sheet leaves out is worked as common practice has it: R has
 * the passer until the ball is away, LJ the line and then the widest receiver on the far side, FJ the near receivers, BJ
 * the far ones, and all of them turn to where the ball will come down as soon as it is thrown.
 */

type Part = { readonly start?: Spot; readonly legs?: readonly Leg[]; readonly gazes?: readonly Gaze[] };
type WithoutPlay<T> = T extends unknown ? Omit<T, "playNumber"> : never;

type Cover = {
  readonly of: string;
  readonly depth: number;
  readonly yYards: number;
  readonly untilSec?: number;
  readonly after?: readonly Leg[];
};

export type WatchSheet = Omit<PlaySheet, "planted"> & {
  /** Whom FJ and BJ have at the snap, and LJ and BJ once the first threat is over; one or two people each. */
  readonly watch: {
    readonly near: readonly string[];
    readonly far: readonly string[];
    readonly wide: readonly string[];
    readonly deep: readonly string[];
  };
  /**
   * Defenders who run a receiver's own route at an offset from the snap on, so that the two stay as far apart as they
   * began: until a time, and then their own way; the catcher's runs after him.
   */
  readonly covers: Readonly<Record<string, Cover>>;
  /** What a person does instead of what the formation alone would have them do. */
  readonly cast: Readonly<Record<string, Part>>;
  /** One more of A, a receiver who stands by. */
  readonly extra?: { readonly number: number; readonly start: Spot; readonly legs: readonly Leg[] };
  readonly moments: readonly PlannedMoment[];
  readonly fault: WithoutPlay<PlantedFault> | null;
};

export function lookAt(fromSec: number, ids: readonly string[]): Gaze {
  const [one, two] = ids;
  if (one === undefined) throw new Error("nobody to look at");
  return two === undefined ? { kind: "person", id: one, fromSec } : { kind: "between", ids: [one, two], fromSec };
}

export const moment = (phase: PlannedMoment["phase"], sinceSnapSec: number): PlannedMoment => ({ phase, sinceSnapSec });

/** Looking along the straight line from one spot to another as something flies it, a look every tenth of a second. */
export function alongFlight(from: Spot, to: Spot, releaseSec: number, catchSec: number): Gaze[] {
  const count = Math.round((catchSec - releaseSec) * 10);
  return Array.from({ length: count + 1 }, (_, i): Gaze => {
    const share = i / count;
    return {
      kind: "spot",
      spot: at(from.depth + (to.depth - from.depth) * share, from.yYards + (to.yYards - from.yYards) * share),
      fromSec: releaseSec + (catchSec - releaseSec) * share,
    };
  });
}

export function watchedPlay(sheet: WatchSheet): Play {
  const { ball, number, watch } = sheet;
  const play = playOf({ ...sheet, planted: [] });
  const stations = new Map(play.actors.map((actor) => [actor.id, actor.start]));
  const start = (id: string): Spot => stations.get(id)!;
  const stop = stopSec(ball);
  const cast: Record<string, Part> = { ...heldLine(sheet), ...coverWork(sheet), ...crewWork(sheet, start) };
  for (const [id, own] of Object.entries(sheet.cast)) {
    if (!stations.has(id)) throw new Error(`nobody in play ${number} is called ${id}`);
    const set = (cast[id]?.gazes ?? []).filter((gaze) => gaze.fromSec < 0);
    cast[id] = { ...cast[id], ...own, ...(own.gazes ? { gazes: [...set, ...own.gazes] } : {}) };
  }
  const actors = play.actors.map((actor): Actor => {
    const own = cast[actor.id];
    if (!own) return actor;
    const legs = own.legs ?? actor.legs;
    return {
      ...actor,
      start: own.start ?? actor.start,
      legs: actor.kind === "player" ? untilStop(legs, actor.number, stop) : legs,
      gazes: own.gazes ? [...actor.gazes.slice(0, 1), ...own.gazes] : actor.gazes,
    };
  });
  if (watch.near.length === 0 || watch.far.length === 0)
    throw new Error(`play ${number} leaves FJ or BJ without a key`);
  return {
    ...play,
    actors: sheet.extra ? [...actors.slice(0, 7), eighth(sheet.extra, stop), ...actors.slice(7)] : actors,
    moments: sheet.moments,
    pointYards: 5,
    faults: sheet.fault ? [{ ...sheet.fault, playNumber: number }] : [],
  };
}

function coverWork({ ball, covers, number, routes }: WatchSheet): Record<string, Part> {
  return Object.fromEntries(
    Object.entries(covers).map(([id, { of, depth, yYards, untilSec = ball.catchSec - 0.1, after }]): [string, Part] => {
      const route = routes.find((one) => `A${one.number}` === of);
      if (!route) throw new Error(`nobody in play ${number} runs the route of ${of}`);
      const beside = (spot: Spot) => at(spot.depth + depth, spot.yYards + yYards);
      const legs = route.legs
        .filter((leg) => leg.fromSec < untilSec)
        .map((leg): Leg => (leg.kind === "to" ? { ...leg, spot: beside(leg.spot) } : leg));
      const chase = of === ball.catcher ? [follow(untilSec, of, 0.15, 0.55, 7.4)] : [];
      return [id, { start: beside(route.start), legs: [...legs, ...(after ?? chase)] }];
    }),
  );
}

function eighth(extra: NonNullable<WatchSheet["extra"]>, stop: number): Actor {
  return {
    kind: "player",
    id: `A${extra.number}`,
    side: "A",
    role: "receiver",
    number: extra.number,
    start: extra.start,
    stance: "stand",
    legs: untilStop(extra.legs, extra.number, stop),
    gazes: [
      { kind: "angle", radians: 0, fromSec: -9 },
      { kind: "travel", fromSec: 0.1 },
    ],
  };
}

/** A pocket that is easily watched: the blocker waits, and the rusher gives up as the ball is about to go. */
function heldLine({ ball, situation, passerY, linebacker }: WatchSheet): Record<string, Part> {
  const ballY = situation.ballYYards;
  return {
    A52: { legs: [go(0.25, -1.4, ballY + 0.4, 1.8)], gazes: [lookAt(0.3, ["B90"])] },
    A24: { legs: [go(0.3, -5.6, passerY + 2.6, 2)], gazes: [lookAt(0.3, ["B90"])] },
    A64: { legs: [go(0.3, -3.4, passerY - 2.2, 2.2)] },
    B90: {
      legs: [follow(0.12, "A11", 3.6, -3.2, 5), go(ball.releaseSec - 0.35, 2, ballY - 7, 4.2)],
      gazes: [lookAt(0, ["A11"]), lookAt(ball.releaseSec + 0.3, [ball.catcher])],
    },
    B55: {
      legs: [go(0.4, linebacker.depth + 1, linebacker.yYards, 2), go(ball.catchSec + 0.15, 6, ballY, 4)],
      gazes: [lookAt(0, ["A11"]), lookAt(ball.releaseSec + 0.2, [ball.catcher])],
    },
  };
}

function crewWork(sheet: WatchSheet, start: (id: string) => Spot): Record<OfficialPosition, Part> {
  const { ball, end, situation, watch } = sheet;
  const away = ball.releaseSec + 0.1;
  const closing = ball.catchSec + 0.2;
  const fromAside = lookAt(-9, ["A52", watch.near[0]!]);
  const toBall = lookAt(away, [ball.catcher]);
  const toGain = Math.abs(situation.lineToGainXYards - situation.scrimmageXYards);
  const held = situation.down >= 3 && toGain < 10;
  const [R, FJ, BJ] = [start("R"), start("FJ"), start("BJ")];
  return {
    R: {
      legs: [go(0.6, R.depth + 0.6, R.yYards + 0.3, 1), go(away, Math.min(end.depth - 12, -5), R.yYards + 2, 3.4)],
      gazes: [lookAt(-9, ["A52", "A11"]), lookAt(0.35, ["A11"]), lookAt(1.1, ["A11", "B90"]), toBall],
    },
    LJ: {
      legs: [go(0.6, 4, 40.3, 3.2), go(closing, Math.max(4, end.depth), 40.2, 4)],
      gazes: [lookAt(0.1, ["A52", "A64"]), lookAt(1.1, watch.wide), toBall],
    },
    FJ: {
      legs: [
        ...(held ? [] : [go(0.7, FJ.depth + 2.5, -0.6, 3)]),
        go(closing, Math.max(FJ.depth + (held ? 0 : 2.5), end.depth + 1), -0.5, 4),
      ],
      gazes: [fromAside, lookAt(0.15, watch.near), toBall],
    },
    BJ: {
      legs: [go(0.5, BJ.depth + 3.5, BJ.yYards, 3), go(closing, Math.max(BJ.depth, end.depth + 6), BJ.yYards - 1, 3.6)],
      gazes: [lookAt(0.2, watch.far), lookAt(1.1, watch.deep), toBall],
    },
  };
}
