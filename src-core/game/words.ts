import { directionSign } from "../field/frames.ts";
import type { FieldLayout } from "../field/template.ts";
import type { Phase, PlayEnd, PlayKind, Situation } from "./records.ts";

/** How a crew says a situation, a spot, a phase and a time. */

const downs = ["1st", "2nd", "3rd", "4th"] as const;

export const phaseNames: Record<Phase, string> = {
  "pre-snap": "Before the snap",
  keys: "Keys",
  zone: "Zone",
  "ball-away": "Ball away",
  catch: "Catch",
  "dead-ball": "Dead ball",
};

export const playKindNames: Record<PlayKind, string> = {
  pass: "pass",
  run: "run",
  punt: "punt",
  "free-kick": "free kick",
  "field-goal": "field goal",
  try: "try",
};

export const playEndNames: Record<PlayEnd, string> = {
  spot: "dead at a spot",
  incomplete: "incomplete",
  score: "score",
  turnover: "turnover",
  "no-play": "no play",
};

export const downNames = ["First", "Second", "Third", "Fourth"] as const;

/** "4 yards", "1 yard", "2.5 yards" */
export function yardsWord(yards: number): string {
  const shown = Math.round(yards * 10) / 10 || 0;
  return `${shown} ${shown === 1 ? "yard" : "yards"}`;
}

/** "Second and 4", as a crew says it. */
export function saidSituation(situation: Situation): string {
  const down = situation.down === null ? "No down" : downNames[situation.down - 1];
  const toGo = yardsToGo(situation);
  return toGo === null ? `${down}` : `${down} and ${Math.round(toGo * 10) / 10 || 0}`;
}

/** "3rd & 5" */
export function downAndDistance(situation: Situation): string {
  const down = situation.down === null ? "No down" : downs[situation.down - 1];
  const toGo = yardsToGo(situation);
  return toGo === null ? `${down}` : `${down} & ${Math.round(toGo * 10) / 10}`;
}

export function yardsToGo(situation: Situation): number | null {
  if (situation.lineToGainXYards === null) return null;
  return directionSign(situation.direction) * (situation.lineToGainXYards - situation.scrimmageXYards);
}

/** "left 24", "midfield" */
export function spotName(layout: FieldLayout, xYards: number): string {
  const fromLeft = xYards - layout.leftGoalXYards;
  const fromRight = layout.rightGoalXYards - xYards;
  if (Math.abs(fromLeft - fromRight) < 0.05) return "midfield";
  const number = Math.round(Math.min(fromLeft, fromRight) * 10) / 10;
  return `${fromLeft < fromRight ? "left" : "right"} ${number}`;
}

/** "1:04.27" */
export function clock(timeSec: number): string {
  const minutes = Math.floor(timeSec / 60);
  const seconds = timeSec - minutes * 60;
  return `${minutes}:${seconds.toFixed(2).padStart(5, "0")}`;
}

/** "1 ruling is kept", "3 rulings are kept". */
export const counted = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;
