import type { Stance } from "./figures.ts";
import type { HandShake } from "./hand-shake.ts";

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
  /** Midway between two people. */
  | { readonly kind: "between"; readonly ids: readonly [string, string] }
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

/**
 * A fault the script plants: whose it is, the rules it breaks, and from when to when it can be seen (seconds from the
 * snap). People are named by their ids in the play.
 */
export type PlantedFault = {
  readonly playNumber: number;
  /** "crew" where it is nobody's alone. */
  readonly position: OfficialPosition | "crew";
  /** How the ids of the book's rules begin that a finding of this fault may carry. */
  readonly ruleIdPrefix: string;
  readonly fromSec: number;
  readonly toSec: number;
  readonly note: string;
} & (
  | {
      readonly kind: "depth";
      readonly phase: "pre-snap";
      readonly position: OfficialPosition;
      /** Depth from the ball at which the official stands, and the one at which the book wants them; yards downfield. */
      readonly depthYards: number;
      readonly expectedDepthYards: number;
    }
  /** Turned to the ball while their receiver still has the defender on them. */
  | { readonly kind: "key-left-early"; readonly receiver: string; readonly defender: string }
  /** A receiver whom one official lets go as he leaves their zone, and the next does not take. */
  | {
      readonly kind: "dropped-handoff";
      readonly receiver: string;
      readonly defender: string;
      readonly from: OfficialPosition;
      readonly to: OfficialPosition;
    }
  /** Sees two opponents one behind the other, while a partner with nobody of their own sees between them. */
  | {
      readonly kind: "straight-lined";
      readonly receiver: string;
      readonly defender: string;
      readonly partner: OfficialPosition;
    }
  /** Contact that every official is turned away from. */
  | { readonly kind: "unseen"; readonly receiver: string; readonly defender: string }
  /** Follows the ball through the air instead of going to where it will come down. */
  | { readonly kind: "ball-watching"; readonly destination: string }
  /** Looks into a zone that nobody of A is in, though a matchup is near it. */
  | { readonly kind: "empty-zone"; readonly receiver: string; readonly defender: string }
  /** More players on a side than the game is played with, and nobody counted. */
  | {
      readonly kind: "miscount";
      readonly side: "A" | "B";
      readonly count: number;
      readonly counters: readonly OfficialPosition[];
    }
);

/** An instant at which a person stops the film to mark it. */
export type PlannedMoment = {
  readonly phase: "pre-snap" | "keys" | "zone" | "ball-away" | "catch" | "dead-ball";
  readonly sinceSnapSec: number;
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
  readonly moments: readonly PlannedMoment[];
  /** How far ahead of an official the hand points to mark a facing, yards; the farther, the surer. */
  readonly pointYards: number;
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
  /** Held by hand at the tripod's place; left out for a camera that stands on it. */
  readonly shake?: HandShake;
  readonly plays: readonly Play[];
};
