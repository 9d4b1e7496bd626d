/**
 * The library goes away while somebody edits, and comes back: its folder renamed, the file taken out, another file in its place,
 * its disk pulled out; with the program going on, or killed meanwhile and started without the file.
 */
import { copyFileSync, existsSync, mkdirSync, renameSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { canMount, mount, unmount } from "../helpers/own-disk.ts";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { differenceOf, Ledger } from "./shared/ledger.ts";
import { type Program, startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { ScriptedUser } from "./shared/scripted-user.ts";
import type { View } from "./shared/shown.ts";
import { goTo, openDemo } from "./shared/window.ts";

const views: readonly View[] = ["marks", "grades", "times"];

/** A way in which it goes, and the way back. */
type Going = { readonly name: string; readonly go: () => void; readonly comeBack: () => void };

function goingsOf(folder: string, path: string): readonly Going[] {
  const aside = `${folder}-aside`;
  const fileAside = join(folder, "taken-out");
  const all: Going[] = [
    {
      name: "folder renamed",
      go: () => renameSync(folder, aside),
      comeBack: () => {
        rmSync(folder, { recursive: true, force: true });
        renameSync(aside, folder);
      },
    },
    {
      name: "file taken out",
      go: () => renameSync(path, fileAside),
      comeBack: () => renameSync(fileAside, path),
    },
    {
      name: "another file in its place",
      go: () => {
        renameSync(path, fileAside);
        copyFileSync(fileAside, path);
      },
      comeBack: () => renameSync(fileAside, path),
    },
  ];
  if (canMount)
    all.push({
      name: "disk pulled out",
      go: () => unmount(dirname(folder)),
      comeBack: () => mount("--bind", `${dirname(folder)}-behind`, dirname(folder)),
    });
  return all;
}

export const vanish: Fault = (options) =>
  eachTry("vanish", options, async ({ folder: outer, seed, ...parts }) => {
    const disk = join(outer, "disk");
    const folder = join(disk, "Crewglass");
    mkdirSync(disk);
    if (canMount) {
      mkdirSync(`${disk}-behind`);
      mount("--bind", `${disk}-behind`, disk);
    }
    mkdirSync(folder);
    try {
      return await goneWhileEditing(folder, seed, parts);
    } finally {
      if (canMount) unmount(disk);
    }
  });

async function goneWhileEditing(folder: string, seed: number, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const path = join(folder, "library.crewglass");
  const going = goingsOf(folder, path)[seed % (canMount ? 4 : 3)];
  if (!going) throw new Error("no way to go");
  const program = startProgram(path);
  const window = await openDemo(browser, await program.address);
  const view = dice.pick(views);
  const ledger = new Ledger();
  ledger.take(view, (await goTo(window.page, view)).text);
  const user = new ScriptedUser({ page: window.page, dice, ledger, view });

  // It goes at any instant of somebody editing.
  let isGone = false;
  const timer = setTimeout(() => {
    going.go();
    isGone = true;
  }, 1500 * dice.share());
  for (let refused = 0; refused < 2;) {
    const wasGone = isGone;
    const end = await user.edit();
    tally.add(`edits ${end}`);
    if (end === "refused" && /was moved, removed or replaced/u.test(user.refusal)) refused += 1;
    else if (end !== "saved") {
      losses.push(`${going.name}: ${user.last} was ${end}: ${user.refusal}`);
      break;
    } else if (wasGone) {
      losses.push(`${going.name}: ${user.last} was shown as saved after the library had gone`);
      break;
    }
  }
  clearTimeout(timer);
  tally.add(going.name);

  const isKilled = dice.share() < 0.5;
  let second: Program = program;
  let after = window;
  if (isKilled) {
    await window.close();
    await program.kill();
    const isFileAlone = !existsSync(path) && existsSync(`${path}-wal`);
    if (isFileAlone) losses.push(...(await startWithoutIt(path, going.name)));
    going.comeBack();
    losses.push(...rawFaults(path));
    second = startProgram(path);
    after = await openDemo(browser, await second.address);
    tally.add("killed while it was gone");
  } else going.comeBack();
  const known = ledger.texts.get(view) ?? "";
  const { text } = await goTo(after.page, view);
  if (text !== known) losses.push(`${going.name}, back again: ${differenceOf(known, text)}`);
  ledger.take(view, text);
  const again = new ScriptedUser({ page: after.page, dice, ledger, view });
  const end = await again.edit();
  if (end !== "saved") losses.push(`${going.name}, back again: ${again.last} was ${end}: ${again.refusal}`);
  await after.close();
  await second.kill();

  losses.push(...rawFaults(path));
  const third = startProgram(path);
  const last = await openDemo(browser, await third.address);
  const shown = await goTo(last.page, view);
  const wanted = ledger.texts.get(view) ?? "";
  if (shown.text !== wanted) losses.push(`${going.name}, after another start: ${differenceOf(wanted, shown.text)}`);
  await last.close();
  await third.stop();
  return losses;
}

/** A start while only the log lies there: a new library in the file's place would be the end of the log. */
async function startWithoutIt(path: string, name: string): Promise<string[]> {
  const program = startProgram(path);
  const code = await Promise.race([program.ended, program.address.then(() => null).catch(() => program.ended)]);
  const isLogKept = !existsSync(path) && existsSync(`${path}-wal`);
  await program.kill();
  if (isLogKept && /put the file back/u.test(program.output())) return [];
  return [`${name}: started without the file it ended with ${code ?? "a new library"}: ${program.output()}`];
}
