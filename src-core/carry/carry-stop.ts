import { assertNever } from "../field/units.ts";

/**
 * Why a survey was carried no further.
 * - "scene-cut": another scene begins. "end-of-play": the last frame asked for was reached.
 * - "little-in-common": the camera looks elsewhere than on the anchor's frame.
 * - "no-fit": the picture cannot be laid over the ones before it.
 */
export type CarryStopReason = "scene-cut" | "little-in-common" | "no-fit" | "end-of-play";

export type CarryStop = {
  readonly reason: CarryStopReason;
  /** The last frame carried; the anchor's own when there was none. */
  readonly lastFrameIndex: number;
  /** For a person. */
  readonly message: string;
};

export function carryStop(reason: CarryStopReason, lastFrameIndex: number): CarryStop {
  return { reason, lastFrameIndex, message: sentenceOf(reason) };
}

function sentenceOf(reason: CarryStopReason): string {
  switch (reason) {
    case "scene-cut":
      return "The survey is carried no further: the film cuts to another scene here. Survey a frame of that scene.";
    case "little-in-common":
      return (
        "The survey is carried no further: the camera has turned too far away from the surveyed frame. " +
        "Survey a frame beyond this one."
      );
    case "no-fit":
      return (
        "The survey is carried no further: the picture changes too much here to be followed (blur, something before " +
        "the lens, or a jump in the film). Survey a frame beyond this one."
      );
    case "end-of-play":
      return "The survey is carried to the end of the play.";
    default:
      return assertNever(reason);
  }
}
