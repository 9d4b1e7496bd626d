import { rounded } from "./survey-notices.ts";

/** Where a camera stands, as far as words need it. */
export type CameraSpot = { readonly xYards: number; readonly yYards: number; readonly heightYards: number };

/** The field's own sizes, yards; goal lines at their x. A field's layout fits. */
export type FieldSizes = {
  readonly totalLengthYards: number;
  readonly widthYards: number;
  readonly leftGoalXYards: number;
  readonly rightGoalXYards: number;
};

/** The steps that a stated distance is rounded to, yards. */
const steps = [1, 5, 10, 20] as const;
const coarsest = 20;
/** Below this height the tenths of a yard count, when they are known: head height is 1.9 yd and a chair's 2.5. */
const lowYards = 5;
const wellKnownYards = 0.3;
/** What a place without a stated error is good for. */
const unstatedSdYards = 0.25;

/** The finest step that is half a standard deviation or more: "about" covers the rest. */
function stepFor(sdYards: number): number {
  return steps.find((step) => sdYards <= 2 * step) ?? coarsest;
}

function distance(yards: number, sdYards: number): number {
  const step = stepFor(sdYards);
  return Math.round(yards / step) * step;
}

/**
 * Where the camera stands, as a person would say it: "about 12 yd up, 25 yd behind the near sideline, at the right 35".
 *
 * `covariance` is that of (x, y, height), 3 × 3, row by row, square yards: no distance is stated finer than half its
 * standard deviation, and where one is past 20 yd the words say "roughly". Null when it is not known: to the yard.
 */
export function cameraWords(camera: CameraSpot, field: FieldSizes, covariance: readonly number[] | null): string {
  const sd = (k: number): number =>
    covariance === null ? unstatedSdYards : Math.sqrt(Math.max(0, covariance[k * 4]!));
  const [sdX, sdY, sdHeight] = [sd(0), sd(1), sd(2)];
  const up = height(camera.heightYards, sdHeight, Math.max(sdX, sdY, sdHeight) > coarsest ? "roughly" : "about");
  const beside = across(camera.yYards, sdY, field);
  const pastEnd = distance(Math.max(-camera.xYards, camera.xYards - field.totalLengthYards), sdX);
  const side = camera.xYards < field.totalLengthYards / 2 ? "left" : "right";
  const place =
    pastEnd > 0
      ? `${pastEnd} yd behind the ${side} end line, ${beside}`
      : `${beside}, ${along(camera.xYards, sdX, side, field)}`;
  return `${up} yd up, ${place}`;
}

function height(heightYards: number, sdYards: number, about: string): string {
  if (heightYards < lowYards && sdYards <= wellKnownYards) {
    return `${about} ${rounded(heightYards).replace(/\.0$/u, "")}`;
  }
  const up = distance(heightYards, sdYards);
  return up > 0 ? `${about} ${up}` : `less than ${stepFor(sdYards)}`;
}

function across(yYards: number, sdYards: number, { widthYards }: FieldSizes): string {
  const outside = Math.max(-yYards, yYards - widthYards);
  const side = yYards < widthYards / 2 ? "near" : "far";
  const off = distance(Math.abs(outside), sdYards);
  if (off === 0) return `on the ${side} sideline`;
  return outside > 0 ? `${off} yd behind the ${side} sideline` : `${off} yd in from the ${side} sideline`;
}

function along(xYards: number, sdYards: number, side: "left" | "right", field: FieldSizes): string {
  const { totalLengthYards, leftGoalXYards, rightGoalXYards } = field;
  const step = stepFor(sdYards);
  const at = step === 1 ? "at" : "near";
  if (Math.abs(xYards - totalLengthYards / 2) < step / 2) return `${at} midfield`;
  const fromGoal = distance(Math.min(xYards - leftGoalXYards, rightGoalXYards - xYards), sdYards);
  if (fromGoal > 0) return `${at} the ${side} ${fromGoal}`;
  if (fromGoal === 0) return `${at} the ${side} goal line`;
  return fromGoal > -leftGoalXYards ? `in line with the ${side} end zone` : `${at} the ${side} end line`;
}
