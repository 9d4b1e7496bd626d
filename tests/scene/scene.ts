import { bodyOf, looksFor, type Pose } from "./figures.ts";
import type { Kit } from "./kits.ts";
import { handHeld } from "./hand-shake.ts";
import { frameCountOf, playOut, snapFrameOf, type Sample } from "./motion.ts";
import type { PinholeCamera, Vector3 } from "./pinhole.ts";
import { conePositions } from "./pitch.ts";
import { ballBody, coneBody } from "./props.ts";
import { gaussian, seededDraw, seedOf } from "./seeded.ts";
import type {
  BallEvents,
  Actor,
  Film,
  OfficialPosition,
  PlannedMoment,
  PlantedFault,
  Play,
  PlayerRole,
  Situation,
  Team,
} from "./script.ts";
import { unit, type Body } from "./solids.ts";

/** What is true on every frame of a film: the camera, everyone's feet and facing, and the ball. Field frame, yards. */

export type Person = {
  readonly id: string;
  readonly xYards: number;
  readonly yYards: number;
  /** 0 along +x, positive toward +y. */
  readonly facingRadians: number;
  readonly speedYardsPerSec: number;
} & (
  | { readonly kind: "official"; readonly position: OfficialPosition }
  | {
      readonly kind: "player";
      readonly side: "A" | "B";
      readonly team: Team;
      readonly role: PlayerRole;
      readonly number: number;
    }
);

export type FrameTruth = {
  readonly frameIndex: number;
  readonly playNumber: number;
  /** Seconds from this play's snap; negative before it. */
  readonly sinceSnapSec: number;
  readonly camera: PinholeCamera;
  readonly people: readonly Person[];
  readonly ball: { readonly xYards: number; readonly yYards: number; readonly zYards: number };
};

export type ScenePlay = {
  readonly number: number;
  readonly situation: Situation;
  readonly firstFrame: number;
  readonly frameCount: number;
  /** In seconds after the snap. */
  readonly ball: BallEvents;
  readonly snapFrame: number;
  readonly moments: readonly { readonly phase: PlannedMoment["phase"]; readonly frameIndex: number }[];
  readonly pointYards: number;
};

export type Scene = {
  readonly film: Film;
  readonly frameCount: number;
  readonly plays: readonly ScenePlay[];
  readonly plantedFaults: readonly PlantedFault[];
  readonly truthAt: (frameIndex: number) => FrameTruth;
  /** Everything that moves or is passed by what moves, ready to be drawn. */
  readonly bodiesAt: (frameIndex: number) => readonly Body[];
  readonly cameras: readonly PinholeCamera[];
};

type Acted = {
  readonly plan: ScenePlay;
  readonly play: Play;
  readonly samples: ReadonlyMap<string, readonly Sample[]>;
  readonly ball: readonly { readonly at: Vector3; readonly along: Vector3; readonly held: string | null }[];
  readonly cameras: readonly PinholeCamera[];
};

