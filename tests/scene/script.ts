import type { Stance } from "./figures.ts";

/**
 * The plays as written: who stands where before the snap, where each goes after it, and which faults are planted.
 *
 * Script frame: `depth` is yards downfield of the ball in the offence's direction (negative behind the line), `yYards`
 * is the field's own y, so officials keep their sides whichever way the offence goes. Times are seconds from the snap.
 */

export type Team = "herons" | "lanterns";
export type OfficialPosition = "R" | "LJ" | "FJ" | "BJ";
export type PlayerRole = "snapper" | "passer" | "back" | "receiver" | "blocker" | "defender" | "rusher";

export type Spot = { readonly depth: number; readonly yYards: number };

/** What a person makes for from a time on: a spot, or another person with an offset. */
export type Leg = { readonly fromSec: number; readonly speedYardsPerSec: number } & (
  | { readonly kind: "to"; readonly spot: Spot }
  | { readonly kind: "follow"; readonly id: string; readonly offset: Spot }
  | { readonly kind: "hold" }
);

/** Where the body faces from a time on. */
export type Gaze = { readonly fromSec: number } & (
  | { readonly kind: "travel" }
  | { readonly kind: "person"; readonly id: string }
  | { readonly kind: "spot"; readonly spot: Spot }
  /** 0 looks downfield, positive turns toward the far side. */
  | { readonly kind: "angle"; readonly radians: number }
);

export type Actor = {
  readonly id: string;
  readonly start: Spot;
  readonly stance: Stance;
  readonly legs: readonly Leg[];
  readonly gazes: readonly Gaze[];
} & (
  | { readonly kind: "official"; readonly position: OfficialPosition }
  | { readonly kind: "player"; readonly side: "A" | "B"; readonly role: PlayerRole; readonly number: number }
);

export type Situation = {
  readonly offence: Team;
  readonly direction: "right" | "left";
  readonly down: 1 | 2 | 3 | 4;
  readonly distanceYards: number;
  readonly scrimmageXYards: number;
  readonly lineToGainXYards: number;
  readonly ballYYards: number;
};

/** A fault the script plants: the rule it breaks, and the signed error a perfect reading would find. */
export type PlantedFault = {
  readonly playNumber: number;
  readonly position: OfficialPosition;
  readonly phase: "pre-snap";
  readonly kind: "depth";
  /** Depth from the ball at which the official stands, and the one at which the book wants them; yards downfield. */
  readonly depthYards: number;
  readonly expectedDepthYards: number;
  readonly note: string;
};

export type BallEvents = {
  readonly releaseSec: number;
  readonly catchSec: number;
  readonly catcher: string;
  readonly pullSec: number;
  readonly puller: string;
};

export type Play = {
  readonly number: number;
  readonly situation: Situation;
  readonly beforeSnapSec: number;
  readonly afterSnapSec: number;
  readonly actors: readonly Actor[];
  readonly ball: BallEvents;
  readonly faults: readonly PlantedFault[];
};

export type Film = {
  readonly name: string;
  readonly framesPerSec: number;
  readonly tripod: { readonly xYards: number; readonly yYards: number; readonly zYards: number };
  readonly focalPx: number;
  /** Focal length at the end of a play over that at its start. */
  readonly zoom: number;
  readonly tiltRadians: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly plays: readonly Play[];
};

