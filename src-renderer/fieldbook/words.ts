import { directionSign } from "#core/field/frames";
import type { MeasuredMark } from "#core/field/mark";
import type { FieldLayout } from "#core/field/template";
import type { Situation } from "#core/game/records";

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
