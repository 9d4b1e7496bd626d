import { groundOf } from "../field/seen-through.ts";
import { type FieldPoint, fieldPoint, imagePoint } from "../field/units.ts";
import type { WorkingScale } from "./anchor-picture.ts";
import {
  boxAround,
  claimBody,
  compare,
  emptyPatch,
  feetLine,
  mostRiseYards,
  type Likeness,
  likenessOf,
  type Patch,
  patchSize,
  readPatch,
  type Standing,
  standingAt,
} from "./follow-patch.ts";
import { type FollowFrame, type Window, windowOf } from "./follow-window.ts";

/** Where somebody was in a frame; `guessed` where they could not be made out and their motion was only continued. */
export type FollowedStep = { readonly ground: FieldPoint; readonly guessed: boolean };

/** How far around the place that the motion leads to one is looked for, yards: sideways, and up and down the picture. */
const reach = { xYards: 0.4, yYards: 0.2 };
/** How much the likeness to the marked frame counts beside that to the last ones. */
const markedShare = 0.35;
/** How fast the last frames' likeness follows, a frame. */
const freshShare = 0.2;
/** Least likeness of somebody who is made out, and least part of them that must be seen. */
const leastAlike = 0.3;
const leastSeen = 0.3;
/** Taken from the likeness: for a place at the end of the reach, and for a body that is hidden whole. */
const farCost = 0.1;
const hiddenCost = 0.2;
/** Where the line of the feet was not seen at the click, it is taken to lie this far under it, yards of height. */
const usualUnder = -0.05;
/** How fast a rise of the body over the feet is believed, a frame. */
const riseShare = 0.25;
/** Frames, spread over the stretch, of which the ground is learnt. */
const groundFrames = 9;

type Track = {
  readonly steps: FollowedStep[];
  readonly marked: Patch;
  readonly latest: Patch;
  motion: { xYards: number; yYards: number };
  /** How far the click lies under the line of the feet, yards of height; null until that line was seen. */
  under: number | null;
  /** How far the patch has risen over the feet since: who straightens up does not move away. Yards of height. */
  risen: number;
  /** Left the picture. */
  over: boolean;
};

/**
 * Follows people through successive frames, from their places in the first; one step is yielded a frame. They are gone
 * through from the nearest to the camera to the farthest, and what one covers is not looked at for those behind. A
 * path that is shorter than the frames has left the picture.
 */
export function* followPass(
  frames: readonly FollowFrame[],
  scale: WorkingScale,
  starts: readonly FieldPoint[],
): Generator<void, readonly (readonly FollowedStep[])[]> {
  const count = Math.min(groundFrames, frames.length);
  const ground = Array.from(
    { length: count },
    (_, i) => frames[Math.round((i * (frames.length - 1)) / Math.max(1, count - 1))]!,
  );
  const claims = new Uint8Array(frames[0]!.picture.data.length);
  const tracks = starts.map((start): Track => ({
    steps: [{ ground: start, guessed: false }],
    marked: emptyPatch(),
    latest: emptyPatch(),
    motion: { xYards: 0, yYards: 0 },
    under: null,
    risen: 0,
    over: false,
  }));
  for (const [index, frame] of frames.entries()) {
    claims.fill(0);
    const there = tracks.flatMap((track) => {
      const expected = onward(track);
      const feet = track.over ? null : standingAt(frame.seeing, expected, scale);
      if (!feet) track.over = true;
      return feet ? [{ track, expected, at: { ...feet, y: feet.y - track.risen * feet.pxPerYard } }] : [];
    });
    for (const { track, expected, at } of there.toSorted((a, b) => b.at.y - a.at.y)) {
      const slack = { x: Math.ceil(reach.xYards * at.pxPerYard), y: Math.ceil(reach.yYards * at.pxPerYard) };
      const window = windowOf(frame, ground, scale, boxAround(at, slack.x + 2, slack.y + 2), claims);
      const seen = window && (index === 0 ? begin(track, window, at) : step(track, window, at, slack, frame, scale));
      if (seen) claimBody(claims, frame.picture, seen.standing, seen.patch);
      else if (window === null || index === 0) track.over = true;
      else track.steps.push({ ground: expected, guessed: true });
    }
    yield;
  }
  return tracks.map(({ steps }) => steps);
}

type Seen = { readonly standing: Standing; readonly patch: Patch };

