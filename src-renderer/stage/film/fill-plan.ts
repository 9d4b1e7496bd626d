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

/**
 * What to decode next so that the window fills, or null when nothing needs decoding now. The playhead's own frame comes
 * first, then the side being travelled to.
 *
 * Decoding can only start at a key frame, so a stretch behind costs everything from the key frame before it. It is
 * therefore fetched in one piece, when half of what lies behind is used up, and not frame by frame.
 */
export function planFill(
  playhead: number,
  travel: Travel,
  window: FrameWindow,
  has: (frameIndex: number) => boolean,
): FillPlan | null {
  if (!has(playhead)) return { first: playhead, last: window.last, urgent: true };
  const ahead = () => planAhead(playhead, travel, window, has);
  const behind = () => planBehind(playhead, travel, window, has);
  return travel < 0 ? (behind() ?? ahead()) : (ahead() ?? behind());
}

function planAhead(
  playhead: number,
  travel: Travel,
  window: FrameWindow,
  has: (frameIndex: number) => boolean,
): FillPlan | null {
  let first = playhead + 1;
  while (first <= window.last && has(first)) first++;
  if (first > window.last) return null;
  const held = first - playhead - 1;
  if (travel !== 0 && held > window.ahead / 2) return null;
  return { first, last: window.last, urgent: travel > 0 && held < urgentFrames };
}

function planBehind(
  playhead: number,
  travel: Travel,
  window: FrameWindow,
  has: (frameIndex: number) => boolean,
): FillPlan | null {
  let last = playhead - 1;
  while (last >= window.first && has(last)) last--;
  if (last < window.first) return null;
  const held = playhead - 1 - last;
  if (travel !== 0 && held > window.behind / 2) return null;
  let first = window.first;
  while (has(first)) first++;
  return { first, last, urgent: travel < 0 && held < urgentFrames };
}
