/** The program killed while it works by itself: at its start, in an upgrade, while it seeds the demo, in an import and an export. */
import { randomUUID } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync } from "node:fs";
import { basename, join } from "node:path";
import type { Browser, Page } from "playwright";
import { diceOf } from "./dice.ts";
import type { Tally } from "./fault.ts";
import { makeOldLibrary, newestSchema, oldEdit, oldSchemas, oldTitle } from "./old-library.ts";
import { startProgram } from "./program.ts";
import { rawFaults } from "./raw-check.ts";
import { goTo, openDemo, openWindow } from "./window.ts";

export type WorkKill = (parts: {
  readonly folder: string;
  readonly browser: Browser;
  readonly seed: number;
  readonly tally: Tally;
  /** Packets of the observers' games, made once. */
  readonly packets: readonly string[];
}) => Promise<string[]>;

/** What each packet of the observers holds. */
const packetPlays = 6;
const packetGrades = 24;
const demoPlays = 15;

const wait = (ms: number) => new Promise<void>((settle) => setTimeout(settle, ms));

/** Half of the instants fall where the library is opened, the others anywhere in the first second. */
function startInstantMs(seed: number): number {
  const dice = diceOf(seed);
  return dice.share() < 0.5 ? 150 + 350 * dice.share() : 1000 * dice.share();
}

export const killInUpgrade: WorkKill = async ({ folder, browser, seed, tally }) => {
  const dice = diceOf(seed + 7);
  const path = join(folder, `${randomUUID()}.crewglass`);
  const schema = dice.pick(oldSchemas);
  makeOldLibrary(path, schema);
  const first = startProgram(path);
  await wait(startInstantMs(seed));
  await first.kill();
  let found = 0;
  const losses = rawFaults(path, (db) => {
    found = Number(db.pragma("user_version", { simple: true }));
    return found === schema || found === newestSchema ? [] : [`the library is of schema ${found}, half way`];
  });
  tally.add(
    found === schema ? "kills in a start, before an upgrade was written" : "kills in a start, after an upgrade",
  );
  const second = startProgram(path);
  const { page, close } = await openWindow(browser, await second.address);
  try {
    await page.getByRole("button", { name: `Open ${oldTitle}` }).click();
    await page.getByRole("button", { name: `Undo: ${oldEdit}` }).waitFor();
    await page.getByRole("button", { name: `Undo: ${oldEdit}` }).click();
    await page.getByRole("button", { name: `Redo: ${oldEdit}` }).waitFor();
  } catch (error) {
    losses.push(`the game of the old library is not there with its edit: ${String(error)}`);
  }
  await close();
  await second.stop();
  return losses;
};

export const killInSeeding: WorkKill = async ({ folder, browser, seed, tally }) => {
  const path = join(folder, `${randomUUID()}.crewglass`);
  const first = startProgram(path);
  await wait(startInstantMs(seed));
  await first.kill();
  const losses = rawFaults(path);
  tally.add(existsSync(path) ? "kills in the making of a library" : "kills before there was a library");
  const second = startProgram(path);
  const { page, close } = await openDemo(browser, await second.address);
  await goTo(page, "times");
  const plays = await page.locator(".play-sheet tbody tr").count();
  if (plays !== demoPlays) losses.push(`the demo game has ${plays} plays after the restart`);
  await close();
  await second.stop();
  return losses;
};

/** As a person drops files from another window. */
async function drop(page: Page, paths: readonly string[]): Promise<void> {
  const files = paths.map((path) => ({ name: basename(path), base64: readFileSync(path).toString("base64") }));
  const data = await page.evaluateHandle((given) => {
    const transfer = new DataTransfer();
    for (const { name, base64 } of given)
      transfer.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], name));
    return transfer;
  }, files);
  await page.dispatchEvent(".workstation", "drop", { dataTransfer: data });
}

const takenRows = (page: Page) => page.locator(".season-table tbody tr");

async function takeAll(page: Page, packets: readonly string[]): Promise<void> {
  await drop(page, packets);
  await page.getByRole("button", { name: `Take in ${packets.length} packets` }).click();
}

