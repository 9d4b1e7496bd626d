/** The disk fills while somebody edits: the window says so, keeps all that was saved, and goes on once there is room. */
import { closeSync, mkdirSync, openSync, readdirSync, rmSync, writeSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { canMount, cannotMount, mount, unmount } from "../helpers/own-disk.ts";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { exportFaults, writeSeason } from "./shared/kill-working.ts";
import { differenceOf, Ledger } from "./shared/ledger.ts";
import { startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { type EditEnd, ScriptedUser } from "./shared/scripted-user.ts";
import type { View } from "./shared/shown.ts";
import { goTo, openDemo } from "./shared/window.ts";

/** Stakes are left out: they need no other way to the disk. */
const views: readonly View[] = ["marks", "grades", "times"];
const mostEdits = 60;
/** How the window says that an export is over. */
const ended = /files? written to|Nothing was written|is full/u;

export const diskFull: Fault = async (options) => {
  if (!canMount) return { name: "disk-full", tries: 0, losses: [], facts: { note: cannotMount } };
  return eachTry("disk-full", options, async ({ folder: disk, dice, ...parts }) => {
    // From what the demo game just fits into, to where the log has room for a while.
    mount("-t", "tmpfs", "-o", `size=${(5 + dice.below(6)) * 1024 * 1024}`, "tmpfs", disk);
    try {
      return await fillWhileEditing(disk, { ...parts, dice });
    } finally {
      unmount(disk);
    }
  });
};

async function fillWhileEditing(disk: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const path = join(disk, "library.crewglass");
  const ballast = join(disk, "ballast");
  let program = startProgram(path);
  let window = await openDemo(browser, await program.address);
  const view = dice.pick(views);
  const ledger = new Ledger();
  ledger.take(view, (await goTo(window.page, view)).text);
  const user = new ScriptedUser({ page: window.page, dice, ledger, view });
  for (let edits = dice.below(4); edits > 0; edits--) await user.edit();
  fill(ballast, dice.below(48) * 1024);

  let end: EditEnd = "saved";
  for (let edits = 0; end === "saved" && edits < mostEdits; edits++) {
    end = await user.edit();
    tally.add(`edits ${end}`);
  }
  if (end === "saved") losses.push(`the disk was full and ${mostEdits} edits were shown as saved`);
  if (end === "silent") losses.push("an edit onto the full disk was neither saved nor refused in words");
  if (end === "refused" && !/is full/u.test(user.refusal)) losses.push(`an edit was refused with: ${user.refusal}`);

  if (dice.share() < 0.4) {
    const out = join(disk, "out");
    losses.push(...(dice.share() < 0.5 ? await exportOntoIt(window.page, out) : await packetOntoIt(window.page, out)));
    tally.add("exports onto the full disk");
  }
  const isKilled = dice.share() < 0.5;
  if (isKilled) {
    await program.kill();
    losses.push(...rawFaults(path));
    await window.close();
    // Started in the full state it says so and ends, or opens with all there is.
    program = startProgram(path);
    const code = await Promise.race([program.ended, program.address.then(() => null).catch(() => program.ended)]);
    tally.add(code === null ? "started on the full disk" : "refused to start on the full disk");
    if (code !== null && !(code === 1 && /is full/u.test(program.output())))
      losses.push(`a start on the full disk ended with ${code}: ${program.output()}`);
    rmSync(ballast);
    if (code !== null) program = startProgram(path);
    window = await openDemo(browser, await program.address);
    const { text } = await goTo(window.page, view);
    const known = ledger.texts.get(view) ?? "";
    if (ledger.settle(view, text) === "wrong") losses.push(`killed on the full disk: ${differenceOf(known, text)}`);
  } else {
    rmSync(ballast);
    const { text } = await goTo(window.page, view);
    const known = ledger.texts.get(view) ?? "";
    if (text !== known) losses.push(`refused on the full disk: ${differenceOf(known, text)}`);
  }
  const after = new ScriptedUser({ page: window.page, dice, ledger, view });
  const again = await after.edit();
  if (again !== "saved")
    losses.push(
      `it does not go on with room again: ${after.last} was ${again}, ${user.last} was ${end} before; ${after.refusal}`,
    );
  await window.close();
  await program.stop();
  losses.push(...rawFaults(path));

  program = startProgram(path);
  window = await openDemo(browser, await program.address);
  const { text } = await goTo(window.page, view);
  const known = ledger.texts.get(view) ?? "";
  if (text !== known) losses.push(`after another start: ${differenceOf(known, text)}`);
  await window.close();
  await program.stop();
  tally.add(isKilled ? "kills on the full disk" : "went on in the same window");
  return losses;
}

/** Writes until nothing fits, then gives a little back. Bytes. */
function fill(path: string, spareBytes: number): void {
  const piece = Buffer.alloc(4096, 1);
  const file = openSync(path, "w");
  let written = 0;
  try {
    for (;;) written += writeSync(file, piece);
  } catch {
    // It is full now.
  } finally {
    closeSync(file);
  }
  if (spareBytes === 0) return;
  const keep = Math.max(0, written - spareBytes);
  rmSync(path);
  const again = openSync(path, "w");
  try {
    for (let done = 0; done < keep;) done += writeSync(again, piece);
  } finally {
    closeSync(again);
  }
}

async function exportOntoIt(page: Page, out: string): Promise<string[]> {
  await writeSeason(page, out);
  const said = page.getByText(ended).first();
  await said.waitFor();
  const words = await said.innerText();
  const losses = finishedIn(out);
  if (/files written to/u.test(words) && losses.length > 0) losses.push(`and the window says: ${words}`);
  await page.keyboard.press("Escape");
  return losses;
}

async function packetOntoIt(page: Page, out: string): Promise<string[]> {
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Packet…" }).click();
  await page.getByLabel("Into a new folder in").fill(out);
  await page.getByRole("button", { name: "Write the packet" }).click();
  await page.getByText(ended).first().waitFor();
  const names = namesIn(out);
  await page.keyboard.press("Escape");
  return names.length === 0 ? [] : [`a packet was written onto the full disk: ${names.join(", ")}`];
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).filter((name) => !name.startsWith("."));
  } catch {
    return [];
  }
}

function finishedIn(folder: string): string[] {
  mkdirSync(folder, { recursive: true });
  return exportFaults(folder);
}
