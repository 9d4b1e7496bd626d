import { createHash } from "node:crypto";
import { copyFileSync, existsSync, readdirSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { expect, test } from "vitest";
import { seededRandom } from "#core/field/random";
import { enlargeOfSchema10 } from "./enlarged-library.ts";
import { startOther } from "./other-process.ts";
import { copyReleased, rawContent } from "./released-libraries.ts";
import { mustOpen, temporaryFolder } from "./temporary-library.ts";

const mostTries = 30;
const fewestTries = 10;
const timeLimitMs = 20_000;
const timesAsLarge = 40;

/** All of a closed library in one number; of the keys that each upgrade makes anew, only that they are there. */
function digestOf(path: string): string {
  const { rows, ...rest } = rawContent(path);
  const notes = rows["library_note"]!.map((row) => (JSON.parse(row) as [string, string])[0]);
  const text = JSON.stringify({ ...rest, rows: { ...rows, library_note: notes } });
  return createHash("sha256").update(text).digest("hex");
}

// What this shows, and what only a power cut would, is as in killed.test.ts.
test("a program killed at any instant of an upgrade leaves a library that opens, is whole and has everything", async () => {
  const old = copyReleased(10, temporaryFolder());
  enlargeOfSchema10(old, timesAsLarge);
  const before = digestOf(old);
  const rows = Object.values(rawContent(old).rows).reduce((sum, each) => sum + each.length, 0);
  const folder = temporaryFolder();
  const path = join(folder, "library.crewglass");
  const begin = () => startOther(path, "--hold", (line) => line === "opening");

  // Once left alone, for the time it takes and for what comes of it.
  copyFileSync(old, path);
  const alone = await begin();
  const openingAt = performance.now();
  while (!alone.lines.includes("open")) await pause(1);
  const spanMs = performance.now() - openingAt;
  await alone.kill();
  (await mustOpen(path)).close();
  const expected = digestOf(path);

  // Anywhere in the span, and spread over it however few a busy machine has time for: steps of the golden ratio, each with a little chance.
  const random = seededRandom(70);
  let step = random.uniform();
  const instant = () => (step = (step + 0.618 + 0.1 * (random.uniform() - 0.5)) % 1);
  const killed = { before: 0, copying: 0, copied: 0, after: 0 };
  const started = performance.now();
  let tries = 0;
  const isEnough = () =>
    tries >= fewestTries && killed.copying + killed.copied > 0 && performance.now() - started > timeLimitMs;
  while (tries < mostTries && !isEnough()) {
    tries += 1;
    for (const name of readdirSync(folder)) rmSync(join(folder, name));
    copyFileSync(old, path);
    const other = await begin();
    await pause(instant() * 1.1 * spanMs);
    await other.kill();

    const names = readdirSync(folder);
    const library = await mustOpen(path);
    const isUpgraded = library.copyBeforeUpgrade === null;
    // What was answered is so.
    if (other.lines.includes("open")) expect(isUpgraded).toBe(true);
    if (isUpgraded) killed.after += 1;
    else if (names.includes("library (schema 10).crewglass")) killed.copied += 1;
    else if (names.includes("library (schema 10).crewglass.part")) killed.copying += 1;
    else killed.before += 1;

    expect(library.faults()).toEqual([]);
    library.close();
    expect(digestOf(path)).toBe(expected);
    expect(existsSync(`${path}-wal`)).toBe(false);
    // A copy has its name only once it is whole, and none is left half made.
    const copies = readdirSync(folder).filter((name) => name.includes("(schema 10"));
    expect(copies).toContain("library (schema 10).crewglass");
    for (const name of copies) expect(digestOf(join(folder, name)), name).toBe(before);
  }
  console.log(
    `an upgrade of ${Math.round(statSync(old).size / 1e5) / 10} MB and ${rows} rows, ${Math.round(spanMs)} ms when left alone: of ${tries} killed, ` +
      `${killed.before} before it, ${killed.copying} while it made its copy, ${killed.copied} between the copy and the end, ${killed.after} after it`,
  );
  expect(killed.copying + killed.copied).toBeGreaterThan(0);
}, 120_000);
