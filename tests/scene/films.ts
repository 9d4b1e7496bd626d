import { continuousPlay } from "./continuous-play.ts";
import { demoPlays } from "./demo-plays.ts";
import { keepingPlays } from "./keeping-plays.ts";
import type { Film } from "./script.ts";
import { seeingPlays } from "./seeing-plays.ts";

export const demoFilm: Film = {
  name: "demo",
  framesPerSec: 30,
  tripod: { xYards: 50, yYards: -28, zYards: 11 },
  focalPx: 1165,
  zoom: 1.1,
  tiltRadians: -0.176,
  widthPx: 1280,
  heightPx: 720,
  plays: [...demoPlays, ...keepingPlays, ...seeingPlays].toSorted((a, b) => a.number - b.number),
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

/** Five seconds from a third place, by hand, over a long pass: pan, zoom, wander, tremor, roll and sway. */
export const handHeldFilm: Film = {
  name: "hand-held",
  framesPerSec: 30,
  tripod: { xYards: 57, yYards: -16, zYards: 5.5 },
  focalPx: 900,
  zoom: 1.2,
  tiltRadians: -0.2,
  widthPx: 1280,
  heightPx: 720,
  shake: {
    wanderRadians: 0.02,
    rollRadians: 0.011,
    tremorRadians: 0.0011,
    noiseRadians: 0.0004,
    swayYards: 0.04,
  },
  plays: [{ ...demoPlays[3]!, beforeSnapSec: 1.4, afterSnapSec: 3.6 }],
};

/** Three plays without a cut between them, small: for finding plays by what moves. */
export const continuousFilm: Film = {
  name: "continuous",
  framesPerSec: 30,
  tripod: { xYards: 50, yYards: -28, zYards: 11 },
  focalPx: 540,
  zoom: 1,
  tiltRadians: -0.176,
  widthPx: 640,
  heightPx: 360,
  plays: [continuousPlay],
};

export const films: readonly Film[] = [demoFilm, otherCameraFilm, handHeldFilm, continuousFilm];
