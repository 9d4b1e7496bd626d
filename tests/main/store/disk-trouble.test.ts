import { randomBytes } from "node:crypto";
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, onTestFinished, test } from "vitest";
import { put } from "#core/game/changes";
import type { Library } from "../../../src-main/store/library.ts";
import { migrations } from "../../../src-main/store/migrations/list.ts";
import type { Sqlite } from "../../../src-main/store/sqlite.ts";
import { aMark, aWholeGame } from "./build-game.ts";
import { failureOf } from "./failure-of.ts";
import { startOther } from "./other-process.ts";
import { canMount, smallDisk } from "./small-disk.ts";
import { mustOpen, temporaryFolder, tryLibrary } from "./temporary-library.ts";

const game = aWholeGame();
const [moment] = game.moments;
if (moment === undefined) throw new Error("the builder made no moment");
let marks = 0;
const manyMarks = (count: number) =>
  Array.from({ length: count }, () => put("mark", null, aMark(moment, `many-${(marks += 1)}`)));

/** Edits until the disk is full; what was answered must be there, and what was not must not. */
function fill(library: Library): number {
  for (let answered = 0; ; answered += 1) {
    const before = library.openGame("game-1");
    try {
      library.commit("game-1", "Mark", manyMarks(40));
    } catch {
      expect(failureOf(() => library.commit("game-1", "Mark", manyMarks(40)))).toMatchObject({
        code: "DISK_FULL",
        message: expect.stringContaining("free some space"),
      });
      expect(library.openGame("game-1")).toEqual(before);
      return answered;
    }
    if (answered > 2000) throw new Error("the disk never filled");
  }
}

describe("a full disk", () => {
  // SQLite answers SQLITE_FULL for its own page limit exactly as for a full file system, and this runs anywhere. The
  // handle comes from a migration of the test's own.
  test("refuses the edit that does not fit, keeps all before it, and goes on once there is room", async () => {
    let handle: Sqlite | null = null;
    const path = join(temporaryFolder(), "library.crewglass");
    const opened = await tryLibrary(path, [...migrations, { number: 9990, up: (db) => void (handle = db) }]);
    if (!opened.ok || handle === null) throw new Error("the library did not open");
    const db: Sqlite = handle;
    const { library } = opened;
    library.addGame(game);
    db.pragma("max_page_count = 80");
    const answered = fill(library);
    expect(answered).toBeGreaterThan(2);
    expect(library.openGame("game-1").marks).toHaveLength(game.marks.length + 40 * answered);
    db.pragma("max_page_count = 100000");
    library.commit("game-1", "Mark", manyMarks(40));
    expect(library.openGame("game-1").sequence).toBe(answered + 1);
  });

  test.skipIf(!canMount)("does the same on a file system of one megabyte, and after a restart", async () => {
    const { folder } = smallDisk(1024 * 1024);
    const path = join(folder, "library.crewglass");
    const library = await mustOpen(path);
    library.addGame(game);
    const ballast = join(folder, "ballast");
    writeFileSync(ballast, randomBytes(300 * 1024));
    const answered = fill(library);
    expect(answered).toBeGreaterThan(2);
    const whole = library.openGame("game-1");
    library.close();
    const again = await tryLibrary(path);
    if (again.ok) again.library.close();
    else expect(again.failure.reason).toBe("disk-full");
    rmSync(ballast);
    const roomy = await mustOpen(path);
    expect(roomy.openGame("game-1")).toEqual(whole);
    roomy.commit("game-1", "Mark", manyMarks(1));
  });

  test.skipIf(!canMount)(
    "says so when a new library has no room, and when an upgrade has none for its copy",
    async () => {
      const { folder } = smallDisk(1024 * 1024);
      const ballast = join(folder, "ballast");
      const path = join(folder, "library.crewglass");
      try {
        writeFileSync(ballast, randomBytes(1200 * 1024));
      } catch {
        // The ballast is what fits.
      }
      expect(await tryLibrary(path)).toMatchObject({ ok: false, failure: { reason: "disk-full" } });
      rmSync(ballast);
      const library = await mustOpen(path);
      library.addGame(game);
      library.close();
      const before = readFileSync(path);
      try {
        writeFileSync(ballast, randomBytes(1200 * 1024));
      } catch {
        // The ballast is what fits.
      }
      const upgraded = await tryLibrary(path, [...migrations, { number: 9990, up: () => {} }]);
      expect(upgraded).toMatchObject({ ok: false, failure: { reason: "disk-full" } });
      rmSync(ballast);
      expect(readFileSync(path)).toEqual(before);
      expect(readdirSync(folder)).toEqual(["library.crewglass"]);
      expect((await mustOpen(path)).openGame("game-1")).toMatchObject(game);
    },
  );
});

