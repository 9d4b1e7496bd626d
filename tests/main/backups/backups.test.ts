import { randomBytes } from "node:crypto";
import { readdirSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import fc from "fast-check";
import { describe, expect, onTestFinished, test, vi } from "vitest";
import { put } from "#core/game/changes";
import { createBackupKeeper } from "../../../src-main/backups/backup-keeper.ts";
import { backupFolderOf, backupName, readBackupName } from "../../../src-main/backups/backup-names.ts";
import { listBackups, makeBackup } from "../../../src-main/backups/backup-shelf.ts";
import { putInPlace } from "../../../src-main/backups/put-in-place.ts";
import { readBackup } from "../../../src-main/backups/read-backup.ts";
import { backupsToDrop } from "../../../src-main/backups/thinning.ts";
import { aMark, aWholeGame } from "../store/build-game.ts";
import { failureOf } from "../store/failure-of.ts";
import { canMount, smallDisk } from "../store/small-disk.ts";
import { mustOpen, temporaryFolder, tryLibrary } from "../store/temporary-library.ts";

const at = new Date("2026-11-26T06:27:33Z");
const game = aWholeGame();
const [moment] = game.moments;
if (moment === undefined) throw new Error("the builder made no moment");
let marks = 0;
const manyMarks = (count: number) =>
  Array.from({ length: count }, () => put("mark", null, aMark(moment, `backed-${(marks += 1)}`)));

async function aLibrary() {
  const path = join(temporaryFolder(), "library.crewglass");
  const library = await mustOpen(path);
  library.addGame(game);
  return { path, library };
}

describe("a backup", () => {
  test("is a library that opens by itself and holds what was there, however the library is edited meanwhile", async () => {
    const { path, library } = await aLibrary();
    for (let edit = 0; edit < 40; edit += 1) library.commit("game-1", "Mark", manyMarks(200));
    const before = library.openGame("game-1");
    let editedBetween = 0;
    const backup = await makeBackup(path, library.copyTo, at, {
      progress: () => {
        if (editedBetween >= 3) return;
        editedBetween += 1;
        library.commit("game-1", "Mark", manyMarks(1));
      },
    });
    expect(editedBetween).toBe(3);
    expect(readdirSync(backupFolderOf(path))).toEqual(["library backup 0001 2026-11-26 06.27.33Z.crewglass"]);
    const opened = (await mustOpen(backup.path)).openGame("game-1");
    // Between the first step and the last the copy takes in what is written through the same handle.
    expect(opened.sequence).toBeGreaterThanOrEqual(before.sequence);
    expect(opened.marks.slice(0, before.marks.length)).toEqual(before.marks);
    library.close();
    expect((await mustOpen(path)).openGame("game-1").sequence).toBe(before.sequence + 3);
  });

  test("says what it holds without being changed", async () => {
    const { path, library } = await aLibrary();
    library.commit("game-1", "Mark", manyMarks(5));
    const backup = await makeBackup(path, library.copyTo, at);
    const bytes = readFileSync(backup.path);
    const read = await readBackup(backup.path);
    expect(read).toMatchObject({
      ok: true,
      holds: { games: [{ title: game.game.title, plays: game.plays.length, marks: game.marks.length + 5 }] },
    });
    expect(readFileSync(backup.path)).toEqual(bytes);
    expect(readdirSync(backupFolderOf(path))).toHaveLength(1);
  });

  test.skipIf(process.platform === "win32")("is for this person's eyes only, as a new library is", async () => {
    const { path, library } = await aLibrary();
    const backup = await makeBackup(path, library.copyTo, at);
    expect(statSync(path).mode & 0o077).toBe(0);
    expect(statSync(backupFolderOf(path)).mode & 0o077).toBe(0);
    expect(statSync(backup.path).mode & 0o077).toBe(0);
  });

  test("that is given up, or finds no room, leaves nothing behind and takes nothing away", async () => {
    const { path, library } = await aLibrary();
    for (let edit = 0; edit < 20; edit += 1) library.commit("game-1", "Mark", manyMarks(200));
    const first = await makeBackup(path, library.copyTo, at);
    const stop = new AbortController();
    const given = makeBackup(path, library.copyTo, at, {
      signal: stop.signal,
      progress: () => stop.abort(new Error("given up")),
    });
    await expect(given).rejects.toThrow("given up");
    expect(readdirSync(backupFolderOf(path))).toEqual([first.name]);
    // What a killed program left half way goes with the next one.
    writeFileSync(join(backupFolderOf(path), "library backup 0002 2026-11-26 06.27.33Z.crewglass.part"), "half");
    writeFileSync(join(backupFolderOf(path), "notes.txt"), "a person's own");
    const second = await makeBackup(path, library.copyTo, at);
    expect(readdirSync(backupFolderOf(path)).toSorted()).toEqual([first.name, second.name, "notes.txt"]);
    expect(second.number).toBe(2);
  });

  test.skipIf(!canMount)("on a full disk keeps the earlier ones and says so in words", async () => {
    const { folder } = smallDisk(2 * 1024 * 1024);
    const path = join(folder, "library.crewglass");
    const library = await mustOpen(path);
    library.addGame(game);
    library.commit("game-1", "Mark", manyMarks(400));
    const told: unknown[] = [];
    const keeper = createBackupKeeper({ library, clock: () => at, told: (result) => told.push(result) });
    await keeper.make();
    try {
      writeFileSync(join(folder, "ballast"), randomBytes(3 * 1024 * 1024));
    } catch {
      // The ballast is what fits.
    }
    await expect(keeper.make()).rejects.toMatchObject({ code: "DISK_FULL" });
    expect(keeper.failure()).toContain("Free some space");
    expect(listBackups(path).map(({ number }) => number)).toEqual([1]);
    expect(readdirSync(backupFolderOf(path))).toHaveLength(1);
    rmSync(join(folder, "ballast"));
    await keeper.make();
    expect(keeper.failure()).toBeNull();
    expect(told).toHaveLength(3);
    await keeper.stop();
    library.close();
  });

  test("of a library that is damaged on disk is refused, and the earlier ones stay", async () => {
    const { path, library } = await aLibrary();
    for (let edit = 0; edit < 10; edit += 1) library.commit("game-1", "Mark", manyMarks(60));
    const good = await makeBackup(path, library.copyTo, at);
    // Pages are overwritten under the open library, as a failing disk does.
    const raw = readFileSync(path);
    const pageBytes = raw.readUInt16BE(16);
    library.close();
    for (let page = 20; page < 60; page += 1) raw.fill(0x5a, page * pageBytes, page * pageBytes + 64);
    writeFileSync(path, raw);
    const damaged = new BetterSqlite3(path);
    const copyTo: typeof library.copyTo = async (to) => void (await damaged.backup(to));
    await expect(makeBackup(path, copyTo, at)).rejects.toMatchObject({
      code: "LIBRARY_FAILED",
      message: expect.stringContaining("not whole"),
    });
    damaged.close();
    expect(listBackups(path).map(({ name }) => name)).toEqual([good.name]);
  });

  test.each([
    ["cut off", (path: string) => truncateSync(path, statSync(path).size >> 1)],
    ["overwritten by words", (path: string) => writeFileSync(path, "SQLite is a fine thing, but this is not one.")],
    ["emptied", (path: string) => writeFileSync(path, "")],
    [
      "another program's",
      (path: string) => {
        rmSync(path);
        new BetterSqlite3(path).exec("CREATE TABLE recipes (id TEXT)").close();
      },
    ],
  ])("that was %s says so and is not offered as whole", async (_, harm) => {
    const { path, library } = await aLibrary();
    for (let edit = 0; edit < 10; edit += 1) library.commit("game-1", "Mark", manyMarks(60));
    const backup = await makeBackup(path, library.copyTo, at);
    harm(backup.path);
    expect(await readBackup(backup.path)).toMatchObject({ ok: false, fault: expect.stringMatching(/./u) });
  });
});

describe("which backups are kept", () => {
  const dayMs = 86_400_000;
  const made = (number: number, timeMs: number) => ({ name: String(number), number, madeAt: new Date(timeMs) });

  test("by hand: the newest three, a day for a week, a week for five", () => {
    // From Monday 2 November 2026, 08:00, two a day for sixty days; written out by hand with a calendar.
    const start = Date.UTC(2026, 10, 2, 8);
    const all = Array.from({ length: 120 }, (_, index) => made(index + 1, start + index * (dayMs / 2)));
    const dropped = new Set(backupsToDrop(all));
    const kept = all.filter((backup) => !dropped.has(backup)).map(({ madeAt }) => madeAt.toISOString().slice(0, 13));
    expect(kept).toEqual([
      "2026-12-06T20", // Sunday
      "2026-12-13T20", // Sunday
      "2026-12-20T20", // Sunday
      "2026-12-25T20",
      "2026-12-26T20",
      "2026-12-27T20",
      "2026-12-28T20",
      "2026-12-29T20",
      "2026-12-30T20",
      "2026-12-31T08",
      "2026-12-31T20",
    ]);
  });

  test("whatever the clock does: the newest three always, 15 at most, and thinning twice changes nothing", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1e12, max: 4e12 }), { maxLength: 200 }), (times) => {
        const all = times.map((timeMs, index) => made(index + 1, timeMs));
        const dropped = new Set(backupsToDrop(all));
        const kept = all.filter((backup) => !dropped.has(backup));
        expect(kept.slice(-3)).toEqual(all.slice(-3));
        expect(kept.length).toBeLessThanOrEqual(15);
        expect(backupsToDrop(kept)).toEqual([]);
      }),
      { seed: 20261126, numRuns: 300 },
    );
  });

  test("names are read as they were written, and others are no backups", () => {
    const path = "/a/My season (2).crewglass";
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99_999 }), fc.integer({ min: 0, max: 4e9 }), (number, sec) => {
        const name = backupName(path, number, new Date(sec * 1000));
        expect(readBackupName(path, name)).toEqual({ name, number, madeAt: new Date(sec * 1000) });
        expect(readBackupName("/a/season.crewglass", name)).toBeNull();
      }),
      { seed: 5 },
    );
    for (const name of ["library backup 0001 2026-13-41 99.00.00Z.crewglass", "library.crewglass", "x.part"])
      expect(readBackupName("/a/library.crewglass", name)).toBeNull();
  });
});

