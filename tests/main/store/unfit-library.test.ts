import { mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { put } from "#core/game/changes";
import type { GameRecords } from "#core/game/records";
import { whyNotHere } from "../../../src-main/store/sqlite.ts";
import { aMark, aWholeGame } from "./build-game.ts";
import { failureOf } from "./failure-of.ts";
import { mustOpen, temporaryFolder, tryLibrary } from "./temporary-library.ts";

/** A closed library of some hundred kilobytes. */
async function closedLibrary(): Promise<{ path: string; game: GameRecords }> {
  const path = join(temporaryFolder(), "library.crewglass");
  const library = await mustOpen(path);
  const game = aWholeGame();
  const [moment] = game.moments;
  if (moment === undefined) throw new Error("the builder made no moment");
  library.addGame(game);
  for (let edit = 0; edit < 10; edit += 1) {
    const marks = Array.from({ length: 60 }, (_, index) => put("mark", null, aMark(moment, `mark-${edit}-${index}`)));
    library.commit("game-1", "Mark", marks);
  }
  const { sequence: _, history: __, ...records } = library.openGame("game-1");
  library.close();
  return { path, game: records };
}

async function refusal(path: string) {
  const before = readFileSync(path);
  const result = await tryLibrary(path);
  if (result.ok) throw new Error("it opened");
  expect(readFileSync(path)).toEqual(before);
  return result.failure;
}

describe("a damaged library", () => {
  test("is refused and left as it is when its second half is missing", async () => {
    const { path } = await closedLibrary();
    truncateSync(path, readFileSync(path).length >> 1);
    const failure = await refusal(path);
    expect(failure.reason).toBe("damaged");
    expect(failure.sentence).toContain("put a backup in its place");
  });

  test("is refused and left as it is when pages in its middle are overwritten", async () => {
    const { path } = await closedLibrary();
    const bytes = readFileSync(path);
    const pageBytes = bytes.readUInt16BE(16);
    for (let page = 4; page < 12; page += 1) bytes.fill(0x5a, page * pageBytes, page * pageBytes + 64);
    writeFileSync(path, bytes);
    expect((await refusal(path)).reason).toBe("damaged");
  });

  test("is refused when its file is empty and a log lies beside it", async () => {
    const { path } = await closedLibrary();
    writeFileSync(path, "");
    writeFileSync(`${path}-wal`, "a log that belonged to it");
    expect((await refusal(path)).reason).toBe("damaged");
    expect(readFileSync(`${path}-wal`, "utf8")).toBe("a log that belonged to it");
  });

  test("wherever bytes are changed, is refused, read with a named fault, or read as a game of the right shape", async () => {
    const { path, game } = await closedLibrary();
    const whole = readFileSync(path);
    const seen = { refused: 0, named: 0, whole: 0, altered: 0 };
    const flips = fc.array(fc.tuple(fc.nat(whole.length - 1), fc.integer({ min: 1, max: 255 })), {
      minLength: 1,
      maxLength: 200,
    });
    await fc.assert(
      fc.asyncProperty(flips, async (list) => {
        const bytes = Buffer.from(whole);
        for (const [at, xor] of list) bytes[at] = (bytes[at] ?? 0) ^ xor;
        const copy = join(temporaryFolder(), "library.crewglass");
        writeFileSync(copy, bytes);
        const result = await tryLibrary(copy);
        if (!result.ok) {
          seen.refused += 1;
          expect(["damaged", "not-a-library", "newer"]).toContain(result.failure.reason);
          expect(readFileSync(copy)).toEqual(bytes);
          return;
        }
        const { library } = result;
        try {
          const opened = library.openGame("game-1");
          // Bytes inside a text or a number may change what it says; SQLite keeps no checksum of rows.
          if (JSON.stringify(opened.marks) === JSON.stringify(game.marks)) seen.whole += 1;
          else seen.altered += 1;
        } catch (error) {
          seen.named += 1;
          expect(error).toMatchObject({ name: "Failure" });
        }
        library.close();
      }),
      { numRuns: 150, seed: 11 },
    );
    expect(seen.refused).toBeGreaterThan(20);
    expect(seen.named).toBeGreaterThan(5);
    expect(seen.whole).toBeGreaterThan(5);
  }, 60_000);

  test.each([
    ["mark", "subject_json", '{"kind":"official"}', "subject"],
    ["mark", "click_json", "not JSON", "JSON"],
    ["mark", "facing_json", '{"uPx":1e999,"vPx":1}', "facing"],
    ["stake", "clicks_json", '[{"at":{"uPx":1,"vPx":2,"extra":3},"raw":null}]', "click"],
    ["stake", "clicks_json", "not JSON", "JSON"],
    ["carry", "frames", "no base64!", "frames"],
    ["play", "situation_json", "{}", "situation"],
    ["game", "crew_json", '[{"position":"r","name":""}]', "crew"],
    ["film", "fingerprint", "short", "fingerprint"],
  ])("names the table and the id when %s.%s holds %s", async (table, column, value, names) => {
    const { path } = await closedLibrary();
    const raw = new BetterSqlite3(path);
    const id = raw.prepare(`SELECT id FROM ${table} LIMIT 1`).pluck().get() as string;
    raw.prepare(`UPDATE ${table} SET ${column} = ? WHERE id = ?`).run(value, id);
    raw.close();
    const library = await mustOpen(path);
    const failure = failureOf(() => library.openGame("game-1"));
    expect(failure.code).toBe("LIBRARY_FAILED");
    for (const part of [table, id, names]) expect(failure.message).toContain(part);
    expect(library.listGames()).toHaveLength(1);
  });
});

describe("what is no library of this program", () => {
  test("a newer library is refused by its schema and untouched", async () => {
    const { path } = await closedLibrary();
    const raw = new BetterSqlite3(path);
    raw.pragma("user_version = 990");
    raw.exec("CREATE TABLE of_the_future (id TEXT) STRICT");
    raw.close();
    const failure = await refusal(path);
    expect(failure.reason).toBe("newer");
    expect(failure.sentence).toMatch(/newer Crewglass \(schema 990\).*up to 70.*update the program.*untouched/u);
    expect(readdirSync(join(path, ".."))).toEqual(["library.crewglass"]);
  });

  test("another program's database, a text, and a folder are left alone", async () => {
    const folder = temporaryFolder();
    const database = join(folder, "other.db");
    const raw = new BetterSqlite3(database);
    raw.exec("CREATE TABLE recipes (id TEXT)");
    raw.close();
    expect((await refusal(database)).reason).toBe("not-a-library");
    const text = join(folder, "notes.txt");
    writeFileSync(text, "SQLite is a fine thing, but this is not one.");
    expect((await refusal(text)).reason).toBe("not-a-library");
    const inner = join(folder, "folder");
    mkdirSync(inner);
    expect(await tryLibrary(inner)).toMatchObject({ ok: false, failure: { reason: "not-a-library" } });
    expect(readdirSync(folder).toSorted()).toEqual(["folder", "notes.txt", "other.db"]);
  });

  test("an empty file is a place for a new library", async () => {
    const path = join(temporaryFolder(), "library.crewglass");
    writeFileSync(path, "");
    expect((await mustOpen(path)).isNew).toBe(true);
  });
});

// better-sqlite3 needs Node-API 10, which nodejs.org's table of Node-API versions gives to Node 22.14 and 24.
test("a Node that would crash on loading the engine is told so before", () => {
  expect(whyNotHere({ node: "20.20.2", napi: "9" })).toContain("Node 24");
  expect(whyNotHere({})).toContain("Node 24");
  expect(whyNotHere(process.versions)).toBeNull();
});