function begin(track: Track, window: Window, at: Standing): Seen | null {
  const { marked, latest } = track;
  if (!readPatch(window, at.x, at.y, at.pxPerYard, marked)) return null;
  const line = feetLine(window, at);
  if (line !== null) track.under = (at.y - line) / at.pxPerYard;
  for (const part of ["grey", "apart", "free"] as const) latest[part].set(marked[part]);
  return { standing: at, patch: marked };
}

/** One person in one frame; null where they could not be made out. */
function step(
  track: Track,
  window: Window,
  at: Standing,
  slack: { readonly x: number; readonly y: number },
  { seeing }: FollowFrame,
  scale: WorkingScale,
): Seen | null {
  const found = search(track, window, at, slack);
  if (!found || found.score < leastAlike) return null;
  const patchAt = { ...at, x: found.x, y: found.y };
  const feetY = found.y + track.risen * at.pxPerYard;
  const line = feetLine(window, { ...patchAt, y: feetY });
  if (line !== null) {
    const risen = (line - found.y) / at.pxPerYard + (track.under ?? usualUnder);
    track.risen += riseShare * (Math.max(-mostRiseYards, Math.min(mostRiseYards, risen)) - track.risen);
  }
  const place = imagePoint(
    found.x * scale.filmPerWorkingU,
    (found.y + track.risen * at.pxPerYard) * scale.filmPerWorkingV,
  );
  const ground = groundOf(seeing, place);
  const patch = emptyPatch();
  if (!ground || !readPatch(window, found.x, found.y, at.pxPerYard, patch)) return null;
  freshen(track.latest, patch);
  const last = track.steps.at(-1)!.ground;
  const { motion } = track;
  // Along the way one looks a pixel is many times a yard of what it is across: that motion is smoothed more.
  track.motion = {
    xYards: 0.7 * motion.xYards + 0.3 * (ground.xYards - last.xYards),
    yYards: 0.8 * motion.yYards + 0.2 * (ground.yYards - last.yYards),
  };
  track.steps.push({ ground, guessed: false });
  return { standing: patchAt, patch };
}

function onward({ steps, motion }: Track): FieldPoint {
  const last = steps.at(-1)!.ground;
  return fieldPoint(last.xYards + motion.xYards, last.yYards + motion.yYards);
}

function freshen(latest: Patch, patch: Patch): void {
  for (let i = 0; i < patchSize; i++) {
    if (patch.free[i] === 0) continue;
    const share = latest.free[i] === 0 ? 1 : freshShare;
    latest.grey[i]! += share * (patch.grey[i]! - latest.grey[i]!);
    latest.apart[i]! += share * (patch.apart[i]! - latest.apart[i]!);
    latest.free[i] = 1;
  }
}

type Found = { readonly x: number; readonly y: number; readonly score: number };

/** The place within reach that is most like the person: on a grid of two pixels, then finer down to a quarter. */
function search(
  track: Track,
  window: Window,
  at: Standing,
  slack: { readonly x: number; readonly y: number },
): Found | null {
  const latest = likenessOf(track.latest);
  const marked = likenessOf(track.marked);
  const read = emptyPatch();
  let best: Found | null = null;
  const tryAt = (x: number, y: number): void => {
    if (!readPatch(window, x, y, at.pxPerYard, read)) return;
    const alike = alikeTo(read, latest, marked);
    if (alike === null) return;
    const score = alike - farCost * (((x - at.x) / slack.x) ** 2 + ((y - at.y) / slack.y) ** 2);
    if (best === null || score > best.score) best = { x, y, score };
  };
  for (let dy = -slack.y; dy <= slack.y; dy += 2)
    for (let dx = -slack.x; dx <= slack.x; dx += 2) tryAt(at.x + dx, at.y + dy);
  for (let pitch = 1; pitch > 0.2 && best !== null; pitch /= 2) {
    const { x, y }: Found = best;
    for (let j = -1; j <= 1; j++)
      for (let i = -1; i <= 1; i++) if (i !== 0 || j !== 0) tryAt(x + i * pitch, y + j * pitch);
  }
  return best;
}

function alikeTo(read: Patch, latest: Likeness, marked: Likeness): number | null {
  const now = compare(read, latest);
  if (now.seenShare < leastSeen) return null;
  const then = compare(read, marked);
  const share = then.seenShare < leastSeen ? 0 : markedShare;
  return (1 - share) * now.alike + share * then.alike - hiddenCost * (1 - now.seenShare);
}
