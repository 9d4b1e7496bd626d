/**
 * The library's place cannot be written: from the start (a read-only mount, or modes that hold for a person without rights), or
 * from some instant on while the window is open. It says so, keeps what was saved, and goes on where it can be written again.
 */
import { chmodSync, chownSync, mkdirSync, readdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { canMount, cannotMount, mount, unmount } from "../helpers/own-disk.ts";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { differenceOf, Ledger } from "./shared/ledger.ts";
import { startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { ScriptedUser } from "./shared/scripted-user.ts";
import { shownIn, type View } from "./shared/shown.ts";
import { goTo, openDemo } from "./shared/window.ts";

const views: readonly View[] = ["marks", "grades", "times"];
/** Whom the system stops by a mode: root it does not. */
const nobody = 65_534;
const isRoot = process.getuid?.() === 0;

export const readOnly: Fault = async (options) => {
  if (process.platform === "win32" || (isRoot && !canMount))
    return { name: "read-only", tries: 0, losses: [], facts: { note: cannotMount } };
  return eachTry("read-only", options, async ({ folder: outer, index, ...parts }) => {
    const folder = join(outer, "Crewglass");
    mkdirSync(folder);
    if (canMount) mount("-t", "tmpfs", "tmpfs", folder);
    try {
      return await (index % 2 === 0 ? fromTheStart : whileOpen)(folder, parts);
    } finally {
      if (canMount) unmount(folder);
    }
  });
};

/** Takes the right to write from a folder and all in it, or gives it back. */
function setModes(folder: string, writable: boolean): void {
  for (const name of readdirSync(folder, { recursive: true, encoding: "utf8" }))
    chmodSync(join(folder, name), writable ? 0o700 : 0o500);
  chmodSync(folder, writable ? 0o700 : 0o500);
}

async function fromTheStart(folder: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const path = join(folder, "library.crewglass");
  const view = dice.pick(views);
  const ledger = new Ledger();
  const first = startProgram(path);
  const one = await openDemo(browser, await first.address);
  ledger.take(view, (await goTo(one.page, view)).text);
  const user = new ScriptedUser({ page: one.page, dice, ledger, view });
  for (let edits = 0; edits < 3; edits++) await user.edit();
  await one.close();
  // Killed, it leaves its last edits in a log, which must be read although nothing can be written.
  await first.kill();
  if (canMount) mount("-o", "remount,ro", folder);
  else setModes(folder, false);

  const second = startProgram(path);
  const two = await openDemo(browser, await second.address);
  const shown = await goTo(two.page, view);
  const known = ledger.texts.get(view) ?? "";
  if (!/can only be read/u.test(shown.standing)) losses.push(`the window says no standing line: “${shown.standing}”`);
  if (shown.text !== known) losses.push(`opened for reading: ${differenceOf(known, shown.text)}`);
  await tryKeys(two.page);
  const after = await shownIn(two.page);
  if (after.text !== known) losses.push(`a read-only library shows an edit: ${differenceOf(known, after.text)}`);
  await two.close();
  await second.stop();

  if (canMount) mount("-o", "remount,rw", folder);
  else setModes(folder, true);
  losses.push(...(await goesOn(path, view, ledger, { browser, dice, tally }, "writable again")));
  tally.add("read-only before the start");
  return losses;
}

/** Keys that edit where editing is possible. */
async function tryKeys(page: Page): Promise<void> {
  for (const key of ["Delete", "ArrowLeft", "a", "c", "3", "Control+z", "t"]) await page.keyboard.press(key);
  await page.waitForTimeout(150);
}

/** A mount cannot be made read-only under a file that is open for writing; modes can, and hold for the next start. */
async function whileOpen(folder: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const path = join(folder, "library.crewglass");
  const view = dice.pick(views);
  const ledger = new Ledger();
  if (isRoot) for (const one of [folder, join(folder, "..")]) chownSync(one, nobody, nobody);
  const as = isRoot ? { uid: nobody, env: { HOME: folder } } : {};
  const first = startProgram(path, as);
  const one = await openDemo(browser, await first.address);
  ledger.take(view, (await goTo(one.page, view)).text);
  const user = new ScriptedUser({ page: one.page, dice, ledger, view });
  const timer = setTimeout(() => setModes(folder, false), 1000 * dice.share());
  for (let edits = 0; edits < 6; edits++) {
    const end = await user.edit();
    tally.add(`edits ${end}`);
    // SQLite has its files open: what it writes into them is kept. A refusal in words is as good.
    if (end === "silent") losses.push(`${user.last} was neither saved nor refused in words`);
  }
  await one.close();
  await first.kill();
  clearTimeout(timer);
  setModes(folder, false);
  losses.push(...rawFaults(path));

  const second = startProgram(path, as);
  const two = await openDemo(browser, await second.address);
  const shown = await goTo(two.page, view);
  const known = ledger.texts.get(view) ?? "";
  if (!/can only be read/u.test(shown.standing)) losses.push(`the window says no standing line: “${shown.standing}”`);
  if (shown.text !== known) losses.push(`opened for reading: ${differenceOf(known, shown.text)}`);
  await two.close();
  await second.stop();
  setModes(folder, true);
  losses.push(...(await goesOn(path, view, ledger, { browser, dice, tally }, "modes given back", as)));
  tally.add("made read-only while open");
  return losses;
}

async function goesOn(
  path: string,
  view: View,
  ledger: Ledger,
  { browser, dice }: Parts,
  when: string,
  as: Parameters<typeof startProgram>[1] = {},
): Promise<string[]> {
  const losses: string[] = [];
  const program = startProgram(path, as);
  const window = await openDemo(browser, await program.address);
  const { text, standing } = await goTo(window.page, view);
  const known = ledger.texts.get(view) ?? "";
  if (text !== known) losses.push(`${when}: ${differenceOf(known, text)}`);
  if (/can only be read/u.test(standing)) losses.push(`${when} it still says that the library can only be read`);
  const user = new ScriptedUser({ page: window.page, dice, ledger, view });
  const end = await user.edit();
  if (end !== "saved") losses.push(`${when}: ${user.last} was ${end}: ${user.refusal}`);
  await window.close();
  await program.stop();
  losses.push(...rawFaults(path));
  return losses;
}
