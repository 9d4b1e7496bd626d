import { z } from "zod";
import { phases } from "../game/records.ts";
import { type Criterion, criteria } from "../game/records.ts";
import { type Book, depthAnchors, widthAnchors, widthSides, workingSides } from "./book.ts";
import { bookFaults, type BookFault, pathText } from "./book-faults.ts";
import { handoffReasons, keySubjects, zoneHoldings } from "./watch-rules.ts";

/** Kept to the letter: a book that is read and written again is the same book. */
const ruleText = z.string().max(400).regex(/\S/u, "empty");
const position = z.string().regex(/^[A-Z]{1,3}$/u, "a position is one to three capital letters");
const idAfter = (prefix: string) =>
  z
    .string()
    .regex(
      new RegExp(`^${prefix}-[A-Z0-9]{1,12}(-[A-Z0-9]{1,12}){0,3}$`, "u"),
      `an id here is ${prefix}- and words of capitals and digits`,
    );
const yards = z.number().min(-120).max(120);
const seconds = z.number().min(0).max(20);
const degrees = z.number().min(0).max(180);
const share = z.number().min(0).max(1);
const weight = z.number().min(0).max(10);

const yardRange = z
  .strictObject({ from: yards, to: yards })
  .refine((range) => range.from <= range.to, { message: "the range ends before it begins" })
  .meta({ id: "range", description: "From the lesser to the greater, yards or as the field says." });

const source = z
  .strictObject({
    kind: z.enum(["common-practice", "manual", "house"]),
    citation: z.string().max(300).nullable(),
  })
  .meta({ id: "source", description: "Where a rule comes from." });

const when = z
  .strictObject({
    downs: z
      .array(z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]))
      .min(1, "a list of no downs matches nothing")
      .max(4)
      .nullable()
      .exactOptional(),
    lineToGainYards: yardRange
      .refine((range) => range.to > 0 && range.from < range.to, { message: "no distance lies in this range" })
      .nullable()
      .exactOptional(),
    receiverNearSidelineYards: z.number().positive("no receiver can be that near").max(60).nullable().exactOptional(),
    goalLineYards: yardRange
      .refine((range) => range.to > 0, { message: "no snap is beyond the goal line" })
      .nullable()
      .exactOptional(),
    ownGoalLineYards: yardRange
      .refine((range) => range.to > 0, { message: "no snap is behind the goal line" })
      .nullable()
      .exactOptional(),
    receiversOwnSide: yardRange
      .refine((range) => Math.ceil(Math.max(range.from, 0)) <= Math.floor(range.to), {
        message: "no number of receivers lies in this range",
      })
      .nullable()
      .exactOptional(),
  })
  .meta({ id: "when", description: "What must be so for the rule to apply; what is null or left out always holds." });

const depth = z
  .strictObject({
    anchor: z.enum(depthAnchors),
    yards: yardRange,
    atLeast: z
      .strictObject({ anchor: z.enum(depthAnchors), yards: yardRange })
      .nullable()
      .exactOptional(),
    atMost: z
      .strictObject({ anchor: z.enum(depthAnchors), yards })
      .nullable()
      .exactOptional(),
  })
  .meta({ id: "depth", description: "Along the field, counted from an anchor; positive is downfield." });
const width = z
  .strictObject({
    anchor: z.enum(widthAnchors),
    yards: yardRange,
    side: z.enum(widthSides).exactOptional(),
  })
  .meta({
    id: "width",
    description: "Across the field, counted from an anchor; positive is outward, toward the rule’s side.",
  });

const ruled = { sentence: ruleText, source };
const posted = { position, ...ruled };

const station = z
  .strictObject({
    id: idAfter("ST"),
    ...posted,
    phase: z.enum(phases),
    when,
    depth,
    width,
    toleranceYards: z.number().min(0).max(20),
  })
  .meta({ id: "station", description: "Where a position stands at a phase." });

const facing = z
  .strictObject({
    id: idAfter("ST"),
    ...posted,
    phase: z.enum(phases),
    toward: z.enum(["snapper", "passer", "ball", "downfield"]),
    withinDegrees: z.number().min(1).max(180),
  })
  .meta({ id: "facing", description: "Toward whom a body is turned." });

const key = z
  .strictObject({
    id: idAfter("KEY"),
    ...posted,
    order: z.int().min(1).max(12),
    on: z.enum(keySubjects),
    when,
    forSec: seconds.positive("a key of no time is none"),
  })
  .meta({ id: "key", description: "Whom a position watches from the snap, in order." });

const zone = z
  .strictObject({
    id: idAfter("ZN"),
    ...posted,
    phases: z.array(z.enum(phases)).min(1, "a list of no phases matches nothing").max(phases.length),
    when,
    depth: depth.nullable(),
    width: width.nullable(),
    rest: z.boolean(),
    holds: z.enum(zoneHoldings).exactOptional(),
    reachesOut: z.boolean().exactOptional(),
  })
  .meta({ id: "zone", description: "The part of the field that a position has." });

const handoff = z
  .strictObject({ id: idAfter("HO"), ...ruled, reason: z.enum(handoffReasons), gapSec: seconds })
  .meta({ id: "handoff", description: "How a matter is passed on." });

