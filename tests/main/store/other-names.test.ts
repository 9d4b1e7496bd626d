/** One library under several names, after a kill has left its newest edits in a log beside one of them. */
import {
  chmodSync,
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  renameSync,
  symlinkSync,
} from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { aWholeGame } from "./build-game.ts";
import { startOther } from "./other-process.ts";
import { canMount, smallDisk } from "./small-disk.ts";
import { mustOpen, temporaryFolder, tryLibrary } from "./temporary-library.ts";

/** A library whose last edits are in its log alone. Gives how many were answered. */
async function killedAt(path: string): Promise<number> {
  const library = await mustOpen(path);
  library.addGame(aWholeGame());
  library.close();
  const other = await startOther(path, "--edit", (line) => line === "25");
  await other.kill();
  return Number(other.lines.at(-1));
}

// SQLite finds the log by the name a file is opened under: https://sqlite.org/howtocorrupt.html, 2.5.
test.each(["the same folder", "another folder"])(
  "a hard link in %s is not opened without the log, and the first name opens with all of it",
  async (where) => {
    const folder = temporaryFolder();
    const path = join(folder, "library.crewglass");
    const answered = await killedAt(path);
    const into = where === "the same folder" ? folder : join(folder, "other");
    mkdirSync(into, { recursive: true });
    const link = join(into, "hard.crewglass");
    linkSync(path, link);
    const refused = await tryLibrary(link);
    expect(refused).toMatchObject({ ok: false, failure: { reason: "linked" } });
    expect(refused.ok ? "" : refused.failure.sentence).toContain("another name");
    expect(readdirSync(into).filter((name) => name.startsWith("hard"))).toEqual(["hard.crewglass"]);
    const library = await mustOpen(path);
    expect(library.openGame("game-1").sequence).toBeGreaterThanOrEqual(answered);
    library.close();
    // Closed in order it has no log: names that can all be looked beside are as good as one.
    expect((await tryLibrary(path)).ok).toBe(where === "the same folder");
  },
  30_000,
);

test("a log without its file is not taken for a new library, and opens with the file put back", async () => {
  const path = join(temporaryFolder(), "library.crewglass");
  const answered = await killedAt(path);
  renameSync(path, `${path}.aside`);
  const refused = await tryLibrary(path);
  expect(refused).toMatchObject({ ok: false, failure: { reason: "log-alone" } });
  expect(refused.ok ? "" : refused.failure.sentence).toContain("put the file back");
  expect(existsSync(path)).toBe(false);
  expect(existsSync(`${path}-wal`)).toBe(true);
  renameSync(`${path}.aside`, path);
  expect((await mustOpen(path)).openGame("game-1").sequence).toBeGreaterThanOrEqual(answered);
}, 30_000);

const canRefuseWrites = canMount || (process.getuid?.() ?? 0) !== 0;

test.skipIf(!canRefuseWrites)(
  "a read-only library opens through a symbolic link with its log",
  async () => {
    const origin = join(temporaryFolder(), "library.crewglass");
    const answered = await killedAt(origin);
    const disk = canMount ? smallDisk(4 * 1024 * 1024) : null;
    const folder = disk?.folder ?? temporaryFolder();
    const path = join(folder, "library.crewglass");
    for (const suffix of ["", "-wal"]) copyFileSync(origin + suffix, path + suffix);
    if (disk) disk.makeReadOnly();
    else {
      for (const suffix of ["", "-wal"]) chmodSync(path + suffix, 0o444);
      chmodSync(folder, 0o555);
    }
    // The link lies in a folder that can be written.
    const link = join(temporaryFolder(), "link.crewglass");
    symlinkSync(path, link);
    const library = await mustOpen(link);
    expect(library.readOnly).toBe(true);
    expect(library.openGame("game-1").sequence).toBeGreaterThanOrEqual(answered);
    library.close();
    if (!disk) chmodSync(folder, 0o755);
  },
  30_000,
);
