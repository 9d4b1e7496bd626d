import { rounded } from "./survey-notices.ts";

/** Where a camera stands, as far as words need it. */
export type CameraSpot = { readonly xYards: number; readonly yYards: number; readonly heightYards: number };

/** The field's own sizes, yards; goal lines at their x. A survey's layout fits. */
export type FieldSizes = {
  readonly totalLengthYards: number;
  readonly widthYards: number;
  readonly leftGoalXYards: number;
  readonly rightGoalXYards: number;
};

/** What a person can pace or take in at a glance: the steps that a stated distance is rounded to. */
const steps = [1, 5, 10, 20];
/** Below this height the tenths of a yard count, when they are known: head height is 1.9 yd and a chair 2.5. */
const lowYards = 5;
const wellKnownYards = 0.3;

/** The step that is no finer than one standard deviation. */
function stepFor(sdYards: number): number {
  return steps.find((step) => sdYards <= step) ?? steps.at(-1)!;
}

function distance(yards: number, sdYards: number): string {
  const step = stepFor(sdYards);
  return String(Math.round(yards / step) * step);
}

/**
 * Where the camera stands, as a person would say it: "about 12 yd up, 25 yd behind the near sideline, at the right 35".
 *
 * `covariance` is that of (x, y, height), 3 × 3, row by row, square yards. With it no distance is stated finer than its
 * standard deviation; past 20 yd of it the words say that the place is only guessed. Null: to the yard.
 */
export function cameraWords(camera: CameraSpot, field: FieldSizes, covariance: readonly number[] | null): string {
  const sd = (k: number): number => (covariance === null ? 0.5 : Math.sqrt(Math.max(0, covariance[k * 4]!)));
  const [sdX, sdY, sdHeight] = [sd(0), sd(1), sd(2)];
  const fine = covariance !== null && sdHeight <= wellKnownYards && camera.heightYards < lowYards;
  const coarse = covariance === null && camera.heightYards < lowYards;
  const up = fine || coarse ? rounded(camera.heightYards) : distance(camera.heightYards, sdHeight);
  const guessed = Math.max(sdX, sdY, sdHeight) > steps.at(-1)! ? "roughly " : "about ";
  return `${guessed}${up} yd up, ${across(camera.yYards, sdY, field)}, ${alongField(camera.xYards, sdX, field)}`;
}

function across(yYards: number, sdYards: number, { widthYards }: FieldSizes): string {
  const outside = Math.max(-yYards, yYards - widthYards);
  const side = yYards < widthYards / 2 ? "near" : "far";
  const off = distance(Math.abs(outside), sdYards);
  if (off === "0") return `on the ${side} sideline`;
  return outside > 0 ? `${off} yd behind the ${side} sideline` : `${off} yd inside the ${side} sideline`;
}

function alongField(xYards: number, sdYards: number, field: FieldSizes): string {
  const { totalLengthYards, leftGoalXYards, rightGoalXYards } = field;
  const middle = totalLengthYards / 2;
  const side = xYards < middle ? "left" : "right";
  const pastEnd = Math.max(-xYards, xYards - totalLengthYards);
  const step = stepFor(sdYards);
  if (pastEnd > 0 && distance(pastEnd, sdYards) !== "0") {
    return `${distance(pastEnd, sdYards)} yd behind the ${side} end line`;
  }
  const fromGoal = Math.min(xYards - leftGoalXYards, rightGoalXYards - xYards);
  const near = step > 1 ? "near" : "at";
  if (fromGoal < -step / 2) {
    const endZoneYards = leftGoalXYards;
    return fromGoal < -endZoneYards + step / 2 ? `${near} the ${side} end line` : `in line with the ${side} end zone`;
  }
  const number = Math.round(fromGoal / step) * step;
  if (Math.abs(xYards - middle) < step / 2) return `${near} midfield`;
  return number <= 0 ? `${near} the ${side} goal line` : `${near} the ${side} ${number}`;
}