/** Each packet must be there whole or not at all. Gives how many are. */
function packetsIn(path: string, losses: string[]): number {
  let there = 0;
  losses.push(
    ...rawFaults(path, (db) => {
      const rows = db
        .prepare<[], { id: string; plays: number; grades: number; brought: number }>(
          `SELECT id, (SELECT count(*) FROM play WHERE game_id = game.id) AS plays,
             (SELECT count(*) FROM grade WHERE game_id = game.id) AS grades,
             (SELECT count(*) FROM packet WHERE game_id = game.id) AS brought
           FROM game WHERE id LIKE 'game-%-of-%'`,
        )
        .all();
      there = rows.length;
      return rows
        .filter(({ plays, grades, brought }) => plays !== packetPlays || grades !== packetGrades || brought !== 1)
        .map(
          ({ id, plays, grades, brought }) =>
            `${id} has ${plays} plays, ${grades} grades, ${brought} notes of its coming`,
        );
    }),
  );
  return there;
}

export const killInImport: WorkKill = async ({ folder, browser, seed, tally, packets }) => {
  const dice = diceOf(seed);
  const path = join(folder, `${randomUUID()}.crewglass`);
  const losses: string[] = [];
  const first = startProgram(path);
  const one = await openWindow(browser, await first.address);
  await takeAll(one.page, packets);
  await wait(600 * dice.share());
  await first.kill();
  await wait(80);
  const seen = await takenRows(one.page).count();
  await one.close();
  const there = packetsIn(path, losses);
  tally.add(there === 0 || there === packets.length ? "kills beside an import" : "kills in an import");
  const second = startProgram(path);
  const two = await openWindow(browser, await second.address);
  await two.page.getByRole("button", { name: "Season", exact: true }).click();
  await two.page.getByRole("button", { name: "Packets", exact: true }).click();
  await two.page.locator(".season-table caption").waitFor();
  const shown = async (wanted: number) => {
    const end = performance.now() + 10_000;
    while ((await takenRows(two.page).count()) !== wanted && performance.now() < end) await wait(20);
    return takenRows(two.page).count();
  };
  if (there < seen) losses.push(`${seen} packets were shown as taken in, and ${there} are there`);
  if ((await shown(there)) !== there) losses.push(`${there} packets are there and ${await shown(there)} are shown`);
  await takeAll(two.page, packets);
  if ((await shown(packets.length)) !== packets.length) losses.push("the packets cannot all be taken in afterwards");
  await two.close();
  await second.stop();
  if (packetsIn(path, losses) !== packets.length) losses.push("not every packet is there after a second import");
  return losses;
};

/** What a finished export of the season holds, and how each file ends when it is whole. */
const exported: Readonly<Record<string, (text: string) => boolean>> = {
  "season.pdf": (text) => text.trimEnd().endsWith("%%EOF"),
  "season.html": (text) => text.trimEnd().endsWith("</html>"),
  "totals.csv": (text) => text.endsWith("\r\n"),
  "season.json": (text) => typeof JSON.parse(text) === "object",
};

/** Faults of everything in a folder that has a name of its own; hidden parts are none. */
export function exportFaults(folder: string): string[] {
  return readdirSync(folder)
    .filter((name) => !name.startsWith("."))
    .flatMap((name) => {
      const path = join(folder, name);
      if (!statSync(path).isDirectory()) return [`${name} lies there and is no folder`];
      return Object.entries(exported).flatMap(([file, isWhole]) => {
        try {
          return isWhole(readFileSync(join(path, file), "latin1")) ? [] : [`${name}/${file} is cut off`];
        } catch (error) {
          return [`${name}/${file}: ${String(error)}`];
        }
      });
    });
}

/** Begins to write the season into a folder, as a person does. */
export async function writeSeason(page: Page, into: string): Promise<void> {
  await page.getByRole("button", { name: "Season", exact: true }).click();
  await page.getByRole("button", { name: "Export…" }).click();
  await page.getByLabel("Into a new folder in").fill(into);
  await page.getByRole("button", { name: "Write the season" }).click();
}

export const killInExport: WorkKill = async ({ folder, browser, seed, tally }) => {
  const dice = diceOf(seed);
  const path = join(folder, `${randomUUID()}.crewglass`);
  const out = join(folder, randomUUID());
  mkdirSync(out);
  const program = startProgram(path);
  const { page, close } = await openWindow(browser, await program.address);
  await writeSeason(page, out);
  await wait(2500 * dice.share());
  await program.kill();
  await wait(80);
  const said = await page.getByText(/^\d+ files written to/u).count();
  await close();
  const finished = readdirSync(out).filter((name) => !name.startsWith(".")).length;
  const losses = [...rawFaults(path), ...exportFaults(out)];
  if (said > finished) losses.push("the window said that the export was written, and it is not there");
  tally.add(finished > 0 ? "kills after an export" : "kills in an export");
  return losses;
};
