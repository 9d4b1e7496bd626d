/**
 * The clock jumps by minutes to years, on and back, in the program and in the window, while somebody edits and between starts:
 * the order of edits, of undo and of what was said stays that in which it was done.
 */
import { mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright";
import { projectRoot } from "../helpers/launch.ts";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { differenceOf, Ledger } from "./shared/ledger.ts";
import { type Program, startCommand, startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { ScriptedUser } from "./shared/scripted-user.ts";
import { goTo, type Opener, openDemo } from "./shared/window.ts";

const minuteMs = 60_000;
const jumpsMs = [1, 60, 24 * 60, 31 * 24 * 60, 366 * 24 * 60, 10 * 366 * 24 * 60].flatMap((minutes) => [
  minutes * minuteMs,
  -minutes * minuteMs,
]);
const cell = { name: /^Play 3, R, station:/u, points: ["1", "2", "3", "4"] } as const;

/** One clock for the program and the window, which can be set to any time. */
class BentClock {
  readonly #file: string;
  #offsetMs = 0;
  constructor(folder: string) {
    this.#file = join(folder, "clock-offset");
    writeFileSync(this.#file, "0");
  }
  get env(): Record<string, string> {
    const preload = join(projectRoot, "tests", "faults", "shared", "bend-clock.cjs");
    return { NODE_OPTIONS: `--require ${preload}`, BENT_CLOCK_FILE: this.#file };
  }
  async jump(byMs: number, page: Page | null): Promise<void> {
    this.#offsetMs += byMs;
    writeFileSync(this.#file, String(this.#offsetMs));
    await page?.evaluate((ms) => void ((globalThis as { bentMs?: number }).bentMs = ms), this.#offsetMs);
  }
  /** Windows whose clock is this one from their first line on. */
  opener(browser: Browser): Opener {
    return {
      newPage: async () => {
        const page = await browser.newPage();
        await page.addInitScript((startMs) => {
          const bent = globalThis as { bentMs?: number };
          bent.bentMs = startMs;
          const RealDate = Date;
          globalThis.Date = class extends RealDate {
            constructor(...args: unknown[]) {
              if (args.length === 0) super(RealDate.now() + (bent.bentMs ?? 0));
              else super(...(args as [number]));
            }
            static override now = () => RealDate.now() + (bent.bentMs ?? 0);
          } as DateConstructor;
        }, this.#offsetMs);
        return page;
      },
    };
  }
}

export const clock: Fault = (options) =>
  eachTry("clock", options, ({ folder, index, ...parts }) =>
    (index % 2 === 0 ? whilePacking : whileEditing)(folder, parts),
  );

async function whileEditing(folder: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const path = join(folder, "library.crewglass");
  const bent = new BentClock(folder);
  const ledger = new Ledger();
  const view = dice.pick(["marks", "grades", "times"] as const);
  for (let start = 0; start < 3; start++) {
    await bent.jump(dice.pick(jumpsMs), null);
    const program = startProgram(path, { env: bent.env });
    const window = await openDemo(bent.opener(browser), await program.address);
    const { text } = await goTo(window.page, view);
    const known = ledger.texts.get(view);
    if (known !== undefined && known !== text) losses.push(`start ${start + 1}: ${differenceOf(known, text)}`);
    ledger.take(view, text);
    const user = new ScriptedUser({ page: window.page, dice, ledger, view });
    for (let edits = 0; edits < 4; edits++) {
      await bent.jump(dice.pick(jumpsMs), window.page);
      tally.add("jumps of the clock");
      const end = await user.edit();
      tally.add(`edits ${end}`);
      if (end !== "saved" && end !== "refused") losses.push(`${user.last} was ${end}: ${user.refusal}`);
    }
    // All that was done since this start is taken back in its order, and made again.
    const done: { before: string; after: string }[] = [];
    for (let step = ledger.next("undo", view); step && done.length < 3; step = ledger.next("undo", view)) {
      done.push(step);
      await bent.jump(dice.pick(jumpsMs), window.page);
      const end = await user.undo();
      const is = ledger.texts.get(view) ?? "";
      if (end !== "saved" || is !== step.before) losses.push(`undo: ${end}, ${differenceOf(step.before, is)}`);
    }
    for (const step of done.toReversed()) {
      const end = await user.redo();
      const is = ledger.texts.get(view) ?? "";
      if (end !== "saved" || is !== step.after) losses.push(`redo: ${end}, ${differenceOf(step.after, is)}`);
    }
    await window.close();
    await (dice.share() < 0.5 ? program.kill() : program.stop());
    losses.push(...rawFaults(path));
  }
  return losses;
}

/** A grade said again and again under a clock that jumps, each time packed; then taken in elsewhere in any order. */
async function whilePacking(folder: string, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const bent = new BentClock(folder);
  const path = join(folder, "sender.crewglass");
  let program: Program = startProgram(path, { env: bent.env });
  const window = await openDemo(bent.opener(browser), await program.address);
  const { page } = window;
  await goTo(page, "grades");
  const said: string[] = [];
  const packets: string[] = [];
  for (let round = 0; round < 3; round++) {
    await bent.jump(dice.pick(jumpsMs), page);
    tally.add("jumps of the clock");
    const points = dice.pick(cell.points.filter((one) => one !== said.at(-1)));
    await say(page, points);
    said.push(points);
    packets.push(await pack(page, join(folder, `packet-${round}`)));
  }
  await page.getByText("All versions", { exact: true }).click();
  const versions = page.locator("ol.versions li b");
  await versions.nth(said.length - 1).waitFor();
  // A reason said anew is a version of the same points.
  const listed = (await versions.allInnerTexts())
    .map((one) => String(Number(one)))
    .filter((one, at, all) => one !== all[at - 1]);
  if (listed.join() !== said.join()) losses.push(`${said.join()} was said, and the versions stand as ${listed.join()}`);
  // Finished, and amended under a clock that has gone back: it still says that it was amended.
  await page.getByRole("button", { name: "Finalise…" }).click();
  await page
    .getByRole("dialog")
    .getByRole("button", { name: /^Finalise/u })
    .click();
  await page.getByText(/· finalised/u).waitFor();
  await bent.jump(-400 * 24 * 60 * minuteMs, page);
  const amended = dice.pick(cell.points.filter((one) => one !== said.at(-1)));
  await say(page, amended);
  await page.locator("ol.versions li b", { hasText: amended }).last().waitFor();
  if ((await page.locator("ol.versions li").last().locator("em").count()) === 0)
    losses.push("a grade that was amended after the game was finished does not say so");
  const late = await page
    .locator("ol.versions li", { has: page.locator("em") })
    .locator("b")
    .allInnerTexts();
  if (late.some((one) => Number(one) !== Number(amended)))
    losses.push("what was said before the game was finished is shown as amended");
  await window.close();
  await program.stop();

  const other = join(folder, "assigner.crewglass");
  program = startProgram(other, { env: bent.env });
  await program.address;
  await program.stop();
  const order = [...packets].sort(() => dice.share() - 0.5);
  const taken = startCommand("import", other, ...order);
  if ((await taken.ended) !== 0) losses.push(`an import failed: ${taken.output()}`);
  program = startProgram(other, { env: bent.env });
  const reader = await openDemo(bent.opener(browser), await program.address);
  await goTo(reader.page, "grades");
  const whose = reader.page.getByLabel("Grades of");
  if ((await whose.count()) > 0) {
    const names = await whose.locator("option").allInnerTexts();
    await whose.selectOption({ label: names.find((name) => name !== "You") ?? "You" });
  }
  const shown = reader.page.getByRole("button", { name: cell.name });
  const end = performance.now() + 8000;
  const wanted = `graded ${said.at(-1)}`;
  while (!(await shown.getAttribute("aria-label"))?.includes(wanted) && performance.now() < end)
    await reader.page.waitForTimeout(30);
  const is = await shown.getAttribute("aria-label");
  if (!is?.includes(wanted)) losses.push(`${said.join()} was said and packed, and what came is ${is}`);
  tally.add("packets taken in in any order", order.length);
  await reader.close();
  await program.stop();
  losses.push(...rawFaults(path), ...rawFaults(other));
  return losses;
}

/** Gives the cell so many points, with a reason, and waits until that is shown as saved. */
async function say(page: Page, points: string): Promise<void> {
  const button = page.getByRole("button", { name: cell.name });
  await button.click();
  await page.keyboard.press(points);
  const reason = page.getByLabel("Reason");
  await reason.fill(`Seen as ${points} on the film.`);
  await page.getByLabel("Comment").focus();
  await page.getByRole("button", { name: new RegExp(`^Play 3, R, station: graded ${points}`, "u") }).waitFor();
  await page.locator("output.saved", { hasText: "saved" }).waitFor();
}

async function pack(page: Page, into: string): Promise<string> {
  mkdirSync(into);
  await page.getByRole("button", { name: "Packet…" }).click();
  await page.getByLabel("Into a new folder in").fill(into);
  await page.getByRole("button", { name: "Write the packet" }).click();
  await page.getByText(/\.crewpacket written to/u).waitFor();
  await page.keyboard.press("Escape");
  const inside = join(into, readdirSync(into)[0] ?? "");
  return join(inside, readdirSync(inside)[0] ?? "");
}
