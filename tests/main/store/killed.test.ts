import { existsSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { aWholeGame } from "./build-game.ts";
import { startOther } from "./other-process.ts";
import { mustOpen, temporaryFolder, tryLibrary } from "./temporary-library.ts";

// A killed process tests what SQLite and the log keep; that the disk itself was made to keep it (an fsync before each
// answer) is what `synchronous = FULL` adds against a power cut, which no test in a process can show.
test.each([1, 2, 7, 40, 150, 1100])(
  "every edit answered is there after the program is killed (%i edits in)",
  async (edits) => {
    const path = join(temporaryFolder(), "library.crewglass");
    const library = await mustOpen(path);
    library.addGame(aWholeGame());
    library.close();

    const other = await startOther(path, "--edit", (line) => line === String(edits));
    await other.kill();
    const answered = Number(other.lines.at(-1));
    expect(answered).toBeGreaterThanOrEqual(edits);
    expect(existsSync(`${path}-wal`)).toBe(true);

    const again = await mustOpen(path);
    const { sequence, game } = again.openGame("game-1");
    // At most the edit under way when the kill came may be there without having been answered.
    expect(sequence - answered).toBeGreaterThanOrEqual(0);
    expect(sequence - answered).toBeLessThanOrEqual(1);
    expect(game.title).toBe(`Title ${sequence}`);
    again.undo("game-1");
    expect(again.openGame("game-1").game.title).toBe(sequence === 1 ? "Herons v Lanterns" : `Title ${sequence - 1}`);
  },
  30_000,
);

test("a second program is told which process has the library, and gets it once that one is killed", async () => {
  const path = join(temporaryFolder(), "library.crewglass");
  const other = await startOther(path, "--hold", (line) => line === "open");
  const second = await tryLibrary(path);
  expect(second).toMatchObject({ ok: false, failure: { reason: "in-use" } });
  expect(second.ok ? "" : second.failure.sentence).toContain(`process ${other.pid}`);
  expect(existsSync(`${path}-open`)).toBe(true);
  await other.kill();
  await mustOpen(path);
}, 30_000);
