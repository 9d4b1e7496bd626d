import { changeBetween, cutGreyOf } from "./cuts.ts";
import { type GreyImage, shrink } from "./grey-image.ts";
import type { MotionSample } from "./motion-bursts.ts";
import { type CameraStep, motionGrey, noStep, pictureMotion } from "./picture-motion.ts";
import type { FilmSignals } from "./play-proposals.ts";

/** Reads a film frame by frame and keeps of each no more than three numbers, so that its length costs next to nothing. */
export type FilmScan = {
  /** The next frame in the order of showing, as its working picture, and its start in seconds. */
  readonly add: (picture: GreyImage, sec: number) => void;
  /** What was seen so far; `endSec` is the end of the last frame. */
  readonly signals: (endSec: number) => FilmSignals;
};

/** Frames nearer than this are not compared for motion: people have hardly moved. Seconds. */
const leastApartSec = 0.06;

export function createFilmScan(): FilmScan {
  const frameSec: number[] = [];
  const changeGrey: number[] = [];
  const motion: MotionSample[] = [];
  let lastSmall: GreyImage | null = null;
  let last: { readonly picture: GreyImage; readonly sec: number } | null = null;
  let step: CameraStep = noStep;
  return {
    add(picture, sec) {
      const small = cutGreyOf(picture);
      frameSec.push(sec);
      changeGrey.push(lastSmall === null ? 0 : changeBetween(lastSmall, small));
      lastSmall = small;
      if (last !== null && sec - last.sec < leastApartSec) return;
      const factor = Math.max(1, Math.round(picture.widthPx / motionGrey.widthPx));
      const { widthPx, heightPx, data } = picture;
      const now = shrink(data, widthPx, widthPx, heightPx, factor);
      // A film may change the size of its picture on the way.
      if (last !== null && last.picture.data.length === now.data.length) {
        const moved = pictureMotion(last.picture, now, step);
        step = moved.step;
        motion.push({ fromSec: last.sec, sec, grey: moved.motionGrey });
      }
      last = { picture: now, sec };
    },
    signals: (endSec) => ({ frameSec, changeGrey, motion, endSec }),
  };
}
