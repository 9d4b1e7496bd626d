/** Migrations that have made libraries stay as they were, and of each schema there is such a library. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { migrations } from "../../../src-main/store/migrations/list.ts";
import { releasedContent, releasedSchemas } from "./released-libraries.ts";

const folder = join(import.meta.dirname, "..", "..", "..", "src-main", "store", "migrations");

/** SHA-256 of each file as it lies, to the last byte. What a migration is made with counts like the migration itself. */
const released: { readonly [file: string]: string } = {
  "0010-first.ts": "4ca134eb0c82208e55252e005f5dd23d88ef7dfaabe1598cdff42e3493fdf357",
  "0020-lines-and-lenses.ts": "f8e877c64936cacd2bfabd72d6917643470ec5caec679b75a29a493aa2d7e68c",
  "0030-books.ts": "6500cb1f9e5fa968c9190e5ecaa62dff06be2980a58d87cee69e329cc8157467",
  "0040-breakdown.ts": "2a5267fa7c0cdf7a0028b59fda2dfa4c3ed4f9a7b3f07ab0024f4cade8544fa9",
  "0050-grades.ts": "60d290dc2fbbadc2c8a3a5f68dbc83492cf80856bd5ab1d00216c3619038b7ff",
  "0060-evaluation.ts": "c080175cec1e9e4b3a31fd247eea134062957acd625207a2c3813a4cf0794295",
  "0070-packets.ts": "ba3c8286f08cb08af9f3b2ce3700077ee2597e624f7af681557f6e7af43a9659",
  "add-to-history.ts": "7517aa6b940b8134ff80f9968e044d9563c6fefffc552659d56dad651fda58fc",
};

test("no released migration is changed", () => {
  for (const [file, sha256] of Object.entries(released)) {
    const now = createHash("sha256")
      .update(readFileSync(join(folder, file)))
      .digest("hex");
    expect(
      now,
      `${file} was changed after it was released. Libraries that it made are out there: a program whose migrations make anything else takes them for damaged, or upgrades those that are older to something they never were. Put the file back as it was, and write what should be otherwise as the next migration`,
    ).toBe(sha256);
  }
});

test("every migration is held to what it was when it was released", () => {
  const unheld = readdirSync(folder).filter((file) => file !== "list.ts" && !(file in released));
  expect(unheld, "add the SHA-256 of a new migration here once it is done").toEqual([]);
});

test("of every schema, the newest too, there is a library that was written then", () => {
  const schemas = migrations.map(({ number }) => number);
  expect(
    releasedSchemas(),
    "keep a library of the newest schema before the next migration is added, and one of the new one with it: tests/fixtures/libraries/README.md says how",
  ).toEqual(schemas);
  for (const schema of schemas) {
    const { schema: said, games } = releasedContent(schema);
    expect(said).toBe(schema);
    // The demo game and another one, of which there is more than a name.
    expect(games.length).toBeGreaterThanOrEqual(2);
    expect(games.every(({ counts }) => counts["plays"]! > 0)).toBe(true);
  }
});
