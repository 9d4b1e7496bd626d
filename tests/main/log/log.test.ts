import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import fc from "fast-check";
import { expect, test } from "vitest";
import { errorFacts } from "../../../src-main/log/error-facts.ts";
import { openLog } from "../../../src-main/log/log.ts";
import { temporaryFolder } from "../store/temporary-library.ts";

const clock = () => new Date("2026-11-26T06:27:33Z");
const secret = "Ottoline Quill";

function thrown(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  throw new Error("nothing was thrown");
}

test("a line says when, which process, what, and plain facts", () => {
  const path = join(temporaryFolder(), "logs", "crewglass.log");
  const log = openLog({ path, clock });
  log.note("opened", { schema: 70, readOnly: false, reason: "in-use", nothing: null });
  expect(readFileSync(path, "utf8")).toBe(
    `2026-11-26T06:27:33.000Z ${process.pid} opened schema=70 readOnly=false reason=in-use\n`,
  );
  expect(log.tail(5)).toHaveLength(1);
  if (process.platform !== "win32") {
    expect(statSync(path).mode & 0o077).toBe(0);
    expect(statSync(dirname(path)).mode & 0o077).toBe(0);
  }
});

test("a bug says where it was thrown, and nothing of what it was thrown about", () => {
  const path = join(temporaryFolder(), "crewglass.log");
  const printed: string[] = [];
  const log = openLog({ path, clock, print: (line) => printed.push(line) });
  const errors = [
    new Error(`the official ${secret} has no grade`),
    new Error(`at home\n    at ${secret} (/home/${secret}/film.mp4:1:1)`),
    Object.assign(new Error(secret), { code: secret, name: secret, stack: `${secret}\n    at ${secret}` }),
    // The language quotes what it was given.
    thrown(() => JSON.parse(`{"name": ${secret}`)),
    thrown(() => "x" in (secret as unknown as object)),
    thrown(() => BigInt(secret)),
    thrown(() => decodeURIComponent(`%${secret}`)),
    thrown(() => new URL(`http://${secret}:x`)),
    thrown(() => Object.defineProperty(Object.freeze({}), secret, { value: 1 })),
    thrown(() => new Intl.DateTimeFormat(secret)),
    thrown(() => readFileSync(join("/nowhere", secret))),
    thrown(() => new BetterSqlite3(":memory:").exec(`SELECT * FROM "${secret}"`)),
    secret,
    { secret },
  ];
  for (const error of errors) log.bug("a test failed", error);
  const text = readFileSync(path, "utf8");
  expect(text).not.toContain("Ottoline");
  expect(text).not.toContain("Quill");
  expect(text.trim().split("\n")).toHaveLength(errors.length);
  expect(text).toMatch(/error=Error at=".*tests\/main\/log\/log\.test\.ts:\d+:\d+/u);
  expect(text).toContain("code=ENOENT");
  expect(printed.join("\n")).not.toContain("Ottoline");
});

test("what helps is kept: a property that was not there, a table that is missing, a rule that was broken", () => {
  const db = new BetterSqlite3(":memory:");
  db.exec("CREATE TABLE mark (id TEXT PRIMARY KEY NOT NULL) STRICT");
  db.exec("INSERT INTO mark VALUES ('a')");
  const missing: { readonly deeper?: { readonly still: number } } = {};
  expect(errorFacts(thrown(() => missing.deeper!.still)).message).toBe(
    "Cannot read properties of undefined (reading 'still')",
  );
  expect(errorFacts(thrown(() => db.exec("SELECT * FROM marks")))).toMatchObject({
    message: "no such table: marks",
    code: "SQLITE_ERROR",
  });
  expect(errorFacts(thrown(() => db.exec("INSERT INTO mark VALUES ('a')"))).message).toBe(
    "UNIQUE constraint failed: mark.id",
  );
});

test("whatever a message holds, the log keeps none of it", () => {
  const path = join(temporaryFolder(), "crewglass.log");
  const log = openLog({ path, clock });
  fc.assert(
    fc.property(fc.string({ minLength: 1, maxLength: 60 }), fc.string({ maxLength: 30 }), (before, after) => {
      log.bug("a test failed", new Error(`${before}Ottoline${after}`), { note: `${before}Quill\n${after}` });
    }),
    { seed: 8, numRuns: 500 },
  );
  const text = readFileSync(path, "utf8");
  expect(text).not.toContain("Ottoline");
  expect(text).not.toContain("Quill");
  expect(text.trim().split("\n").length).toBe(500);
});

test("a log that has grown is rolled over, and its size stays bounded", () => {
  const folder = temporaryFolder();
  const path = join(folder, "crewglass.log");
  const log = openLog({ path, clock, mostBytes: 2000 });
  for (let number = 0; number < 500; number += 1) log.note("counted", { number });
  expect(readdirSync(folder).toSorted()).toEqual(["crewglass.log", "crewglass.log.1", "crewglass.log.2"]);
  for (const name of readdirSync(folder)) expect(statSync(join(folder, name)).size).toBeLessThan(2100);
  expect(log.tail(3).at(-1)).toContain("number=499");
});

test("a place that cannot be written to is no reason to fail", () => {
  const log = openLog({ path: join(import.meta.filename, "logs", "crewglass.log"), clock });
  log.note("opened");
  expect(log.tail(10)).toEqual([]);
});
