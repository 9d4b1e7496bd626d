import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bookFileShape, plainBookShape } from "#core/mechanics/book-shape";
import { bookJsonSchema } from "#core/mechanics/book-schema";
import { shippedBooks, shippedFiles } from "#core/mechanics/shipped-books";
import published from "../../../src-core/mechanics/book.schema.json" with { type: "json" };

/** Validated by ajv, a general validator of JSON Schema (draft 2020-12), which shares nothing with the shapes. */
const validate = new Ajv2020({ strict: false, allErrors: false }).compile(published);

describe("the published JSON Schema of a book", () => {
  it("is the one that the shapes give: `npm run book-schema` writes it anew", () => {
    expect(published).toEqual(JSON.parse(JSON.stringify(bookJsonSchema())));
  });

  it.each(shippedFiles.map((file) => [file.id, file] as const))("accepts the file of %s", (_, file) => {
    expect(validate(file), JSON.stringify(validate.errors)).toBe(true);
  });

  it("accepts every shipped book whole", () => {
    for (const book of shippedBooks()) expect(validate(book), JSON.stringify(validate.errors)).toBe(true);
  });

  it("refuses what is of another format, what is missing and what is more", () => {
    const [book] = shippedBooks();
    const { grading: _, ...without } = book!;
    for (const file of [null, [], {}, { ...book, formatVersion: 1 }, { ...book, colour: "green" }, without])
      expect(validate(file)).toBe(false);
  });

  it("accepts nothing that a field's own shape refuses, but for what only a comparison of two fields can tell", () => {
    const books = shippedBooks();
    const lists = ["stations", "keys", "zones", "counts"] as const;
    let refused = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...books),
        fc.constantFrom(...lists),
        fc.nat(),
        fc.nat(),
        fc.jsonValue(),
        (...drawn) => {
          const [book, list, which, field, value] = drawn;
          const rules = book[list];
          const rule = rules[which % rules.length]!;
          const name = Object.keys(rule)[field % Object.keys(rule).length]!;
          const file = { ...book, [list]: [{ ...rule, [name]: value }] };
          const shape = plainBookShape.safeParse(file);
          // A refinement compares fields, which the schema does not say: every other refusal is the schema's too.
          const compared = !shape.success && shape.error.issues.every(({ code }) => code === "custom");
          if (!compared) expect(validate(file)).toBe(shape.success);
          if (!shape.success) refused++;
        },
      ),
      { seed: 20_261_125, numRuns: 1000 },
    );
    expect(refused).toBeGreaterThan(500);
    expect(bookFileShape.safeParse(shippedFiles[0]).success).toBe(true);
  });
});