describe("a place that cannot be written", () => {
  /** A folder with a library in it, made read-only by a read-only mount, or by its mode for anybody but root. */
  function readOnlyPlace() {
    if (canMount) return smallDisk(4 * 1024 * 1024);
    const folder = temporaryFolder();
    return {
      folder,
      makeReadOnly: () => {
        for (const name of readdirSync(folder)) chmodSync(join(folder, name), 0o444);
        chmodSync(folder, 0o555);
        onTestFinished(() => chmodSync(folder, 0o755));
      },
    };
  }
  // Root without the right to mount is stopped by no mode, so there is no read-only place to be had.
  const canRefuseWrites = canMount || (process.getuid?.() ?? 0) !== 0;

  test.skipIf(!canRefuseWrites)(
    "opens for reading, an unfinished log included, and refuses every edit",
    async () => {
      const origin = join(temporaryFolder(), "library.crewglass");
      const made = await mustOpen(origin);
      made.addGame(game);
      made.close();
      const other = await startOther(origin, "--edit", (line) => line === "25");
      await other.kill();

      const place = readOnlyPlace();
      const path = join(place.folder, "library.crewglass");
      for (const suffix of ["", "-wal"]) copyFileSync(origin + suffix, path + suffix);
      place.makeReadOnly();
      const copiesBefore = readdirSync(tmpdir()).filter((name) => /^crewglass-(?!test)/u.test(name));
      const library = await mustOpen(path);
      expect(library.readOnly).toBe(true);
      const opened = library.openGame("game-1");
      expect(opened.sequence).toBeGreaterThanOrEqual(25);
      expect(opened.game.title).toBe(`Title ${opened.sequence}`);
      const edits = [
        () => library.commit("game-1", "Mark", manyMarks(1)),
        () => library.undo("game-1"),
        () => library.redo("game-1"),
        () => library.addGame(aWholeGame("game-2")),
        () => library.removeGame("game-1"),
        () => library.setNote("a", "b"),
      ];
      for (const edit of edits)
        expect(failureOf(edit)).toMatchObject({ code: "READ_ONLY", message: expect.stringContaining("read-only") });
      expect(library.openGame("game-1")).toEqual(opened);
      library.close();
      const copiesAfter = readdirSync(tmpdir()).filter((name) => /^crewglass-(?!test)/u.test(name));
      expect(copiesAfter).toEqual(copiesBefore);
    },
    30_000,
  );

  test.skipIf(!canRefuseWrites)("gets no new library, and the sentence says what to do", async () => {
    const place = readOnlyPlace();
    place.makeReadOnly();
    for (const path of [join(place.folder, "library.crewglass"), join(place.folder, "new", "library.crewglass")]) {
      const result = await tryLibrary(path);
      expect(result.ok).toBe(false);
      if (result.ok) continue;
      expect(["read-only-folder", "no-folder"]).toContain(result.failure.reason);
      expect(result.failure.sentence).toContain("--library PATH");
    }
  });

  test("says so when a file lies where the folder should be", async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, "Crewglass"), "a file");
    const result = await tryLibrary(join(folder, "Crewglass", "library.crewglass"));
    expect(result).toMatchObject({ ok: false, failure: { reason: "no-folder" } });
  });
});

describe("a library that goes away while it is open", () => {
  test("refuses edits until it is back, and has lost none", async () => {
    const folder = join(temporaryFolder(), "Crewglass");
    const path = join(folder, "library.crewglass");
    const library = await mustOpen(path);
    library.addGame(game);
    library.commit("game-1", "Mark", manyMarks(1));
    renameSync(folder, `${folder}-moved`);
    expect(failureOf(() => library.commit("game-1", "Mark", manyMarks(1)))).toMatchObject({
      code: "LIBRARY_FAILED",
      message: expect.stringContaining("put the file back"),
    });
    // Another file in its place is not it.
    mkdirSync(folder);
    copyFileSync(join(`${folder}-moved`, "library.crewglass"), path);
    expect(failureOf(() => library.undo("game-1")).code).toBe("LIBRARY_FAILED");
    rmSync(folder, { recursive: true });
    renameSync(`${folder}-moved`, folder);
    library.commit("game-1", "Mark", manyMarks(1));
    library.close();
    expect((await mustOpen(path)).openGame("game-1").sequence).toBe(2);
    expect(existsSync(`${path}-open`)).toBe(true);
  });
});