export function sceneOf(film: Film): Scene {
  const acted: Acted[] = [];
  let firstFrame = 0;
  for (const play of film.plays) {
    const samples = playOut(play, film.framesPerSec);
    const snapFrame = firstFrame + snapFrameOf(play, film.framesPerSec);
    const plan: ScenePlay = {
      number: play.number,
      situation: play.situation,
      firstFrame,
      frameCount: frameCountOf(play, film.framesPerSec),
      snapFrame,
      ball: play.ball,
      pointYards: play.pointYards,
      moments: play.moments.map(({ phase, sinceSnapSec }) => ({
        phase,
        frameIndex: snapFrame + Math.round(sinceSnapSec * film.framesPerSec),
      })),
    };
    const ball = ballPath(play, samples, film.framesPerSec);
    acted.push({
      plan,
      play,
      samples,
      ball,
      cameras: cameraWork(
        film,
        play,
        samples,
        ball.map((one) => one.at),
      ),
    });
    firstFrame += plan.frameCount;
  }
  const find = (frameIndex: number): { act: Acted; local: number } => {
    const act = acted.find(
      ({ plan }) => frameIndex >= plan.firstFrame && frameIndex < plan.firstFrame + plan.frameCount,
    );
    if (!act) throw new RangeError(`the film has no frame ${frameIndex}`);
    return { act, local: frameIndex - act.plan.firstFrame };
  };
  return {
    film,
    frameCount: firstFrame,
    plays: acted.map(({ plan }) => plan),
    plantedFaults: film.plays.flatMap((play) => play.faults),
    cameras: acted.flatMap(({ cameras }) => cameras),
    truthAt: (frameIndex) => {
      const { act, local } = find(frameIndex);
      const at = act.ball[local]!.at;
      return {
        frameIndex,
        playNumber: act.plan.number,
        sinceSnapSec: (frameIndex - act.plan.snapFrame) / film.framesPerSec,
        camera: act.cameras[local]!,
        people: act.play.actors.map((actor) => personOf(actor, act.play.situation, act.samples.get(actor.id)![local]!)),
        ball: { xYards: at[0], yYards: at[1], zYards: at[2] },
      };
    },
    bodiesAt: (frameIndex) => {
      const { act, local } = find(frameIndex);
      return bodies(act, local, film.framesPerSec);
    },
  };
}

function fieldX(situation: Situation, depth: number): number {
  return situation.scrimmageXYards + (situation.direction === "right" ? depth : -depth);
}

/** Script-frame angle to field-frame angle: going left mirrors depth and keeps y. */
function fieldAngle(situation: Situation, radians: number): number {
  return situation.direction === "right" ? radians : Math.PI - radians;
}

function personOf(actor: Actor, situation: Situation, sample: Sample): Person {
  const common = {
    id: actor.id,
    xYards: fieldX(situation, sample.depth),
    yYards: sample.yYards,
    facingRadians: fieldAngle(situation, sample.facingRadians),
    speedYardsPerSec: sample.speedYardsPerSec,
  };
  if (actor.kind === "official") return { ...common, kind: "official", position: actor.position };
  const other: Team = situation.offence === "herons" ? "lanterns" : "herons";
  return {
    ...common,
    kind: "player",
    side: actor.side,
    team: actor.side === "A" ? situation.offence : other,
    role: actor.role,
    number: actor.number,
  };
}

const snapFlightSec = 0.42;