describe("the keeper", () => {
  test("makes one by itself after edits, not without them, and a last one at the end", async () => {
    const { path, library } = await aLibrary();
    const keeper = createBackupKeeper({ library, clock: () => at, told: () => {}, firstMs: 60, everyMs: 200 });
    onTestFinished(() => keeper.stop());
    await vi.waitFor(() => expect(listBackups(path)).toHaveLength(1), 5000);
    await new Promise((settle) => setTimeout(settle, 600));
    expect(listBackups(path)).toHaveLength(1);
    library.commit("game-1", "Mark", manyMarks(1));
    await vi.waitFor(() => expect(listBackups(path)).toHaveLength(2), 5000);
    library.commit("game-1", "Mark", manyMarks(1));
    await keeper.stop();
    const [last] = listBackups(path);
    expect((await mustOpen(last?.path ?? "")).openGame("game-1")).toEqual(library.openGame("game-1"));
    library.close();
    // Nothing was written since, so that the next start makes none.
    const again = await mustOpen(path);
    const idle = createBackupKeeper({ library: again, clock: () => at, told: () => {}, firstMs: 20 });
    const count = listBackups(path).length;
    await new Promise((settle) => setTimeout(settle, 200));
    await idle.stop();
    expect(listBackups(path)).toHaveLength(count);
  });
});

