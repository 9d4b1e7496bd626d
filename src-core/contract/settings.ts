/** What a person has set up in a library: shape of the JSON that it lies in. */
import { z } from "zod";
import type { OwnScale, Scale } from "../grading/scales.ts";
import { scaleFault } from "../grading/scales.ts";
import type { EligibilityRules } from "../season/eligibility.ts";
import type { Conflict } from "../season/propose-crews.ts";
import type { SamePerson } from "../season/season-data.ts";
import type { MinimumEvidence } from "../season/standing.ts";
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

const personKey = z
  .string()
  .min(1)
  .max(200)
  .refine((value) => value.isWellFormed(), "not well-formed text");
const links = z
  .array(z.strictObject({ id: personKey, as: personKey }) satisfies z.ZodType<SamePerson>)
  .max(2000)
  .readonly();
const count = z.int().min(0).max(10_000);

/** How a season is totalled in this library, as the assigner set it up. */
export const seasonSettingsShape = z.strictObject({
  officials: links,
  observers: links,
  games: links,
  minimum: z.strictObject({ grades: count, games: count, observers: count }) satisfies z.ZodType<MinimumEvidence>,
  topK: z.int().min(1).max(200),
  rules: z.strictObject({
    leastGames: count.nullable(),
    leastObservers: count.nullable(),
    leastGrades: count.nullable(),
    worstValue: points.nullable(),
    bySureValue: z.boolean(),
    mostUnjudged: z.number().min(0).max(1).nullable(),
  }) satisfies z.ZodType<EligibilityRules>,
  conflicts: z
    .array(z.tuple([personKey, personKey]).readonly() satisfies z.ZodType<Conflict>)
    .max(2000)
    .readonly(),
  /** Where new packets are looked for while the season is open; empty: nowhere. */
  watchedFolder: text(4096),
  /** The invented season has been put away. */
  demoPutAway: z.boolean(),
});

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
  season: seasonSettingsShape,
});

export type Settings = z.infer<typeof settingsShape>;