/** The ball: on the ground, snapped back, held, thrown, carried. Field frame, one sample a frame. */
function ballPath(play: Play, samples: ReadonlyMap<string, readonly Sample[]>, framesPerSec: number): Acted["ball"] {
  const { situation, ball } = play;
  const snapFrame = snapFrameOf(play, framesPerSec);
  const passer = samples.get("A11")!;
  const catcher = samples.get(ball.catcher)!;
  const last = passer.length - 1;
  const place = (sample: Sample, forward: number, aside: number, zYards: number): Vector3 => {
    const facing = fieldAngle(situation, sample.facingRadians);
    return [
      fieldX(situation, sample.depth) + forward * Math.cos(facing) - aside * Math.sin(facing),
      sample.yYards + forward * Math.sin(facing) + aside * Math.cos(facing),
      zYards,
    ];
  };
  const sampleAt = (track: readonly Sample[], sec: number) =>
    track[Math.max(0, Math.min(last, Math.round(sec * framesPerSec) + snapFrame))]!;
  const spot: Vector3 = [situation.scrimmageXYards, situation.ballYYards, 0.1];
  const downfield: Vector3 = situation.direction === "right" ? [1, 0, 0] : [-1, 0, 0];
  const fromHand = place(sampleAt(passer, ball.releaseSec), 0.1, -0.25, 2.1);
  const toHand = place(sampleAt(catcher, ball.catchSec), 0.35, 0, 1.35);
  const flightSec = ball.catchSec - ball.releaseSec;
  return passer.map((_, frame) => {
    const sec = (frame - snapFrame) / framesPerSec;
    if (sec <= 0) return { at: spot, along: downfield, held: null };
    if (sec < snapFlightSec) {
      const share = sec / snapFlightSec;
      const hands = place(sampleAt(passer, snapFlightSec), 0.3, 0, 1.1);
      const at: Vector3 = [0, 1, 2].map((i) => spot[i]! + (hands[i]! - spot[i]!) * share) as unknown as Vector3;
      return { at: [at[0], at[1], at[2] + 0.35 * Math.sin(Math.PI * share)], along: downfield, held: null };
    }
    if (sec < ball.releaseSec) {
      const cock = Math.max(0, Math.min(1, (sec - ball.releaseSec + 0.45) / 0.4));
      const at = place(passer[frame]!, 0.3 - 0.42 * cock, -0.1 - 0.2 * cock, 1.25 + 0.7 * cock);
      const facing = fieldAngle(situation, passer[frame]!.facingRadians);
      return { at, along: unit([Math.cos(facing), Math.sin(facing), 0.6]), held: "A11" };
    }
    if (sec < ball.catchSec) {
      const share = (sec - ball.releaseSec) / flightSec;
      const rise = 0.5 * 10.72 * flightSec * flightSec * share * (1 - share);
      const at: Vector3 = [
        fromHand[0] + (toHand[0] - fromHand[0]) * share,
        fromHand[1] + (toHand[1] - fromHand[1]) * share,
        fromHand[2] + (toHand[2] - fromHand[2]) * share + rise,
      ];
      return { at, along: unit([toHand[0] - fromHand[0], toHand[1] - fromHand[1], 1.5 * (0.5 - share)]), held: null };
    }
    const tuck = Math.min(1, (sec - ball.catchSec) / 0.3);
    const facing = fieldAngle(situation, catcher[frame]!.facingRadians);
    return {
      at: place(catcher[frame]!, 0.35 - 0.15 * tuck, 0.22 * tuck, 1.35 - 0.12 * tuck),
      along: unit([Math.cos(facing), Math.sin(facing), 0.3]),
      held: ball.catcher,
    };
  });
}

/** The operator: framed on the formation, still but for a breath of drift, then easing after the ball. */
function cameraWork(
  film: Film,
  play: Play,
  samples: ReadonlyMap<string, readonly Sample[]>,
  ball: readonly Vector3[],
): PinholeCamera[] {
  const { situation } = play;
  const snapFrame = snapFrameOf(play, film.framesPerSec);
  const draw = seededDraw(seedOf(film.name, "operator", play.number));
  const phases = Array.from({ length: 4 }, () => 6.28 * draw());
  const settle = 0.004 * gaussian(draw);
  const centreX = fieldX(situation, 3.2);
  let aimX = centreX;
  let speedX = 0;
  let aimY = 20;
  let speedY = 0;
  const carrier = samples.get(play.ball.catcher)!;
  const steady = ball.map((at, frame): PinholeCamera => {
    const sec = (frame - snapFrame) / film.framesPerSec;
    const dt = 1 / film.framesPerSec;
    const watched = sec < play.ball.releaseSec ? at[0] : fieldX(situation, carrier[frame]!.depth);
    const goalX =
      sec < 0.25 ? centreX : centreX + 0.5 * (watched + (situation.direction === "right" ? 3 : -3) - centreX);
    const goalY = sec < 0.25 ? 20 : 20 + 0.14 * (at[1] - 20);
    speedX += (9 * (goalX - aimX) - 6 * speedX) * dt;
    aimX += speedX * dt;
    speedY += (6 * (goalY - aimY) - 5 * speedY) * dt;
    aimY += speedY * dt;
    const clock = frame / film.framesPerSec;
    const drift = (rate: number, phase: number) => 0.0006 * Math.sin(rate * clock + phase);
    const closer = Math.min(1, Math.max(0, (sec - 0.2) / 2.6));
    const eased = closer * closer * (3 - 2 * closer);
    const focalPx = film.focalPx * (1 + (film.zoom - 1) * eased);
    return {
      ...film.tripod,
      panRadians:
        Math.atan2(aimX - film.tripod.xYards, 24 - film.tripod.yYards) +
        settle +
        drift(1.3, phases[0]!) +
        drift(2.9, phases[1]!) * 0.5,
      tiltRadians:
        film.tiltRadians +
        0.0075 * (aimY - 20) * 0.6 -
        0.012 * eased +
        drift(1.1, phases[2]!) +
        drift(2.3, phases[3]!) * 0.5,
      focalPx,
      widthPx: film.widthPx,
      heightPx: film.heightPx,
    };
  });
  return film.shake === undefined ? steady : handHeld(steady, film.shake, film.framesPerSec, [film.name, play.number]);
}

