import { useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import type { Film } from "#core/game/records";
import type { PlayerState } from "../film/film-player.ts";
import { pictureTimes, pictureUnder, type StripRange, wholeFilmTimes } from "./strip-range.ts";
import { createThumbs, type Thumbs, type ThumbsState } from "./thumbs.ts";

const pictureWidthPx = 88;
/** Who rests the pointer so long wants to see the very frame. */
const dwellMs = 150;
/** Who steps through the film goes on at least as fast as this. */
const steppingMs = 700;

export type StripPictures = {
  /** Instants of the pictures in view, and their distance. Seconds. */
  readonly timesSec: readonly number[];
  readonly stepSec: number;
  readonly state: ThumbsState;
  /** Address of the picture under the pointer: of the key frame at first, then of the very frame. */
  readonly preview: string | null;
  /** Whether pictures of the whole film are made, and a way to say so. */
  readonly makesWhole: boolean;
  readonly setMakesWhole: (makes: boolean) => void;
};

/** The pictures of a strip: those in view first, then those of the whole film, and none while the film plays. */
export function useThumbs(
  film: Film,
  range: StripRange,
  widthPx: number,
  hoverSec: number | null,
  player: PlayerState,
): StripPictures {
  const [thumbs, setThumbs] = useState<Thumbs | null>(null);
  const [makesWhole, setMakesWhole] = useState(true);
  const { id, fingerprint, durationSec } = film;
  useEffect(() => {
    const made = createThumbs({ url: new URL(`/film/${id}`, location.href).href, fingerprint });
    setThumbs(made);
    setMakesWhole(true);
    return () => {
      made.dispose();
      setThumbs(null);
    };
  }, [id, fingerprint]);
  const state = useSyncExternalStore(thumbs?.subscribe ?? nothing, thumbs?.getState ?? noState);

  const timesSec = useMemo(() => pictureTimes(range, widthPx, pictureWidthPx), [range, widthPx]);
  const stepSec = timesSec.length > 1 ? timesSec[1]! - timesSec[0]! : Math.max(1, range.toSec - range.fromSec);
  const hoverAt = hoverSec === null ? null : pictureUnder(hoverSec, range, widthPx);
  useEffect(() => {
    if (widthPx > 0) thumbs?.want(hoverAt === null ? timesSec : [hoverAt, ...timesSec]);
  }, [thumbs, timesSec, hoverAt, widthPx]);
  useEffect(() => thumbs?.wantWhole(makesWhole ? wholeFilmTimes(durationSec) : []), [thumbs, makesWhole, durationSec]);

  const isPlaying = player.mode === "playing";
  useEffect(() => {
    thumbs?.look(null);
    if (hoverSec === null || isPlaying) return;
    const timer = setTimeout(() => thumbs?.look(hoverSec), dwellMs);
    return () => clearTimeout(timer);
  }, [thumbs, hoverSec, isPlaying]);

  const hasPicture = player.ready || player.error !== null;
  const frameBefore = useRef(player.frameIndex);
  useEffect(() => {
    const isStepping = frameBefore.current !== player.frameIndex;
    frameBefore.current = player.frameIndex;
    // Where the film is just opened its own picture comes first.
    const mustWait = isPlaying || !hasPicture;
    thumbs?.hold(mustWait ? "all" : isStepping ? "unseen" : "nothing");
    if (mustWait || !isStepping) return;
    const timer = setTimeout(() => thumbs?.hold("nothing"), steppingMs);
    return () => clearTimeout(timer);
  }, [thumbs, isPlaying, hasPicture, player.frameIndex]);

  const looked = state.looked?.timeSec === hoverSec ? state.looked.address : null;
  const preview = looked ?? (hoverAt === null ? null : (state.pictures.get(hoverAt) ?? null));
  return { timesSec, stepSec, state, preview, makesWhole, setMakesWhole };
}

const nothing = () => () => {};
const none: ThumbsState = { pictures: new Map(), looked: null, whole: { made: 0, of: 0 } };
const noState = () => none;
