import type { ImagePoint } from "./units.ts";

/** A click on a known field point. `sigmaPx` is the standard deviation of the click on each axis. */
export type PointStake = {
  readonly kind: "point";
  readonly id: string;
  readonly landmarkId: string;
  readonly click: ImagePoint;
  readonly sigmaPx: number;
};

/** Clicks anywhere along a known field line; each holds the frame across the line only. */
export type LineStake = {
  readonly kind: "line";
  readonly id: string;
  readonly lineId: string;
  readonly clicks: readonly ImagePoint[];
  readonly sigmaPx: number;
};

export type Stake = PointStake | LineStake;