function kitOf(person: Person): Kit {
  if (person.kind === "player") return person.team;
  return person.position === "R" ? "referee" : "official";
}

function bodies(act: Acted, local: number, framesPerSec: number): Body[] {
  const { play, plan } = act;
  const { ball } = play;
  const sec = local / framesPerSec - (plan.snapFrame - plan.firstFrame) / framesPerSec;
  const now = act.ball[local]!;
  const list: Body[] = [];
  for (const actor of play.actors) {
    const sample = act.samples.get(actor.id)![local]!;
    const person = personOf(actor, play.situation, sample);
    const aim: Vector3 = [now.at[0], now.at[1], now.at[2]];
    let leftHandAt: Vector3 | null = null;
    let rightHandAt: Vector3 | null = null;
    if (now.held === actor.id) {
      if (actor.id === "A11") {
        rightHandAt = aim;
        if (sec < ball.releaseSec - 0.35) leftHandAt = aim;
      } else leftHandAt = aim;
    } else if (actor.id === "A11" && sec > 0.1 && sec < snapFlightSec) {
      leftHandAt = aim;
      rightHandAt = aim;
    } else if (actor.id === "A11" && sec >= ball.releaseSec && sec < ball.releaseSec + 0.3) {
      const facing = person.facingRadians;
      rightHandAt = [
        person.xYards + 0.8 * Math.cos(facing),
        person.yYards + 0.8 * Math.sin(facing),
        1.7 - 2.2 * (sec - ball.releaseSec),
      ];
    } else if (actor.id === ball.catcher && sec > ball.catchSec - 0.3 && sec < ball.catchSec) {
      leftHandAt = aim;
      rightHandAt = aim;
    } else if (actor.id === ball.puller && Math.abs(sec - ball.pullSec) < 0.22) {
      const runner = act.samples.get(ball.catcher)![local]!;
      rightHandAt = [fieldX(play.situation, runner.depth), runner.yYards, 1];
    }
    const covering = actor.kind === "official" && actor.position === coveringOfficial(play);
    const pose: Pose = {
      xYards: person.xYards,
      yYards: person.yYards,
      facingRadians: person.facingRadians,
      speedYardsPerSec: sample.speedYardsPerSec,
      travelRadians: fieldAngle(play.situation, sample.travelRadians),
      gaitCycles: sample.gaitCycles,
      stance: actor.stance === "snap" && sec > 0.15 ? "crouch" : sec > ball.pullSec + 0.4 ? "stand" : actor.stance,
      clockSec: local / framesPerSec,
      leftHandAt,
      rightHandAt,
      signal: covering ? Math.max(0, Math.min(1, (sec - ball.pullSec - 0.2) / 0.35)) : 0,
      flagsLeft: actor.id === ball.catcher && sec > ball.pullSec ? 1 : 2,
    };
    list.push(
      bodyOf(
        actor.id,
        looksFor(
          kitOf(person),
          actor.kind === "player" ? actor.number : null,
          actor.id,
          person.kind === "player" ? person.team : "",
        ),
        pose,
      ),
    );
  }
  list.push(ballBody(now.at, now.along));
  for (const cone of conePositions)
    if (cone.yYards < 20) list.push(coneBody(`cone-${cone.xYards}`, cone.xYards, cone.yYards));
  return list;
}

/** Whoever's side the run ends on raises an arm when the flag is pulled. */
function coveringOfficial(play: Play): OfficialPosition {
  const catcher = play.actors.find((actor) => actor.id === play.ball.catcher);
  return catcher && catcher.start.yYards > 20 ? "LJ" : "FJ";
}
