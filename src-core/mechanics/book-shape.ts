import { z } from "zod";
import { phases } from "../game/records.ts";
import { type Book, depthAnchors, widthAnchors } from "./book.ts";

/** Kept to the letter: a book that is read and written again is the same book. */
const ruleText = z.string().max(400).regex(/\S/u, "empty");
const position = z.string().regex(/^[A-Z]{1,3}$/u);
const stationId = z.string().regex(/^ST-[A-Z]{1,3}-[A-Z0-9-]{1,24}$/u);
const yards = z.number().min(-120).max(120);

const yardRange = z
  .strictObject({ from: yards, to: yards })
  .refine((range) => range.from <= range.to, { message: "the range ends before it begins" });

const source = z.strictObject({
  kind: z.enum(["common-practice", "manual", "house"]),
  citation: z.string().max(300).nullable(),
});

const when = z.strictObject({
  downs: z
    .array(z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]))
    .min(1, "a list of no downs matches nothing")
    .nullable(),
  lineToGainYards: yardRange
    .refine((range) => range.to > 0 && range.from < range.to, { message: "no distance lies in this range" })
    .nullable(),
  receiverNearSidelineYards: z.number().positive("no receiver can be that near").max(60).nullable(),
});

const station = z.strictObject({
  id: stationId,
  position,
  phase: z.enum(phases),
  sentence: ruleText,
  source,
  when,
  depth: z.strictObject({ anchor: z.enum(depthAnchors), yards: yardRange }),
  width: z.strictObject({ anchor: z.enum(widthAnchors), yards: yardRange }),
  toleranceYards: z.number().min(0).max(20),
});

const facing = z.strictObject({
  id: stationId,
  position,
  phase: z.enum(phases),
  sentence: ruleText,
  source,
  toward: z.enum(["snapper", "passer", "ball"]),
  withinDegrees: z.number().min(1).max(180),
});

const book = z.strictObject({
  format: z.literal("crewglass-book"),
  formatVersion: z.literal(1),
  id: z.string().regex(/^[a-z0-9-]{1,64}$/u),
  name: ruleText,
  edition: z.string().max(60).regex(/\S/u, "empty"),
  caution: ruleText,
  positions: z
    .array(z.strictObject({ id: position, name: ruleText, side: z.enum(["line-judge-side", "other-side", "middle"]) }))
    .min(1)
    .max(12),
  grading: z
    .strictObject({
      graceYards: z.number().positive().max(30),
      metFrom: z.number().min(0.5).max(1),
      missedTo: z.number().min(0).max(0.5),
    })
    .refine((grading) => grading.missedTo < grading.metFrom, { message: "missedTo must lie below metFrom" }),
  stations: z.array(station).min(1).max(400),
  facings: z.array(facing).max(400),
});

/** A book as it lies in a file: every field checked, and the rules against each other. */
export const bookShape = book.superRefine((value, context) => {
  const positions = new Set<string>();
  for (const [index, entry] of value.positions.entries()) {
    if (positions.has(entry.id))
      context.addIssue({ code: "custom", path: ["positions", index, "id"], message: `${entry.id} is listed twice` });
    positions.add(entry.id);
  }
  const ids = new Set<string>();
  for (const list of ["stations", "facings"] as const) {
    for (const [index, rule] of value[list].entries()) {
      if (ids.has(rule.id))
        context.addIssue({ code: "custom", path: [list, index, "id"], message: `the id ${rule.id} is used twice` });
      ids.add(rule.id);
      if (!positions.has(rule.position)) {
        context.addIssue({
          code: "custom",
          path: [list, index, "position"],
          message: `${rule.position} is not a position of this book`,
        });
      }
    }
  }
  for (const [index, rule] of value.stations.entries()) {
    const shadow = value.stations
      .slice(0, index)
      .find(
        (earlier) => earlier.position === rule.position && earlier.phase === rule.phase && alwaysHolds(earlier.when),
      );
    if (shadow) {
      context.addIssue({
        code: "custom",
        path: ["stations", index, "when"],
        message: `never reached: ${shadow.id} before it applies in every situation`,
      });
    }
    const side = value.positions.find((entry) => entry.id === rule.position)?.side;
    if (
      side === "middle" &&
      (rule.width.anchor === "own-sideline" || rule.width.anchor === "own-hash" || rule.width.anchor === "other-hash")
    ) {
      context.addIssue({
        code: "custom",
        path: ["stations", index, "width", "anchor"],
        message: `${rule.position} works the middle and has no ${rule.width.anchor}`,
      });
    }
  }
}) satisfies z.ZodType<Book>;

function alwaysHolds(condition: Book["stations"][number]["when"]): boolean {
  return Object.values(condition).every((part) => part === null);
}

export type BookFault = { readonly path: string; readonly message: string };

/** Reads a book from parsed JSON. The first fault is named with its path, as a person would look for it in the file. */
export function parseBook(json: unknown): { ok: true; book: Book } | { ok: false; fault: BookFault } {
  const result = bookShape.safeParse(json);
  if (result.success) return { ok: true, book: result.data };
  const issue = result.error.issues[0];
  const path = (issue?.path ?? [])
    .map((part) => (typeof part === "number" ? `[${part}]` : `.${String(part)}`))
    .join("");
  return {
    ok: false,
    fault: { path: path.replace(/^\./u, "") || "(the whole file)", message: issue?.message ?? "not a book" },
  };
}
