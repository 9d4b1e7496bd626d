import type {
  Actor,
  BallEvents,
  Gaze,
  Leg,
  OfficialPosition,
  PlantedFault,
  Play,
  PlayerRole,
  Situation,
  Spot,
} from "./script.ts";
import type { Stance } from "./figures.ts";

/** From a play's sheet (formation, routes, events, scatter, planted faults) to what each of its people does. */

export const at = (depth: number, yYards: number): Spot => ({ depth, yYards });
export const go = (fromSec: number, depth: number, yYards: number, speedYardsPerSec: number): Leg => ({
  kind: "to",
  fromSec,
  spot: at(depth, yYards),
  speedYardsPerSec,
});
export const follow = (fromSec: number, id: string, depth: number, yYards: number, speedYardsPerSec: number): Leg => ({
  kind: "follow",
  fromSec,
  id,
  offset: at(depth, yYards),
  speedYardsPerSec,
});

/** A receiver: number, where lined up, and the route as times and spots. */
type Route = {
  readonly number: number;
  readonly start: Spot;
  readonly legs: readonly Leg[];
  readonly coverNumber: number;
  readonly cushion: number;
};

export type PlaySheet = {
  readonly number: number;
  readonly situation: Situation;
  readonly beforeSnapSec: number;
  readonly afterSnapSec: number;
  readonly passerY: number;
  readonly back: Spot;
  readonly backLegs: readonly Leg[];
  readonly blocker: Spot;
  readonly routes: readonly [Route, Route, Route];
  readonly rusher: Spot;
  readonly safeties: readonly [Spot, Spot];
  readonly linebacker: Spot;
  readonly ball: BallEvents;
  /** Where the ball comes to rest, for the officials to close on. */
  readonly end: Spot;
  /** Human scatter about the right station (R, LJ, FJ, BJ), yards; a planted fault replaces the depth. */
  readonly scatter: Readonly<Record<OfficialPosition, Spot>>;
  readonly planted: readonly { readonly position: OfficialPosition; readonly depth: number; readonly note: string }[];
};

/** When players begin to let up after the flag is pulled; seconds from the snap. */
export const stopSec = (ball: BallEvents): number => ball.pullSec + 0.25;

/** The legs up to a time, and a stop a little after it, not everybody's at once. */
export const untilStop = (legs: readonly Leg[], number: number, stop: number): readonly Leg[] => [
  ...legs.filter((leg) => leg.fromSec < stop),
  { kind: "hold", fromSec: stop + ((number * 7) % 5) * 0.12, speedYardsPerSec: 0 },
];

const sideline = { near: -0.5, far: 40.5 };
const farHashY = 80 / 3;

/** The stations of the crew of four before the snap: LJ and BJ work the far side, R and FJ the near side. */
export function rightStations(situation: Situation, deepestBack: Spot): Record<OfficialPosition, Spot> {
  const toGain = Math.abs(situation.lineToGainXYards - situation.scrimmageXYards);
  const onLineToGain = situation.down >= 3 && toGain < 10;
  return {
    R: at(deepestBack.depth - 7, deepestBack.yYards - 7),
    LJ: at(0, sideline.far),
    FJ: at(onLineToGain ? toGain : 10, sideline.near),
    BJ: at(20, farHashY),
  };
}

