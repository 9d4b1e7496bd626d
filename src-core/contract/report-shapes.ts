/** Shapes of reports as they cross the contract to be written. */
import { z } from "zod";
import { inks, type Shape } from "../picture/shape.ts";
import type { Block, Figure, ReportDocument } from "../report/document.ts";
import { text } from "./shapes.ts";

const finite = z.number().min(-1e6).max(1e6);
const point = z.tuple([finite, finite]).readonly();
const ink = z.enum(inks);
const words = text(20_000);

const pictureShape = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("path"), ink, points: z.array(point).max(5000).readonly(), closed: z.boolean() }),
  z.strictObject({ kind: z.literal("cross"), ink, at: point }),
  z.strictObject({ kind: z.literal("ring"), ink, at: point }),
  z.strictObject({ kind: z.literal("arrow"), ink, from: point, to: point }),
  z.strictObject({
    kind: z.literal("label"),
    ink,
    at: point,
    text: text(200),
    place: z.enum(["above", "below", "on"]),
    turned: z.boolean().exactOptional(),
  }),
]) satisfies z.ZodType<Shape>;

/** Smaller than any picture: one drawn through less would have places that no PDF can hold. */
const extent = finite.min(1e-3);
const boxShape = z.strictObject({ x: finite, y: finite, width: extent, height: extent });
export const assetKeyShape = z.string().regex(/^[\w.-]{1,160}$/u);

const figureShape = z.strictObject({
  picture: z.strictObject({
    surface: z.enum(["film", "paper"]),
    box: boxShape,
    inkUnit: finite.min(1e-6),
    shapes: z.array(pictureShape).max(20_000).readonly(),
    stillKey: assetKeyShape.nullable(),
  }),
  alt: words,
  caption: words,
}) satisfies z.ZodType<Figure>;

const figures = z.array(figureShape).max(50).readonly();
const facts = z
  .array(z.strictObject({ name: words, value: words }))
  .max(200)
  .readonly();

const blockShape = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("heading"), level: z.union([z.literal(2), z.literal(3)]), text: words }),
  z.strictObject({ kind: z.literal("text"), text: words, tone: z.enum(["plain", "soft", "caution"]) }),
  z.strictObject({ kind: z.literal("facts"), facts }),
  z.strictObject({
    kind: z.literal("table"),
    caption: words,
    columns: z
      .array(z.strictObject({ name: words, align: z.enum(["start", "end"]) }))
      .max(60)
      .readonly(),
    rows: z.array(z.array(words).max(60).readonly()).max(20_000).readonly(),
  }),
  z.strictObject({ kind: z.literal("figures"), figures }),
  z.strictObject({
    kind: z.literal("card"),
    heading: words,
    verdict: z.enum(["met", "missed", "cannot tell"]).nullable(),
    sentences: z.array(words).max(50).readonly(),
    figures,
    facts,
  }),
  z.strictObject({
    kind: z.literal("steps"),
    name: words,
    steps: z
      .array(z.strictObject({ label: words, figure: figureShape }))
      .max(200)
      .readonly(),
  }),
  z.strictObject({ kind: z.literal("animation"), key: assetKeyShape, alt: words, caption: words }),
]) satisfies z.ZodType<Block>;

export const reportDocumentShape = z.strictObject({
  title: words,
  lines: z.array(words).max(20).readonly(),
  footer: words,
  blocks: z.array(blockShape).max(5000).readonly(),
}) satisfies z.ZodType<ReportDocument>;