describe("putting a backup in the library's place", () => {
  test("keeps what lay there, its log included, and the library is what the backup was", async () => {
    const { path, library } = await aLibrary();
    const backup = await makeBackup(path, library.copyTo, at);
    const then = library.openGame("game-1");
    library.commit("game-1", "Mark", manyMarks(3));
    const now = library.openGame("game-1");
    library.close();
    const kept = putInPlace(path, backup.path, "replaced", at);
    expect(kept).toMatch(/library \(replaced 2026-11-26 06\.27\.33Z\)\.crewglass$/u);
    const restored = await mustOpen(path);
    expect(restored.openGame("game-1")).toEqual(then);
    restored.commit("game-1", "Mark", manyMarks(1));
    expect((await mustOpen(kept ?? "")).openGame("game-1")).toEqual(now);
    expect((await mustOpen(backup.path)).openGame("game-1")).toEqual(then);
  });

  test("after damage: the damaged file is kept byte by byte, and twice gives two names", async () => {
    const { path, library } = await aLibrary();
    const backup = await makeBackup(path, library.copyTo, at);
    library.close();
    for (const [index, text] of ["damaged once", "damaged twice"].entries()) {
      writeFileSync(path, text);
      writeFileSync(`${path}-wal`, `its log ${index}`);
      expect((await tryLibrary(path)).ok).toBe(false);
      const kept = putInPlace(path, backup.path, "damaged", at) ?? "";
      expect(readFileSync(kept, "utf8")).toBe(text);
      expect(readFileSync(`${kept}-wal`, "utf8")).toBe(`its log ${index}`);
      const opened = await mustOpen(path);
      expect(opened.listGames()).toHaveLength(1);
      opened.close();
    }
    expect(readdirSync(join(path, "..")).filter((name) => name.includes("(damaged"))).toHaveLength(4);
  });

  test("nothing in its place leaves room for a new library, and keeps the old one", async () => {
    const { path, library } = await aLibrary();
    library.close();
    const kept = putInPlace(path, null, "replaced", at);
    expect((await mustOpen(path)).isNew).toBe(true);
    expect((await mustOpen(kept ?? "")).listGames()).toHaveLength(1);
  });

  test("that is read-only is refused", async () => {
    const { library } = await aLibrary();
    const keeper = createBackupKeeper({
      library: { ...library, readOnly: true },
      clock: () => at,
      told: () => {},
    });
    await expect(keeper.make()).rejects.toMatchObject({ code: "READ_ONLY" });
    expect(failureOf(() => library.openGame("none")).code).toBe("NOT_FOUND");
    await keeper.stop();
  });
});
