import fc from "fast-check";
import { expect, it } from "vitest";
import { bookText } from "#core/mechanics/book-text";
import { shippedBooks, shippedFiles } from "#core/mechanics/shipped-books";

it("reads back as the book it was, for every shipped book and its file", () => {
  for (const book of [...shippedFiles, ...shippedBooks()]) expect(JSON.parse(bookText(book))).toEqual(book);
});

it("reads back whatever JSON can hold", () => {
  fc.assert(
    fc.property(fc.dictionary(fc.string(), fc.jsonValue({ noUnicodeString: false })), (value) => {
      expect(JSON.stringify(JSON.parse(bookText(value)))).toBe(JSON.stringify(JSON.parse(JSON.stringify(value))));
    }),
    { seed: 20_261_125, numRuns: 500 },
  );
});

it("puts a rule's fields on lines of their own, and short entries on one", () => {
  const text = bookText(shippedBooks()[0]!);
  expect(text).toMatch(/^ {4}\{ "id": "R", "name": "Referee", "side": "other-side" \},$/mu);
  expect(text).toMatch(/^ {6}"depth": \{ "anchor": "deepest-back", "yards": \{ "from": -7\.5, "to": -6\.5 \} \},$/mu);
});