const look = z
  .strictObject({
    id: idAfter("LK"),
    ...ruled,
    pairWithinYards: z.number().positive().max(20),
    bodyRadiusYards: z.number().positive().max(1),
    angleDegrees: z
      .strictObject({ none: degrees.max(90), full: degrees.max(90) })
      .refine((limits) => limits.none < limits.full, { message: "none must lie below full" }),
    rangeYards: z
      .strictObject({ none: yards.min(0), from: yards.min(0), to: yards.min(0), lost: yards.min(0) })
      .refine((band) => band.none <= band.from && band.from <= band.to && band.to <= band.lost, {
        message: "the distances must ascend: none, from, to, lost",
      })
      .refine((band) => band.none < band.lost, { message: "no distance lies in this band" }),
    attentionDegrees: z
      .strictObject({ full: degrees, none: degrees })
      .refine((field) => field.full < field.none, { message: "full must lie below none" }),
    seenFrom: share.positive("a quality of nothing is not seeing"),
    stepYards: z.number().min(0).max(30),
    weights: z
      .strictObject({
        contactYards: z.number().min(0).max(20),
        contact: weight,
        apart: weight,
        alone: weight,
        decisive: weight,
        decisiveYards: z.number().min(0).max(60),
      })
      .refine((weights) => weights.apart <= weights.contact, { message: "apart may not weigh more than contact" })
      .exactOptional(),
  })
  .meta({ id: "look", description: "What it takes to see two opponents who are close together." });

const count = z
  .strictObject({ id: idAfter("CT"), ...posted, counts: z.enum(["A", "B"]) })
  .meta({ id: "count", description: "Which team a position counts." });

const duty = z
  .strictObject({ id: idAfter("DT"), ...posted, phase: z.enum(phases).nullable() })
  .meta({ id: "duty", description: "What a book asks that no picture shows." });

const bookId = z.string().regex(/^[a-z0-9-]{1,64}$/u, "an id is small letters, digits and dashes");

const grading = z
  .strictObject({
    graceYards: z.number().positive().max(30),
    metFrom: z.number().min(0.5).max(1),
    missedTo: z.number().min(0).max(0.5),
    weights: z.strictObject(
      Object.fromEntries(criteria.map((one) => [one, weight])) as Record<Criterion, typeof weight>,
    ),
  })
  .refine((value) => value.missedTo < value.metFrom, { message: "missedTo must lie below metFrom" })
  .refine((value) => Object.values(value.weights).some((one) => one > 0), {
    message: "something must weigh",
    path: ["weights"],
  });

const positions = z
  .array(
    z.strictObject({
      id: position,
      name: ruleText,
      side: z.enum(workingSides),
      secondHalfSide: z.enum(workingSides).exactOptional(),
    }),
  )
  .min(1)
  .max(12);

const lists = {
  stations: z.array(station).max(400),
  facings: z.array(facing).max(400),
  keys: z.array(key).max(400),
  zones: z.array(zone).max(400),
  handoffs: z.array(handoff).max(40),
  looks: z.array(look).max(40),
  counts: z.array(count).max(40),
  duties: z.array(duty).max(400),
};

const head = {
  format: z.literal("crewglass-book"),
  formatVersion: z.literal(2, "this program reads books of format version 2"),
  id: bookId,
  name: ruleText,
  edition: z.string().max(60).regex(/\S/u, "empty"),
  caution: ruleText,
};

/** A whole book, every field by itself; what rules say of each other is in book-faults.ts. */
export const plainBookShape = z.strictObject({ ...head, positions, grading, ...lists }) satisfies z.ZodType<Book>;

/**
 * A book that extends another: what it says replaces what has the same id in the base, and comes before it otherwise.
 * `without` takes rules of the base out.
 */
export const extensionShape = z.strictObject({
  ...head,
  extends: bookId,
  without: z.array(z.string().max(60)).max(400).exactOptional(),
  positions: positions.exactOptional(),
  grading: grading.exactOptional(),
  ...(Object.fromEntries(Object.entries(lists).map(([name, list]) => [name, list.exactOptional()])) as {
    [K in keyof typeof lists]: z.ZodExactOptional<(typeof lists)[K]>;
  }),
});
export type BookExtension = z.infer<typeof extensionShape>;

/** What a file of a book may hold. */
export const bookFileShape = z.union([plainBookShape, extensionShape]);

/** A whole book: every field checked, and the rules against each other. */
export const bookShape = plainBookShape.superRefine((value, context) => {
  for (const { path, message } of bookFaults(value)) context.addIssue({ code: "custom", path: [...path], message });
}) satisfies z.ZodType<Book>;

/** The first fault that a shape finds, with its path. */
export function faultOf(error: z.ZodError): BookFault {
  const issue = error.issues[0];
  return { path: pathText(issue?.path ?? []), message: issue?.message ?? "not a book" };
}

export type ParsedBook = { readonly ok: true; readonly book: Book } | { readonly ok: false; readonly fault: BookFault };

/** Reads a whole book from parsed JSON. The first fault is named with its path, as one would look for it in the file. */
export function parseBook(json: unknown): ParsedBook {
  const result = bookShape.safeParse(json);
  return result.success ? { ok: true, book: result.data } : { ok: false, fault: faultOf(result.error) };
}
