import { demoPlays } from "./demo-plays.ts";
import type { Film } from "./script.ts";

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