const at = (depth: number, yYards: number): Spot => ({ depth, yYards });
const go = (fromSec: number, depth: number, yYards: number, speedYardsPerSec: number): Leg => ({
  kind: "to",
  fromSec,
  spot: at(depth, yYards),
  speedYardsPerSec,
});
const follow = (fromSec: number, id: string, depth: number, yYards: number, speedYardsPerSec: number): Leg => ({
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

type Shape = {
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

function playOf(shape: Shape): Play {
  const { situation, ball } = shape;
  const ballY = situation.ballYYards;
  const right = rightStations(situation, shape.back);
  const faults: PlantedFault[] = shape.planted.map(({ position, depth, note }) => ({
    playNumber: shape.number,
    position,
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
  const stop = ball.pullSec + 0.25;

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
    legs: [
      ...legs.filter((leg) => leg.fromSec < stop),
      { kind: "hold", fromSec: stop + ((number * 7) % 5) * 0.12, speedYardsPerSec: 0 },
    ],
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
    faults,
  };
}

function nearestRoute(shape: Shape, side: "near" | "far"): Route {
  const sorted = [...shape.routes].sort((a, b) => a.start.yYards - b.start.yYards);
  return side === "near" ? sorted[0]! : sorted[sorted.length - 1]!;
}

const scatterOf = (...values: readonly [number, number, number, number, number, number, number, number]) => ({
  R: at(values[0], values[1]),
  LJ: at(values[2], values[3]),
  FJ: at(values[4], values[5]),
  BJ: at(values[6], values[7]),
});

const demoPlays: readonly Play[] = [
  playOf({
    number: 1,
    situation: {
      offence: "herons",
      direction: "right",
      down: 1,
      distanceYards: 16,
      scrimmageXYards: 34,
      lineToGainXYards: 50,
      ballYYards: 20,
    },
    beforeSnapSec: 1.8,
    afterSnapSec: 3.4,
    passerY: 20,
    back: at(-6.2, 18.2),
    backLegs: [go(0.2, -5, 15, 3.5), go(1.1, -1.5, 11, 5)],
    blocker: at(-0.9, 22.1),
    routes: [
      {
        number: 81,
        start: at(-0.6, 35.4),
        coverNumber: 31,
        cushion: 5.4,
        legs: [go(0.05, 6.4, 35.4, 6), go(1.35, 4.6, 33.2, 5)],
      },
      {
        number: 17,
        start: at(-1.1, 28.2),
        coverNumber: 42,
        cushion: 5,
        legs: [go(0.05, 8.5, 28.6, 6), go(1.5, 12, 33, 6)],
      },
      { number: 3, start: at(-0.7, 4.3), coverNumber: 27, cushion: 5.8, legs: [go(0.05, 13, 4.9, 6.4)] },
    ],
    rusher: at(7, 17.3),
    safeties: [at(12.5, 13), at(14, 29.5)],
    linebacker: at(4.6, 21.8),
    ball: { releaseSec: 1.55, catchSec: 2.2, catcher: "A81", pullSec: 2.85, puller: "B31" },
    end: at(7, 32),
    scatter: scatterOf(0.15, -0.2, 0.12, -0.1, -0.2, -0.1, 0.25, -0.15),
    planted: [],
  }),
  playOf({
    number: 2,
    situation: {
      offence: "herons",
      direction: "right",
      down: 2,
      distanceYards: 9,
      scrimmageXYards: 41,
      lineToGainXYards: 50,
      ballYYards: 23,
    },
    beforeSnapSec: 1.7,
    afterSnapSec: 3.3,
    passerY: 23,
    back: at(-6, 24.9),
    backLegs: [go(0.2, -3.4, 28.2, 4), go(1.2, 0.5, 30.5, 4.5)],
    blocker: at(-0.9, 21),
    routes: [
      { number: 81, start: at(-0.7, 36), coverNumber: 31, cushion: 5.6, legs: [go(0.05, 12, 35.6, 6.3)] },
      {
        number: 17,
        start: at(-1.2, 14.2),
        coverNumber: 42,
        cushion: 4.8,
        legs: [go(0.05, 4.4, 14.2, 5.6), go(0.95, 5.4, 19.5, 5.4)],
      },
      {
        number: 3,
        start: at(-0.6, 5.4),
        coverNumber: 27,
        cushion: 6.2,
        legs: [go(0.05, 7, 5.4, 6), go(1.35, 9, 10.5, 6)],
      },
    ],
    rusher: at(7, 25.6),
    safeties: [at(12, 12.4), at(13.2, 27.6)],
    linebacker: at(5.2, 22),
    ball: { releaseSec: 1.5, catchSec: 1.98, catcher: "A17", pullSec: 2.65, puller: "B42" },
    end: at(4.2, 22.6),
    scatter: scatterOf(-0.25, 0.15, -0.15, 0.1, 0, -0.15, -0.3, 0.2),
    planted: [{ position: "FJ", depth: 6.5, note: "FJ only 6.5 yd downfield" }],
  }),
  playOf({
    number: 3,
    situation: {
      offence: "herons",
      direction: "right",
      down: 3,
      distanceYards: 5,
      scrimmageXYards: 45,
      lineToGainXYards: 50,
      ballYYards: 21,
    },
    beforeSnapSec: 1.8,
    afterSnapSec: 3.3,
    passerY: 21,
    back: at(-6.1, 19.1),
    backLegs: [go(0.25, -5.2, 18.3, 2), go(1.2, -1, 15, 4)],
    blocker: at(-0.9, 22.8),
    routes: [
      {
        number: 81,
        start: at(-0.6, 34.8),
        coverNumber: 31,
        cushion: 5,
        legs: [go(0.05, 4.8, 34.8, 6), go(1, 7.5, 29, 6)],
      },
      { number: 17, start: at(-1.2, 27.4), coverNumber: 42, cushion: 4.6, legs: [go(0.05, 9, 29.2, 6)] },
      {
        number: 3,
        start: at(-0.7, 6.2),
        coverNumber: 27,
        cushion: 5,
        legs: [go(0.05, 5.6, 6.2, 6), go(1.1, 6.2, 11.8, 5.8)],
      },
    ],
    rusher: at(7, 18.4),
    safeties: [at(11, 15.2), at(13.2, 24.4)],
    linebacker: at(4.8, 23.2),
    ball: { releaseSec: 1.6, catchSec: 2.12, catcher: "A3", pullSec: 2.75, puller: "B27" },
    end: at(6, 15.5),
    scatter: scatterOf(0.2, 0.25, 0.2, -0.05, 0, 0.05, 0.1, -0.25),
    planted: [{ position: "FJ", depth: 10, note: "FJ 10 yd downfield on third and 5, not on the line to gain" }],
  }),
  playOf({
    number: 4,
    situation: {
      offence: "herons",
      direction: "right",
      down: 1,
      distanceYards: 19,
      scrimmageXYards: 51,
      lineToGainXYards: 70,
      ballYYards: 18.4,
    },
    beforeSnapSec: 1.7,
    afterSnapSec: 3.4,
    passerY: 18.4,
    back: at(-6.3, 20.2),
    backLegs: [go(0.2, -4, 24, 4), go(1.1, 0.5, 27, 4.6)],
    blocker: at(-0.9, 16.3),
    routes: [
      {
        number: 81,
        start: at(-0.6, 34.4),
        coverNumber: 31,
        cushion: 6,
        legs: [go(0.05, 9, 34.2, 6.4), go(1.55, 11.5, 30.5, 6)],
      },
      {
        number: 17,
        start: at(-1.2, 11.6),
        coverNumber: 42,
        cushion: 5,
        legs: [go(0.05, 5, 11.6, 6), go(1, 7.5, 6, 6)],
      },
      { number: 3, start: at(-0.7, 4.6), coverNumber: 27, cushion: 6.2, legs: [go(0.05, 13.5, 6.2, 6.4)] },
    ],
    rusher: at(7, 21.6),
    safeties: [at(13, 12.8), at(14.6, 26.2)],
    linebacker: at(4.8, 17),
    ball: { releaseSec: 1.6, catchSec: 2.25, catcher: "A81", pullSec: 2.8, puller: "B31" },
    end: at(11, 27.2),
    scatter: scatterOf(0, 0.2, -0.2, 0.15, 0.25, -0.05, -0.15, 0.1),
    planted: [{ position: "R", depth: -9.3, note: "R only 3 yd behind the deepest back" }],
  }),
  playOf({
    number: 5,
    situation: {
      offence: "herons",
      direction: "right",
      down: 2,
      distanceYards: 8,
      scrimmageXYards: 62,
      lineToGainXYards: 70,
      ballYYards: 22,
    },
    beforeSnapSec: 1.8,
    afterSnapSec: 3.3,
    passerY: 22,
    back: at(-6, 20),
    backLegs: [go(0.2, -4.6, 17.4, 3.6), go(1.1, -1, 13, 5)],
    blocker: at(-0.9, 24),
    routes: [
      {
        number: 81,
        start: at(-0.6, 33.6),
        coverNumber: 31,
        cushion: 5.4,
        legs: [go(0.05, 6, 33.4, 6.2), go(1.2, 9, 37, 5)],
      },
      {
        number: 17,
        start: at(-1.2, 29.2),
        coverNumber: 42,
        cushion: 5,
        legs: [go(0.05, 3.2, 29, 5.8), go(0.85, 4.6, 24, 5.6)],
      },
      { number: 3, start: at(-0.7, 4.8), coverNumber: 27, cushion: 5.8, legs: [go(0.05, 11, 5.4, 6.4)] },
    ],
    rusher: at(7, 24.8),
    safeties: [at(10.4, 14), at(11.8, 31)],
    linebacker: at(4.4, 19.6),
    ball: { releaseSec: 1.45, catchSec: 1.98, catcher: "B42", pullSec: 2.7, puller: "A17" },
    end: at(2, 22.6),
    scatter: scatterOf(0.3, -0.1, 0, 0.1, -0.2, -0.1, 0, -0.2),
    planted: [
      { position: "BJ", depth: 14, note: "BJ only 14 yd downfield" },
      { position: "LJ", depth: 3.5, note: "LJ 3.5 yd downfield of the neutral zone" },
    ],
  }),
  playOf({
    number: 6,
    situation: {
      offence: "lanterns",
      direction: "left",
      down: 1,
      distanceYards: 14,
      scrimmageXYards: 64,
      lineToGainXYards: 50,
      ballYYards: 20.6,
    },
    beforeSnapSec: 1.8,
    afterSnapSec: 3.3,
    passerY: 20.6,
    back: at(-6.2, 22.6),
    backLegs: [go(0.2, -4.4, 25.6, 3.8), go(1.1, -0.5, 29, 4.8)],
    blocker: at(-0.9, 18.5),
    routes: [
      { number: 81, start: at(-0.6, 35), coverNumber: 31, cushion: 5.8, legs: [go(0.05, 12.5, 34.6, 6.4)] },
      {
        number: 17,
        start: at(-1.2, 12.4),
        coverNumber: 42,
        cushion: 5,
        legs: [go(0.05, 6, 12.6, 6), go(1.15, 8.5, 18, 6)],
      },
      {
        number: 3,
        start: at(-0.7, 5),
        coverNumber: 27,
        cushion: 5.6,
        legs: [go(0.05, 5.8, 5, 6), go(1.25, 4.2, 6.6, 5)],
      },
    ],
    rusher: at(7, 23),
    safeties: [at(12.6, 12.4), at(14.2, 28)],
    linebacker: at(4.8, 19),
    ball: { releaseSec: 1.55, catchSec: 2.1, catcher: "A3", pullSec: 2.75, puller: "B27" },
    end: at(5.6, 8.6),
    scatter: scatterOf(-0.2, -0.25, 0.1, 0.15, 0.2, 0.05, -0.2, 0.2),
    planted: [],
  }),
  playOf({
    number: 7,
    situation: {
      offence: "lanterns",
      direction: "left",
      down: 4,
      distanceYards: 4,
      scrimmageXYards: 54,
      lineToGainXYards: 50,
      ballYYards: 19,
    },
    beforeSnapSec: 1.9,
    afterSnapSec: 3.4,
    passerY: 19,
    back: at(-6, 17),
    backLegs: [go(0.2, -5, 14.4, 3.6), go(1.1, 0.5, 10.5, 5)],
    blocker: at(-0.9, 21),
    routes: [
      {
        number: 81,
        start: at(-0.6, 34.6),
        coverNumber: 31,
        cushion: 5,
        legs: [go(0.05, 5, 34.6, 6), go(1.05, 7, 28, 6)],
      },
      {
        number: 17,
        start: at(-1.2, 26.8),
        coverNumber: 42,
        cushion: 4.4,
        legs: [go(0.05, 5.4, 26.6, 6), go(1.15, 6.6, 31, 5.6)],
      },
      { number: 3, start: at(-0.7, 5.6), coverNumber: 27, cushion: 5.6, legs: [go(0.05, 10.5, 6.4, 6.4)] },
    ],
    rusher: at(7, 16.6),
    safeties: [at(10.6, 14), at(12.4, 23.4)],
    linebacker: at(4.4, 20.4),
    ball: { releaseSec: 1.6, catchSec: 2.12, catcher: "A17", pullSec: 2.75, puller: "B42" },
    end: at(7.6, 33.4),
    scatter: scatterOf(0.25, 0.1, -0.1, -0.15, 0.15, -0.1, 0.3, -0.1),
    planted: [],
  }),
];

export const demoFilm: Film = {
  name: "demo",
  framesPerSec: 30,
  tripod: { xYards: 50, yYards: -28, zYards: 11 },
  focalPx: 1165,
  zoom: 1.1,
  tiltRadians: -0.176,
  widthPx: 1280,
  heightPx: 720,
  plays: demoPlays,
};

/** One short play seen from another tripod, for tests that want film of their own in well under a minute. */
export const otherCameraFilm: Film = {
  name: "other",
  framesPerSec: 30,
  tripod: { xYards: 44, yYards: -20, zYards: 7 },
  focalPx: 960,
  zoom: 1.06,
  tiltRadians: -0.128,
  widthPx: 1280,
  heightPx: 720,
  plays: [{ ...demoPlays[0]!, beforeSnapSec: 1, afterSnapSec: 2 }],
};

export const films: readonly Film[] = [demoFilm, otherCameraFilm];
