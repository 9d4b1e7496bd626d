import fc from "fast-check";
import PDFDocument from "pdfkit";
import { expect, test } from "vitest";
import { type Style, typesetter } from "../../../src-main/reports/pdf-text.ts";
import { readReportFonts } from "../../../src-main/reports/report-fonts.ts";
import { projectRoot } from "../../helpers/launch.ts";

const type = typesetter(new PDFDocument({ font: "" }), readReportFonts(projectRoot));
const style: Style = { face: "sans", sizePt: 10, leadingPt: 14, colour: "#000000" };

test("lines hold every word in turn, keep the space between two of them, and are no wider than the room", () => {
  const word = fc.string({
    unit: fc.constantFrom("a", "W", "é", "Щ", "ῆ", "—", "5", "q\u0323"),
    minLength: 1,
    maxLength: 30,
  });
  fc.assert(
    fc.property(fc.array(word, { minLength: 1, maxLength: 40 }), fc.integer({ min: 40, max: 400 }), (words, roomPt) => {
      const { lines } = type.set(words.join("  "), style, roomPt);
      expect(lines.join("")).toBe(words.join(" ").normalize("NFC"));
      for (const line of lines) expect(type.width(line.trimEnd(), style)).toBeLessThanOrEqual(roomPt + 0.01);
    }),
    { numRuns: 200, seed: 7 },
  );
});

test("a line ends as late as it can", () => {
  const { lines } = type.set("one two three four five six seven eight nine ten", style, 120);
  expect(lines.length).toBeGreaterThan(1);
  for (const [i, line] of lines.slice(0, -1).entries()) {
    const [next] = lines[i + 1]!.split(" ");
    expect(type.width(`${line}${next}`, style)).toBeGreaterThan(120);
  }
});

test("a heading whose face has not all of its letters is set in one that has", () => {
  const heading: Style = { ...style, face: "serif" };
  expect(type.set("Depth", heading, 200).style.face).toBe("serif");
  expect(type.set("Depth ☐", heading, 200)).toMatchObject({ lines: ["Depth ☐"], style: { face: "bold" } });
  expect(type.set("", heading, 200).lines).toEqual([]);
});
