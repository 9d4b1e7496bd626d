import { type ErrorClass, type ErrorMap, errorMapOf } from "../field/error-map.ts";
import { imageOf } from "../field/seen-through.ts";
import type { Survey } from "../field/survey.ts";
import type { FieldLayout } from "../field/template.ts";
import { planPoint } from "./plan-picture.ts";
import type { Ink, Shape } from "./shape.ts";

/** The expected error of a mark, shaded over the frame and on the plan. */

export const errorInks: Record<ErrorClass, Ink> = {
  "under-half-yard": "error-half",
  "under-one-yard": "error-one",
  "under-two-yards": "error-two",
  "over-two-yards": "error-over",
};

export type ErrorShade = {
  readonly frame: readonly Shape[];
  readonly plan: readonly Shape[];
  /** Share of the visible field, by its area on the ground, in each class. */
  readonly shares: Record<ErrorClass, number>;
};

export function errorShade(layout: FieldLayout, survey: Survey): ErrorShade {
  const map = errorMapOf(survey);
  return {
    frame: map.strips.flatMap((strip): Shape[] => {
      const points = strip.outline.map((corner) => imageOf(survey, corner));
      if (!points.every((point) => point !== null)) return [];
      const path = points.map(({ uPx, vPx }) => [uPx, vPx] as const);
      return [{ kind: "path", ink: errorInks[strip.class], points: path, closed: true }];
    }),
    plan: map.strips.map((strip) => ({
      kind: "path",
      ink: errorInks[strip.class],
      points: strip.outline.map((corner) => planPoint(layout, corner)),
      closed: true,
    })),
    shares: sharesOf(map),
  };
}

function sharesOf({ strips }: ErrorMap): Record<ErrorClass, number> {
  const areas = { "under-half-yard": 0, "under-one-yard": 0, "under-two-yards": 0, "over-two-yards": 0 };
  let whole = 0;
  for (const { class: of, outline } of strips) {
    let twice = 0;
    outline.forEach((corner, i) => {
      const next = outline[(i + 1) % outline.length]!;
      twice += corner.xYards * next.yYards - next.xYards * corner.yYards;
    });
    areas[of] += Math.abs(twice) / 2;
    whole += Math.abs(twice) / 2;
  }
  if (whole > 0) for (const of of Object.keys(areas) as ErrorClass[]) areas[of] /= whole;
  return areas;
}
