import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { families } from "#core/game/records";
import type { Migration } from "../../../src-main/store/migration.ts";
import { migrations } from "../../../src-main/store/migrations/list.ts";
import { aWholeGame } from "./build-game.ts";
import { mustOpen, openTemporary, temporaryFolder, tryLibrary } from "./temporary-library.ts";

const newest = migrations.at(-1)?.number ?? 0;
const addsTable: Migration = {
  number: 9980,
  up: (db) => db.exec("CREATE TABLE later (id TEXT PRIMARY KEY NOT NULL) STRICT"),
};
const rebuildsGame: Migration = {
  number: 9990,
  // The way SQLite's own manual gives for changes that ALTER TABLE cannot make (lang_altertable, section 7).
  up: (db) => {
    const { sql } = db.prepare<[], { sql: string }>("SELECT sql FROM sqlite_schema WHERE name = 'game'").get() ?? {
      sql: "",
    };
    db.exec(sql.replace("CREATE TABLE game", "CREATE TABLE game_new"));
    db.exec("INSERT INTO game_new SELECT * FROM game; DROP TABLE game; ALTER TABLE game_new RENAME TO game");
  },
};

test("migrations are numbered upwards in tens", () => {
  const numbers = migrations.map((migration) => migration.number);
  expect(numbers).toEqual(numbers.map((_, index) => 10 * (index + 1)));
});

test("from nothing: every table is STRICT, every family has one, and the header says whose file it is", async () => {
  const library = await openTemporary();
  expect(library).toMatchObject({ isNew: true, readOnly: false, schemaVersion: newest, copyBeforeUpgrade: null });
  library.close();
  const db = new BetterSqlite3(library.path, { readonly: true });
  const tables = (db.pragma("table_list") as { name: string; schema: string; strict: number }[]).filter(
    (table) => table.schema === "main" && !table.name.startsWith("sqlite_"),
  );
  expect(tables.map((table) => table.name)).toEqual(expect.arrayContaining([...families, "history", "library_note"]));
  expect(tables.filter((table) => table.strict !== 1)).toEqual([]);
  expect(db.pragma("journal_mode", { simple: true })).toBe("wal");
  db.close();
  // The database file format, section 1.3: application id at byte 68, user version at byte 60.
  const header = readFileSync(library.path);
  expect(header.toString("latin1", 68, 72)).toBe("Crgl");
  expect(header.readUInt32BE(60)).toBe(newest);
});

test("an older library is copied, then upgraded with nothing lost, and the copy opens as what it was", async () => {
  const library = await openTemporary();
  const game = aWholeGame();
  library.addGame(game);
  library.close();
  const upgraded = await tryLibrary(library.path, [...migrations, addsTable, rebuildsGame]);
  if (!upgraded.ok) throw new Error(upgraded.failure.sentence);
  expect(upgraded.library).toMatchObject({ schemaVersion: 9990, isNew: false });
  expect(upgraded.library.openGame("game-1")).toMatchObject(game);
  const copy = upgraded.library.copyBeforeUpgrade ?? "";
  expect(dirname(copy)).toBe(dirname(library.path));
  expect(basename(copy)).toBe(`library (schema ${newest}).crewglass`);
  expect((await mustOpen(copy)).openGame("game-1")).toMatchObject(game);
  upgraded.library.close();
  const again = await tryLibrary(library.path, [...migrations, addsTable, rebuildsGame]);
  expect(again.ok && again.library.copyBeforeUpgrade).toBeNull();
  expect(await tryLibrary(library.path)).toMatchObject({ ok: false, failure: { reason: "in-use" } });
});

test("an upgrade never writes over an earlier copy", async () => {
  const library = await openTemporary();
  library.close();
  const folder = dirname(library.path);
  const old = `library (schema ${newest}).crewglass`;

  writeFileSync(join(folder, old), "an earlier copy");
  const upgraded = await tryLibrary(library.path, [...migrations, addsTable]);
  expect(upgraded.ok && basename(upgraded.library.copyBeforeUpgrade ?? "")).toBe(
    `library (schema ${newest}, 2).crewglass`,
  );
  expect(readFileSync(join(folder, old), "utf8")).toBe("an earlier copy");
});

test.each([
  [
    "throws half way",
    (): never => {
      throw new Error("half way");
    },
  ],
  ["leaves rows without their owners", (db: BetterSqlite3.Database) => void db.exec("DELETE FROM film")],
])("an upgrade that %s leaves the library as it was", async (_, up) => {
  const library = await openTemporary();
  const game = aWholeGame();
  library.addGame(game);
  library.close();
  await expect(tryLibrary(library.path, [...migrations, addsTable, { number: 9990, up }])).rejects.toThrow(
    /half way|without their owners/u,
  );
  const again = await mustOpen(library.path);
  expect(again).toMatchObject({ schemaVersion: newest });
  expect(again.openGame("game-1")).toMatchObject(game);
});

test("a library whose making was cut off before its tables is made again", async () => {
  const path = join(temporaryFolder(), "library.crewglass");
  const db = new BetterSqlite3(path);
  db.pragma("journal_mode = WAL");
  db.close();
  expect((await mustOpen(path)).isNew).toBe(true);
  expect(readdirSync(dirname(path)).some((name) => name.includes("schema"))).toBe(false);
});
