import fc from "fast-check";
import { expect, test } from "vitest";
import { filmInks, inksOn, paperInks } from "#core/picture/inks";
import { type Painted, paintedShapes } from "#core/picture/painted";
import type { Ink, Shape } from "#core/picture/shape";
import { base64Of } from "#core/report/base64";
import type { ReportPicture } from "#core/report/document";
import { svgOf } from "#core/report/svg";
import { elements, readMarkup, textIn } from "../../helpers/markup.ts";

const box = { x: 0, y: 0, width: 100, height: 50 };
const surfaces = ["film", "paper"] as const;
const square = [
  [20, 10],
  [60, 10],
  [60, 40],
  [20, 40],
] as const;

const shapesOf = (ink: Ink): Shape[] => [
  { kind: "path", ink, points: square, closed: true },
  { kind: "path", ink, points: square, closed: false },
  { kind: "cross", ink, at: [50, 25] },
  { kind: "ring", ink, at: [50, 25] },
  { kind: "arrow", ink, from: [10, 10], to: [50, 25] },
  { kind: "label", ink, at: [50, 25], text: "LJ", place: "above" },
];

const isSeen = (painted: Painted) =>
  painted.kind === "letters" || painted.fill !== null || (painted.line !== null && painted.line.width > 0);

const pictureOf = (shapes: readonly Shape[], surface: "film" | "paper" = "film"): ReportPicture => ({
  surface,
  box,
  inkUnit: 0.2,
  shapes,
  stillKey: null,
});

test.each(surfaces)("every ink is painted on %s, whatever the shape that it is right for", (surface) => {
  const inks = Object.keys(inksOn[surface]) as Ink[];
  expect(inks).toHaveLength(37);
  expect(Object.keys(filmInks).toSorted()).toEqual(Object.keys(paperInks).toSorted());
  for (const ink of inks) {
    const isArea = inksOn[surface][ink].widthPx === 0;
    for (const shape of shapesOf(ink)) {
      // An ink of areas has no line: it is never a stroke.
      if (isArea && !(shape.kind === "path" && shape.closed) && shape.kind !== "label") continue;
      const painted = paintedShapes([shape], pictureOf([], surface));
      expect(painted.filter(isSeen).length, `${ink} ${shape.kind}`).toBeGreaterThan(0);
    }
  }
});

/** What is left of a picture when all its inks are one grey: where lines run, how they are broken, and how wide they are. */
const inGrey = (ink: Ink, surface: "film" | "paper", shape: (ink: Ink) => Shape) =>
  JSON.stringify(paintedShapes([shape(ink)], pictureOf([], surface)), (key, value: unknown) =>
    key === "paint" || (key === "fill" && value !== null) ? "grey" : value,
  );

const area = (ink: Ink): Shape => ({ kind: "path", ink, points: square, closed: true });
const line = (ink: Ink): Shape => ({ kind: "path", ink, points: square, closed: false });
const cross = (ink: Ink): Shape => ({ kind: "cross", ink, at: [50, 25] });

test.each(surfaces)("on %s nothing is told by colour alone", (surface) => {
  const alike: readonly (readonly [readonly Ink[], (ink: Ink) => Shape])[] = [
    [["target", "target-met", "target-missed", "target-unsure", "measured"], area],
    [["error-half", "error-one", "error-two", "error-over"], area],
    [["sight-seen", "sight-hidden", "sight-straight"], line],
    [["scrimmage", "line-to-gain", "field-edge", "field-line"], line],
    [["stake", "stake-off"], cross],
  ];
  for (const [inks, shape] of alike) {
    expect(new Set(inks.map((ink) => inGrey(ink, surface, shape))).size, inks.join()).toBe(inks.length);
  }
});

test("hatching stays inside its area, crosses all of it, and is drawn no further than the box", () => {
  const far: Shape = {
    kind: "path",
    ink: "error-over",
    points: [
      [-1e7, -1e7],
      [1e7, -1e7],
      [1e7, 1e7],
      [-1e7, 1e7],
    ],
    closed: true,
  };
  expect(paintedShapes([far], pictureOf([])).length).toBeLessThan(400);
  const lines = paintedShapes([area("target-missed")], pictureOf([])).flatMap((one) =>
    one.kind === "path" && !one.closed ? [one.points] : [],
  );
  expect(lines.length).toBeGreaterThan(10);
  for (const [x, y] of lines.flat()) {
    expect(x).toBeGreaterThanOrEqual(20 - 1e-9);
    expect(x).toBeLessThanOrEqual(60 + 1e-9);
    expect(y).toBeGreaterThanOrEqual(10 - 1e-9);
    expect(y).toBeLessThanOrEqual(40 + 1e-9);
  }
});

test("letters of whoever stands in the box are not cut off by its edge, and those of officials have a plate over film", () => {
  const label: Shape = { kind: "label", ink: "official", at: [99.5, 49.5], text: "LJ", place: "below" };
  const [plate, letters] = paintedShapes([label], pictureOf([]));
  if (plate?.kind !== "path" || letters?.kind !== "letters") throw new Error("no plate");
  expect(Math.max(...plate.points.map(([x]) => x))).toBeLessThanOrEqual(100);
  expect(Math.max(...plate.points.map(([, y]) => y))).toBeLessThanOrEqual(50);
  expect(plate.fill).not.toBeNull();
  expect(paintedShapes([label], pictureOf([], "paper")).map(({ kind }) => kind)).toEqual(["letters"]);
});

test("hostile text in labels, name and still stays text", () => {
  const hostile = `</text></svg><script>alert(1)</script>" onload='x' & ]]> \u0000 \uD800`;
  const shown = `</text></svg><script>alert(1)</script>" onload='x' & ]]> \uFFFD \uFFFD`;
  const label: Shape = { kind: "label", ink: "offence", at: [50, 25], text: hostile, place: "on" };
  const read = readMarkup(svgOf(pictureOf([label]), hostile, hostile));
  expect(new Set(elements(read).map(({ name }) => name))).toEqual(new Set(["svg", "title", "rect", "image", "text"]));
  expect(elements(read, "svg")[0]!.attributes["aria-label"]).toBe(shown);
  expect(textIn(elements(read, "title")[0]!)).toBe(shown);
  expect(elements(read, "image")[0]!.attributes["href"]).toBe(shown);
  expect(textIn(elements(read, "text")[0]!)).toBe(shown);
});

test("a picture with no still has none, and still says what it shows", () => {
  const read = readMarkup(svgOf(pictureOf(shapesOf("official"), "paper"), "The plan", null));
  expect(elements(read, "image")).toEqual([]);
  expect(elements(read, "svg")[0]!.attributes).toMatchObject({
    role: "img",
    "aria-label": "The plan",
    viewBox: "0 0 100 50",
  });
});

test("base64 is what everybody else writes", () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      expect(base64Of(bytes)).toBe(Buffer.from(bytes).toString("base64"));
    }),
  );
  const long = Uint8Array.from({ length: 200_001 }, (_, i) => (i * 37) & 255);
  expect(base64Of(long) === Buffer.from(long).toString("base64")).toBe(true);
});
