import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { type Book, ruleLists } from "#core/mechanics/book";
import { shippedBooks } from "#core/mechanics/shipped-books";

const tests = fileURLToPath(new URL("../..", import.meta.url));
const sources = readdirSync(tests, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && /\.test\.tsx?$/u.test(entry.name) && entry.name !== "rule-ids.test.ts")
  .map((entry) => readFileSync(join(entry.parentPath, entry.name), "utf8"))
  .join("\n");

const named = new Set(sources.match(/\b(?:ST|KEY|ZN|HO|LK|CT|DT)(?:-[A-Z0-9]+)+/gu));

function unnamed(books: readonly Book[]): string[] {
  return books.flatMap((book) =>
    ruleLists.flatMap((list) => book[list].flatMap(({ id }) => (named.has(id) ? [] : [`${book.id} ${id}`]))),
  );
}

it("finds every rule of every shipped book named in a test", () => {
  expect(unnamed(shippedBooks())).toEqual([]);
});

it("finds a rule that no test names", () => {
  const [book] = shippedBooks();
  const counts = [...book!.counts, { ...book!.counts[0]!, id: ["CT", "UNSAID"].join("-") }];
  expect(unnamed([{ ...book!, counts }])).toHaveLength(1);
});
