import { directionSign } from "#core/field/frames";
import type { FieldLayout } from "#core/field/template";
import type { Phase, Situation } from "#core/game/records";
import type { MeasuredMark } from "#core/field/mark";

const downs = ["1st", "2nd", "3rd", "4th"] as const;

export const phaseNames: Record<Phase, string> = {
  "pre-snap": "Before the snap",
  keys: "Keys",
  zone: "Zone",
  "ball-away": "Ball away",
  catch: "Catch",
  "dead-ball": "Dead ball",
};

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

/** Where a mark stands, as a crew would say it: along from the line of scrimmage, and across from the nearer sideline. */
export function placeWords(
  layout: FieldLayout,
  situation: Situation,
  mark: MeasuredMark,
): { along: string; across: string } {
  const depth = directionSign(situation.direction) * (mark.position.xYards - situation.scrimmageXYards);
  const { yYards } = mark.position;
  const nearer =
    yYards <= layout.widthYards / 2 ? { name: "near", in: yYards } : { name: "far", in: layout.widthYards - yYards };
  return {
    along: `${Math.abs(depth).toFixed(1)} yd ${depth >= 0 ? "downfield" : "behind"}`,
    across:
      nearer.in >= 0
        ? `${nearer.in.toFixed(1)} yd in from ${nearer.name} side`
        : `${(-nearer.in).toFixed(1)} yd off ${nearer.name} side`,
  };
}

/** Half-lengths of the 95 % region along and across the field. */
export function errorWords(mark: MeasuredMark): string {
  const xs = mark.region.map((point) => point.xYards);
  const ys = mark.region.map((point) => point.yYards);
  const half = (values: number[]) => ((Math.max(...values) - Math.min(...values)) / 2).toFixed(1);
  return `±${half(xs)} × ±${half(ys)}`;
}

export function clock(timeSec: number): string {
  const minutes = Math.floor(timeSec / 60);
  const seconds = timeSec - minutes * 60;
  return `${minutes}:${seconds.toFixed(2).padStart(5, "0")}`;
}
