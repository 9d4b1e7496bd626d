/** Two programs on one library, by any of its names: one has it, the other says so and ends; what the first saved stays. */
import { linkSync, mkdirSync, symlinkSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { differenceOf, Ledger } from "./shared/ledger.ts";
import { type Program, startCommand, startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { ScriptedUser } from "./shared/scripted-user.ts";
import type { View } from "./shared/shown.ts";
import { goTo, openDemo } from "./shared/window.ts";

const views: readonly View[] = ["marks", "grades", "times"];

/** Other names of a file that is there. */
const names: Readonly<Record<string, (path: string) => string>> = {
  "the same path": (path) => path,
  "another spelling": (path) => join(dirname(path), "..", basename(dirname(path)), ".", basename(path)),
  "a symbolic link": (path) => {
    const link = join(dirname(path), "link.crewglass");
    symlinkSync(path, link);
    return link;
  },
  "a folder that is a symbolic link": (path) => {
    symlinkSync(dirname(path), `${dirname(path)}-link`);
    return join(`${dirname(path)}-link`, basename(path));
  },
  "a hard link": (path) => {
    const link = join(dirname(path), "hard.crewglass");
    linkSync(path, link);
    return link;
  },
};

export const twoPrograms: Fault = (options) =>
  eachTry("two-programs", options, async ({ folder: outer, index, seed, ...parts }) => {
    const folder = join(outer, "Crewglass");
    mkdirSync(folder);
    const path = join(folder, "library.crewglass");
    return index % 3 === 2 ? atOnce(path, parts) : oneAfterTheOther(path, seed, parts);
  });

/** Null while it runs, its exit code when it has ended. */
const started = (program: Program) =>
  Promise.race([program.ended, program.address.then(() => null).catch(() => program.ended)]);

async function refusalFault(program: Program, what: string): Promise<string[]> {
  const code = await started(program);
  if (code === 1 && /has .* open: use the window that is already open/u.test(program.output())) return [];
  if (code === null) await program.kill();
  return [`${what} ended with ${code ?? "the library open"}: ${program.output()}`];
}

async function oneAfterTheOther(path: string, seed: number, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const first = startProgram(path);
  const window = await openDemo(browser, await first.address);
  const view = dice.pick(views);
  const ledger = new Ledger();
  ledger.take(view, (await goTo(window.page, view)).text);
  const user = new ScriptedUser({ page: window.page, dice, ledger, view });
  const [name, otherName] = Object.entries(names)[seed % 5] ?? [];
  if (!name || !otherName) throw new Error("no name");
  const other = otherName(path);
  const editing = (async () => {
    for (let edits = 0; edits < 5; edits++) {
      const end = await user.edit();
      tally.add(`edits ${end}`);
      if (end !== "saved" && end !== "refused") losses.push(`${user.last} was ${end} while another program started`);
    }
  })();
  await new Promise((settle) => setTimeout(settle, 800 * dice.share()));
  losses.push(...(await refusalFault(startProgram(other), `a second program by ${name}`)));
  losses.push(...(await refusalFault(startCommand("check", other), `the command check by ${name}`)));
  await editing;
  tally.add(`a second program by ${name}`);
  await window.close();
  await first.kill();
  losses.push(...rawFaults(path));

  // Killed, it has left its last edits in the log; whoever is next gets them, or is told why not.
  const next = startProgram(other);
  const code = await started(next);
  if (code !== null) {
    if (name !== "a hard link" || code !== 1 || !/another name/u.test(next.output()))
      losses.push(`the next start by ${name} ended with ${code}: ${next.output()}`);
    else tally.add("the next start by a hard link was refused in words");
  }
  const last = code === null ? next : startProgram(path);
  const again = await openDemo(browser, await last.address);
  const { text } = await goTo(again.page, view);
  const known = ledger.texts.get(view) ?? "";
  if (text !== known) losses.push(`the next start by ${name}: ${differenceOf(known, text)}`);
  await again.close();
  await last.stop();
  return losses;
}

/** Both at the same instant, on a library that is there or is to be made. */
async function atOnce(path: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const isNew = dice.share() < 0.5;
  if (!isNew) {
    const maker = startProgram(path);
    await maker.address;
    await maker.stop();
  }
  const both = [startProgram(path), startProgram(path)];
  const codes = await Promise.all(both.map(started));
  const [winner] = both.filter((_, at) => codes[at] === null);
  for (const [at, program] of both.entries())
    if (program !== winner)
      losses.push(...(await refusalFault(program, `of two started at once, the ${at === 0 ? "first" : "second"}`)));
  if (!winner) losses.push("of two programs that started at once neither has the library");
  const last = winner ?? startProgram(path);
  const window = await openDemo(browser, await last.address);
  const view = "marks";
  const ledger = new Ledger();
  ledger.take(view, (await goTo(window.page, view)).text);
  const user = new ScriptedUser({ page: window.page, dice, ledger, view });
  const end = await user.edit();
  if (end !== "saved") losses.push(`the one that has it does not write: ${user.last} was ${end}: ${user.refusal}`);
  await window.close();
  await last.stop();
  losses.push(...rawFaults(path));
  tally.add(isNew ? "two at once on a library to be made" : "two at once on a library that is there");
  return losses;
}
