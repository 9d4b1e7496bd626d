/** What a person has set up in a library: shape of the JSON that it lies in. */
import { z } from "zod";
import type { OwnScale, Scale } from "../grading/scales.ts";
import { scaleFault } from "../grading/scales.ts";
import { idShape, named, text } from "./shapes.ts";

const points = z.number().min(-1000).max(1000);

export const scaleShape = z
  .strictObject({
    id: idShape,
    name: named(80),
    least: points,
    most: points,
    step: z.number().positive().max(1000),
    best: z.enum(["most", "least"]),
    words: z
      .array(z.strictObject({ points, says: text(120) }))
      .max(201)
      .readonly(),
    reasonAt: z.array(points).max(201).readonly(),
  })
  .superRefine((scale, context) => {
    const fault = scaleFault(scale);
    if (fault !== null) context.addIssue({ code: "custom", message: fault });
  }) satisfies z.ZodType<Scale>;

export const settingsShape = z.strictObject({
  /** The observer's name as pages carry it, where they carry one. */
  observerName: text(80),
  /** The position of whoever reviews their own film here; null for an observer. */
  ownPosition: z
    .string()
    .regex(/^[A-Z]{1,3}$/u)
    .nullable(),
  fouls: z.array(named(120)).max(200).readonly(),
  scales: z
    .array(z.strictObject({ scale: scaleShape, retired: z.boolean() }) satisfies z.ZodType<OwnScale>)
    .max(50)
    .readonly(),
});

export type Settings = z.infer<typeof settingsShape>;
