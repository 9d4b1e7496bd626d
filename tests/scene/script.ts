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
  /** Held by hand at the tripod's place; left out for a camera that stands on it. */
  readonly shake?: HandShake;
  readonly plays: readonly Play[];
};
