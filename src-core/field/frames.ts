import { type FieldPoint, fieldPoint } from "./units.ts";

/** Which way the offence goes, as seen from the press-box side of the field frame. */
export type FieldDirection = "right" | "left";

/** The play frame hangs on the ball at the snap and on the way the offence goes. */
export type PlayFrame = { readonly ball: FieldPoint; readonly direction: FieldDirection };

/** Yards; downfield positive toward B's goal line, lateral positive to the offence's left. */
export type PlayPoint = { readonly downfieldYards: number; readonly lateralYards: number };

/** +1 going right, -1 going left. A half-turn, never a mirror: both frames are right-handed, so left stays left. */
export function directionSign(direction: FieldDirection): 1 | -1 {
  return direction === "right" ? 1 : -1;
}

export function toPlay(frame: PlayFrame, point: FieldPoint): PlayPoint {
  const sign = directionSign(frame.direction);
  return {
    downfieldYards: sign * (point.xYards - frame.ball.xYards),
    lateralYards: sign * (point.yYards - frame.ball.yYards),
  };
}

export function fromPlay(frame: PlayFrame, point: PlayPoint): FieldPoint {
  const sign = directionSign(frame.direction);
  return fieldPoint(frame.ball.xYards + sign * point.downfieldYards, frame.ball.yYards + sign * point.lateralYards);
}
