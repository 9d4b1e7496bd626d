import { cycleYards } from "./limbs.ts";
import type { Actor, Leg, Play, Spot } from "./script.ts";

/**
 * Plays the script out: each person makes for the goal of the leg in force, with a limit on speed and acceleration, so
 * starts, cuts and stops look like running. Everything is in the script frame; the result is one sample a frame.
 */

export type Sample = {
  readonly depth: number;
  readonly yYards: number;
  readonly facingRadians: number;
  readonly speedYardsPerSec: number;
  readonly travelRadians: number;
  readonly gaitCycles: number;
};

const stepsPerSec = 120;
const accelerationYards = 7.5;
const turnRadiansPerSec = 6.5;

type State = { depth: number; y: number; vDepth: number; vY: number; facing: number; travel: number; gait: number };

function inForce<T extends { readonly fromSec: number }>(list: readonly T[], timeSec: number): T | null {
  let current: T | null = null;
  for (const one of list) if (one.fromSec <= timeSec) current = one;
  return current;
}

function goalOf(leg: Leg, states: ReadonlyMap<string, State>, self: State): Spot {
  switch (leg.kind) {
    case "to":
      return leg.spot;
    case "follow": {
      const other = states.get(leg.id);
      if (!other) throw new Error(`nobody is called ${leg.id}`);
      return {
        depth: other.depth + 0.12 * other.vDepth + leg.offset.depth,
        yYards: other.y + 0.12 * other.vY + leg.offset.yYards,
      };
    }
    case "hold":
      return { depth: self.depth, yYards: self.y };
  }
}

function wanted(actor: Actor, states: ReadonlyMap<string, State>, self: State, timeSec: number): number {
  const gaze = inForce(actor.gazes, timeSec);
  if (!gaze) return self.facing;
  const toward = (spot: Spot) => Math.atan2(spot.yYards - self.y, spot.depth - self.depth);
  switch (gaze.kind) {
    case "angle":
      return gaze.radians;
    case "travel":
      return Math.hypot(self.vDepth, self.vY) > 0.8 ? self.travel : self.facing;
    case "spot":
      return toward(gaze.spot);
    case "person": {
      const other = states.get(gaze.id);
      if (!other) throw new Error(`nobody is called ${gaze.id}`);
      return other === self ? self.travel : toward({ depth: other.depth, yYards: other.y });
    }
    case "between": {
      const [one, two] = gaze.ids.map((id) => states.get(id));
      if (!one || !two) throw new Error(`nobody is called ${gaze.ids.join(" or ")}`);
      return toward({ depth: (one.depth + two.depth) / 2, yYards: (one.y + two.y) / 2 });
    }
  }
}

export function playOut(play: Play, framesPerSec: number): ReadonlyMap<string, readonly Sample[]> {
  const frameCount = frameCountOf(play, framesPerSec);
  const snapFrame = snapFrameOf(play, framesPerSec);
  const states = new Map<string, State>();
  const samples = new Map<string, Sample[]>();
  for (const actor of play.actors) {
    const state: State = {
      depth: actor.start.depth,
      y: actor.start.yYards,
      vDepth: 0,
      vY: 0,
      facing: 0,
      travel: 0,
      gait: 0,
    };
    states.set(actor.id, state);
    samples.set(actor.id, []);
  }
  for (const actor of play.actors) {
    const state = states.get(actor.id)!;
    state.facing = wanted(actor, states, state, -5);
  }
  const perFrame = stepsPerSec / framesPerSec;
  for (let frame = 0; frame < frameCount; frame++) {
    for (const actor of play.actors) {
      const state = states.get(actor.id)!;
      samples.get(actor.id)!.push({
        depth: state.depth,
        yYards: state.y,
        facingRadians: state.facing,
        speedYardsPerSec: Math.hypot(state.vDepth, state.vY),
        travelRadians: state.travel,
        gaitCycles: state.gait,
      });
    }
    for (let step = 0; step < perFrame; step++) {
      const timeSec = (frame - snapFrame) / framesPerSec + step / stepsPerSec;
      for (const actor of play.actors) advance(actor, states, timeSec);
    }
  }
  return samples;
}

function advance(actor: Actor, states: ReadonlyMap<string, State>, timeSec: number): void {
  const dt = 1 / stepsPerSec;
  const state = states.get(actor.id)!;
  const leg = inForce(actor.legs, timeSec);
  let wantDepth = 0;
  let wantY = 0;
  if (leg && leg.kind !== "hold") {
    const goal = goalOf(leg, states, state);
    const awayDepth = goal.depth - state.depth;
    const awayY = goal.yYards - state.y;
    const away = Math.hypot(awayDepth, awayY);
    const pace = Math.min(leg.speedYardsPerSec, Math.sqrt(1.3 * accelerationYards * Math.max(0, away - 0.08)));
    if (away > 1e-6) {
      wantDepth = (awayDepth / away) * pace;
      wantY = (awayY / away) * pace;
    }
  }
  const changeDepth = wantDepth - state.vDepth;
  const changeY = wantY - state.vY;
  const change = Math.hypot(changeDepth, changeY);
  const most = accelerationYards * dt;
  const share = change > most ? most / change : 1;
  state.vDepth += changeDepth * share;
  state.vY += changeY * share;
  state.depth += state.vDepth * dt;
  state.y += state.vY * dt;
  const speed = Math.hypot(state.vDepth, state.vY);
  if (speed > 0.15) state.travel = Math.atan2(state.vY, state.vDepth);
  state.gait += (speed * dt) / cycleYards(speed);
  const turn = wanted(actor, states, state, timeSec) - state.facing;
  const shortest = Math.atan2(Math.sin(turn), Math.cos(turn));
  state.facing += Math.max(-turnRadiansPerSec * dt, Math.min(turnRadiansPerSec * dt, shortest * 7 * dt));
}

export function frameCountOf(play: Play, framesPerSec: number): number {
  return Math.round((play.beforeSnapSec + play.afterSnapSec) * framesPerSec);
}

/** The first frame on which the ball moves, counted from the play's own first frame. */
export function snapFrameOf(play: Play, framesPerSec: number): number {
  return Math.round(play.beforeSnapSec * framesPerSec);
}
