/** Which way the user moves through the film: back, about (a jump just landed), forward. */
export type Travel = -1 | 0 | 1;

/** The frames worth holding around the playhead, both ends included; `ahead` and `behind` count frames beside it. */
export type FrameWindow = {
  readonly first: number;
  readonly last: number;
  readonly ahead: number;
  readonly behind: number;
};

/** Frames to decode next, both ends included. `urgent` work may break off what is being decoded now. */
export type FillPlan = { readonly first: number; readonly last: number; readonly urgent: boolean };

/** Share of the window that lies in the direction of travel. */
const leadingShare = 0.7;

/** With fewer frames than this left in the direction of travel, decoding them cannot wait. */
const urgentFrames = 4;

/** The window of `capacity` frames around the playhead, moved inwards at the ends of the film. */
export function frameWindow(playhead: number, travel: Travel, capacity: number, frameCount: number): FrameWindow {
  const beside = Math.max(0, capacity - 1);
  const leading = Math.ceil(beside * (travel === 0 ? 0.5 : leadingShare));
  const wantedAhead = travel < 0 ? beside - leading : leading;
  const wantedBehind = beside - wantedAhead;
  const roomAhead = frameCount - 1 - playhead;
  const ahead = Math.min(roomAhead, wantedAhead + Math.max(0, wantedBehind - playhead));
  const behind = Math.min(playhead, wantedBehind + Math.max(0, wantedAhead - roomAhead));
  return { first: playhead - behind, last: playhead + ahead, ahead, behind };
}

/** After a jump, this many frames on either side come before the rest of the window: the next move is a small one. */
const nearFrames = 15;

/** What is held, and where decoding can start: `keyBefore` gives the key frame at or before a frame. */
export type Film = {
  readonly has: (frameIndex: number) => boolean;
  readonly keyBefore: (frameIndex: number) => number;
};

/**
 * What to decode next so that the window fills, or null when nothing needs decoding now. The playhead's own frame comes
 * first, then the side being travelled to. Frames that are expected to be jumped to come when those are there.
 *
 * Decoding can only start at a key frame, so frames behind cost everything from the key frame before them. They are
 * therefore fetched one group of pictures at a time, the nearest first, when half of what lies behind is used up; going
 * back, the group of a missing frame is kept whole, because its other frames are wanted next. Fetched as one long
 * stretch instead, the nearest frames would come last, and each step back would break the stretch off.
 */
export function planFill(
  playhead: number,
  travel: Travel,
  window: FrameWindow,
  film: Film,
  expected: readonly number[] = [],
): FillPlan | null {
  if (!film.has(playhead)) {
    return travel < 0
      ? { first: groupStart(playhead, window, film), last: playhead, urgent: true }
      : { first: playhead, last: window.last, urgent: true };
  }
  const ahead = (reach: number) => planAhead(playhead, travel, window, film, reach);
  const behind = (reach: number) => planBehind(playhead, travel, window, film, reach);
  const there = () => planExpected(expected, film);
  if (travel > 0) return ahead(Infinity) ?? behind(Infinity) ?? there();
  if (travel < 0) return behind(Infinity) ?? ahead(Infinity) ?? there();
  return ahead(nearFrames) ?? behind(nearFrames) ?? there() ?? ahead(Infinity) ?? behind(Infinity);
}

function planExpected(expected: readonly number[], { has }: Film): FillPlan | null {
  const first = expected.find((frameIndex) => !has(frameIndex));
  return first === undefined ? null : { first, last: first, urgent: false };
}

/** The first missing frame, within the window, of the group of pictures that a missing frame belongs to. */
function groupStart(missing: number, window: FrameWindow, { has, keyBefore }: Film): number {
  let first = Math.max(window.first, keyBefore(missing));
  while (first < missing && has(first)) first++;
  return first;
}

/** `reach` counts frames beside the playhead within which a first missing one is looked for. */
function planAhead(
  playhead: number,
  travel: Travel,
  window: FrameWindow,
  { has }: Film,
  reach: number,
): FillPlan | null {
  const last = Math.min(window.last, playhead + reach);
  let first = playhead + 1;
  while (first <= last && has(first)) first++;
  if (first > last) return null;
  const held = first - playhead - 1;
  if (travel !== 0 && held > window.ahead / 2) return null;
  return { first, last, urgent: travel > 0 && held < urgentFrames };
}

function planBehind(playhead: number, travel: Travel, window: FrameWindow, film: Film, reach: number): FillPlan | null {
  const furthest = Math.max(window.first, playhead - reach);
  let last = playhead - 1;
  while (last >= furthest && film.has(last)) last--;
  if (last < furthest) return null;
  const held = playhead - 1 - last;
  if (travel !== 0 && held > window.behind / 2) return null;
  return { first: groupStart(last, window, film), last, urgent: travel < 0 && held < urgentFrames };
}