export function playOf(shape: PlaySheet): Play {
  const { situation, ball } = shape;
  const ballY = situation.ballYYards;
  const right = rightStations(situation, shape.back);
  const faults: PlantedFault[] = shape.planted.map(({ position, depth, note }) => ({
    playNumber: shape.number,
    position,
    ruleIdPrefix: "ST-",
    fromSec: -shape.beforeSnapSec,
    toSec: 0,
    phase: "pre-snap",
    kind: "depth",
    depthYards: depth,
    expectedDepthYards: right[position].depth,
    note,
  }));
  const station = (position: OfficialPosition): Spot => {
    const fault = shape.planted.find((one) => one.position === position);
    const off = shape.scatter[position];
    return at(fault ? fault.depth : right[position].depth + off.depth, right[position].yYards + off.yYards);
  };
  const { end } = shape;
  const stop = stopSec(ball);

  const player = (
    side: "A" | "B",
    role: PlayerRole,
    number: number,
    start: Spot,
    stance: Stance,
    legs: readonly Leg[],
    firstGaze: Gaze,
    after: readonly Gaze[] = [{ kind: "travel", fromSec: 0.1 }],
  ): Actor => ({
    kind: "player",
    id: `${side}${number}`,
    side,
    role,
    number,
    start,
    stance,
    legs: untilStop(legs, number, stop),
    gazes: [firstGaze, ...after],
  });
  const ahead = { kind: "angle", radians: 0, fromSec: -9 } as const;
  const back = { kind: "angle", radians: Math.PI, fromSec: -9 } as const;

  const offence: Actor[] = [
    player(
      "A",
      "snapper",
      52,
      at(-0.75, ballY),
      "snap",
      [go(0.25, 0.4, ballY + 1.2, 1.8), go(1.5, 3, ballY + 3, 3)],
      ahead,
      [
        { kind: "person", id: "B90", fromSec: 0.3 },
        { kind: "travel", fromSec: 1.6 },
      ],
    ),
    player(
      "A",
      "passer",
      11,
      at(-5, shape.passerY),
      "ready",
      [go(0.3, -6.6, shape.passerY - 0.4, 2.4), go(1.35, -5.6, shape.passerY - 1, 2)],
      ahead,
      [{ kind: "person", id: ball.catcher, fromSec: 0.6 }],
    ),
    player("A", "back", 24, shape.back, "ready", shape.backLegs, ahead),
    player("A", "blocker", 64, shape.blocker, "crouch", [follow(0.25, "B90", -1.2, -0.3, 3.2)], ahead, [
      { kind: "person", id: "B90", fromSec: 0.25 },
    ]),
    ...shape.routes.map((route) => {
      const own = [...route.legs];
      if (ball.catcher === `A${route.number}`) own.push(go(ball.catchSec, end.depth, end.yYards, 6.2));
      else own.push(follow(ball.catchSec + 0.35, ball.catcher, -2.5, route.start.yYards > 20 ? 2.5 : -2.5, 4.2));
      return player(
        "A",
        "receiver",
        route.number,
        route.start,
        route.start.yYards > 30 || route.start.yYards < 8 ? "ready" : "stand",
        own,
        ahead,
      );
    }),
  ];
  const chase = (number: number): Leg[] =>
    ball.puller === `B${number}`
      ? [follow(ball.catchSec - 0.1, ball.catcher, 0.15, 0.55, 7.6)]
      : [follow(ball.catchSec + 0.3 + (number % 3) * 0.1, ball.catcher, 1.5 + (number % 3), (number % 4) - 1.5, 5.6)];
  const intercepted = ball.catcher.startsWith("B");
  const defence: Actor[] = [
    ...shape.routes.map((route) =>
      player(
        "B",
        "defender",
        route.coverNumber,
        at(route.start.depth + route.cushion, route.start.yYards + (route.start.yYards > 20 ? -0.5 : 0.5)),
        "crouch",
        intercepted && ball.catcher === `B${route.coverNumber}`
          ? [follow(0.35, `A${route.number}`, 1.1, -0.4, 6), go(ball.catchSec, end.depth, end.yYards, 5.6)]
          : [
              follow(0.35, `A${route.number}`, 1.4, route.start.yYards > 20 ? -0.7 : 0.7, 6.1),
              ...chase(route.coverNumber),
            ],
        back,
        [
          { kind: "person", id: `A${route.number}`, fromSec: 0.1 },
          { kind: "travel", fromSec: 1.1 },
        ],
      ),
    ),
    player(
      "B",
      "rusher",
      90,
      shape.rusher,
      "ready",
      [follow(0.12, "A11", 0.9, 0.3, 5.4), follow(ball.releaseSec + 0.35, ball.catcher, -4, 0, 2.6)],
      back,
      [
        { kind: "person", id: "A11", fromSec: 0 },
        { kind: "travel", fromSec: ball.releaseSec + 0.5 },
      ],
    ),
    player(
      "B",
      "defender",
      55,
      shape.linebacker,
      "crouch",
      [go(0.4, shape.linebacker.depth + 2, shape.linebacker.yYards, 2.5), ...chase(55)],
      back,
      [
        { kind: "person", id: "A11", fromSec: 0 },
        { kind: "travel", fromSec: ball.releaseSec + 0.2 },
      ],
    ),
    ...([21, 29] as const).map((number, i) => {
      const spot = shape.safeties[i]!;
      return player(
        "B",
        "defender",
        number,
        spot,
        "ready",
        [go(0.4, spot.depth + 2.2, spot.yYards, 2.2), ...chase(number)],
        back,
        [
          { kind: "person", id: "A11", fromSec: 0 },
          { kind: "travel", fromSec: ball.catchSec + 0.1 },
        ],
      );
    }),
  ];

  const near45 = Math.PI / 4;
  const official = (
    position: OfficialPosition,
    stance: Stance,
    legs: readonly Leg[],
    gazes: readonly Gaze[],
  ): Actor => ({
    kind: "official",
    id: position,
    position,
    start: station(position),
    stance,
    legs,
    gazes,
  });
  const stations = { R: station("R"), LJ: station("LJ"), FJ: station("FJ"), BJ: station("BJ") };
  const closing = ball.catchSec + 0.2;
  const onLine = situation.down >= 3 && stations.FJ.depth < 10;
  const officials: Actor[] = [
    official(
      "R",
      "stand",
      [
        go(0.6, stations.R.depth - 0.8, stations.R.yYards + 0.6, 1),
        go(ball.releaseSec + 0.25, Math.min(end.depth - 8, -3), stations.R.yYards + 2, 3.2),
      ],
      [
        { kind: "angle", radians: near45, fromSec: -9 },
        { kind: "person", id: "A11", fromSec: 0.4 },
        { kind: "person", id: ball.catcher, fromSec: ball.releaseSec + 0.6 },
      ],
    ),
    official(
      "LJ",
      "hips",
      [go(0.9, stations.LJ.depth + 4, 40.4, 2.6), go(closing, Math.max(4, end.depth), 40.1, 4)],
      [
        { kind: "angle", radians: -Math.PI / 2, fromSec: -9 },
        { kind: "person", id: "A52", fromSec: 0.1 },
        { kind: "person", id: ball.catcher, fromSec: ball.releaseSec + 0.2 },
      ],
    ),
    official(
      "FJ",
      "knees",
      [
        go(onLine ? closing : 0.7, onLine ? Math.max(stations.FJ.depth, end.depth) : stations.FJ.depth + 4, -0.6, 3.4),
        go(closing + 0.1, Math.max(end.depth + 1, 3), -0.4, 4),
      ],
      [
        { kind: "angle", radians: Math.PI - near45, fromSec: -9 },
        { kind: "person", id: `A${nearestRoute(shape, "near").number}`, fromSec: 0.15 },
        { kind: "person", id: ball.catcher, fromSec: ball.catchSec },
      ],
    ),
    official(
      "BJ",
      "stand",
      [go(0.5, stations.BJ.depth + 5, farHashY, 3), go(closing + 0.2, Math.max(end.depth + 6, 12), farHashY - 2, 3.6)],
      [
        { kind: "spot", spot: at(0, ballY), fromSec: -9 },
        { kind: "person", id: `A${nearestRoute(shape, "far").number}`, fromSec: 0.2 },
        { kind: "person", id: ball.catcher, fromSec: ball.catchSec },
      ],
    ),
  ];
  return {
    number: shape.number,
    situation,
    beforeSnapSec: shape.beforeSnapSec,
    afterSnapSec: shape.afterSnapSec,
    actors: [...offence, ...defence, ...officials],
    ball,
    moments: [{ phase: "pre-snap", sinceSnapSec: -0.2 }],
    pointYards: 2,
    faults,
  };
}

function nearestRoute(shape: PlaySheet, side: "near" | "far"): Route {
  const sorted = [...shape.routes].sort((a, b) => a.start.yYards - b.start.yYards);
  return side === "near" ? sorted[0]! : sorted[sorted.length - 1]!;
}

export const scatterOf = (...values: readonly [number, number, number, number, number, number, number, number]) => ({
  R: at(values[0], values[1]),
  LJ: at(values[2], values[3]),
  FJ: at(values[4], values[5]),
  BJ: at(values[6], values[7]),
});
