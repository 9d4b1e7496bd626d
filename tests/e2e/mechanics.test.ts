/** The mechanics books as a person works with them: a rule read on the field, a copy changed, a book given out and taken in. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Locator, Page } from "playwright";
import { beforeEach, expect, test } from "vitest";
import { temporaryFolder } from "../main/store/temporary-library.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();
let page: Page;
beforeEach(async () => {
  page = window.page;
  await page.getByRole("button", { name: "Mechanics", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "Flag, crew of four" }).waitFor();
});

const pickRule = (id: string): Promise<void> =>
  page
    .getByRole("navigation", { name: "Rules of the book" })
    .getByRole("button", { name: new RegExp(`^${id} `, "u") })
    .click();
const field = (label: string): Locator =>
  page.getByRole("group", { name: "Change it" }).getByRole("textbox", { name: label, exact: true });
const standing = (): Locator => page.locator(".book-standing").getByRole("status");
const caption = (): Promise<string> => page.locator(".rule-plan .caption").innerText();

/** Ends of the target drawn on the plan, in yards: the plan's own units. */
async function target(): Promise<number[]> {
  const points = await page.locator(".rule-plan polygon.ink-target").first().getAttribute("points");
  const pairs = (points ?? "").split(" ").map((pair) => pair.split(",").map(Number));
  const [xs, ys] = [pairs.map(([x = NaN]) => x), pairs.map(([, y = NaN]) => y)];
  return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
}

async function copyBook(): Promise<void> {
  await page.getByRole("button", { name: "Copy the book" }).click();
  await page.getByRole("heading", { level: 1, name: "Flag, crew of four, copy" }).waitFor();
}

test("a rule is read beside the field, which follows the situation, the formation and a player moved by hand", async () => {
  await pickRule("ST-R-PRE");
  // Common practice: 7 yd behind and wide of the deepest back, who stands 6 yd behind the line at x = 40, at y = 22.5.
  expect(await target()).toEqual([26.5, 27.5, 24, 25]);
  await page.getByText("common practice; there is no source to cite").waitFor();
  await page.getByLabel("From own goal line, yd").fill("40");
  await page.keyboard.press("Enter");
  expect(await target()).toEqual([36.5, 37.5, 24, 25]);

  const back = page.getByRole("button", { name: /^A back,/u });
  await back.focus();
  for (let steps = 0; steps < 3; steps++) await page.keyboard.press("ArrowLeft");
  expect(await target()).toEqual([33.5, 34.5, 24, 25]);
  const box = (await back.boundingBox())!;
  const plan = (await page.locator(".plan-players").boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  // The plan is 110 yd by 50 with its margin of 5: five yards across, toward the far sideline.
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 - (plan.height * 5) / 50, { steps: 4 });
  await page.mouse.up();
  const [, , low = 0] = await target();
  expect(Math.abs(low - 19)).toBeLessThan(0.3);
  expect(await page.getByLabel("Formation").inputValue()).toBe("by-hand");

  await pickRule("ST-FJ-PRE-GAIN");
  expect(await caption()).toMatch(/does not apply/u);
  await page.getByRole("combobox", { name: "Down", exact: true }).selectOption("3");
  await page.getByLabel("To go, yd").fill("6");
  await page.keyboard.press("Enter");
  // 40 yd from the goal line at x = 10, and 6 to go.
  await expect.poll(caption).toMatch(/^FJ at 56\.0 yd from the left end line/u);

  await pickRule("ZN-BJ");
  expect(await page.locator(".rule-plan polygon.ink-zone").count()).toBeGreaterThan(0);
  await pickRule("KEY-BJ-RECEIVERS");
  expect(await caption()).toMatch(/^BJ has receiver 1/u);
  await page.keyboard.press("ArrowDown");
  await page.getByRole("region", { name: "Rule ZN-R", exact: true }).waitFor();
});

test("a copy is changed, a bad value is refused with its path as it is typed, and what is kept is there again", async () => {
  expect(await page.getByRole("group", { name: "Change it" }).count()).toBe(0);
  await page.getByText("None yet. Copy a book").waitFor();
  await copyBook();
  await pickRule("ST-R-PRE");
  await field("Depth to, yd").fill("-9");
  await expect
    .poll(() => standing().innerText())
    .toMatch(/^Refused at stations\[0\]\.depth\.yards: the range ends before/u);
  expect(await field("Depth to, yd").getAttribute("aria-invalid")).toBe("true");
  expect(await page.getByRole("button", { name: "Keep the changes" }).isDisabled()).toBe(true);
  await field("Depth to, yd").fill("six");
  await expect.poll(() => standing().innerText()).toMatch(/^Refused at stations\[0\]\.depth\.yards\.to:/u);
  await field("Depth to, yd").fill("-5.5");
  await expect.poll(() => standing().innerText()).toBe("It reads. Not kept yet.");
  // What reads is drawn before it is kept.
  expect(await target()).toEqual([26.5, 28.5, 24, 25]);
  await field("Sentence").fill("behind and wide of the back");
  await page.getByRole("button", { name: "Keep the changes" }).click();
  await expect.poll(() => standing().innerText()).toBe("Kept.");

  await page.reload();
  await page.getByRole("button", { name: "Mechanics", exact: true }).click();
  await page.getByRole("button", { name: /^Flag, crew of four, copy/u }).click();
  await pickRule("ST-R-PRE");
  expect(await field("Depth to, yd").inputValue()).toBe("-5.5");
  expect(await field("Sentence").inputValue()).toBe("behind and wide of the back");

  await page.getByRole("tab", { name: "Compare" }).click();
  const rows = page.getByRole("table").getByRole("row");
  await rows.filter({ hasText: "depth.yards.to" }).waitFor();
  expect(await rows.filter({ hasText: "depth.yards.to" }).innerText()).toMatch(/-5\.5\s+-6\.5/u);
  await page.getByText("1 rule differs, 58 say the same.").waitFor();
  // The head, the sentence and the one end of the range; the book's own name and id are no rule.
  expect(await rows.count()).toBe(3);
});

test("the text of the file is read as it is typed, with the line it fails on, and leaving asks", async () => {
  await copyBook();
  await page.getByRole("tab", { name: "File" }).click();
  const text = page.getByLabel("Text of the file");
  const kept = await text.inputValue();
  await text.fill(kept.replace('"graceYards": 3,', '"graceYards": 3,,'));
  const line = kept.slice(0, kept.indexOf('"graceYards"')).split("\n").length;
  await expect.poll(() => standing().innerText()).toMatch(new RegExp(`^Refused at line ${line}: not JSON`, "u"));
  await text.fill(kept.replace('"metFrom": 0.8', '"metFrom": 0.1'));
  await expect.poll(() => standing().innerText()).toMatch(/^Refused at grading\.metFrom:/u);
  await page.getByRole("button", { name: /^Tackle, crew of three/u }).click();
  await page.getByRole("dialog", { name: "Leave what you typed?" }).getByRole("button", { name: "Stay" }).click();
  expect(await text.inputValue()).toContain('"metFrom": 0.1');
  // A look at another place does not lose it.
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "Mechanics", exact: true }).click();
  expect(await text.inputValue()).toContain('"metFrom": 0.1');
  await page.getByRole("button", { name: "Drop the changes" }).click();
  await expect.poll(() => standing().innerText()).toBe("Kept.");
});

test("a book is given out, taken away and taken in again; a faulty file is refused with its path", async () => {
  await copyBook();
  const saving = page.waitForEvent("download");
  await page.getByRole("button", { name: "Export" }).click();
  const download = await saving;
  expect(download.suggestedFilename()).toBe("flag-crew-of-four-copy.json");
  const folder = temporaryFolder();
  const path = join(folder, "book.json");
  await download.saveAs(path);
  const given = readFileSync(path, "utf8");

  await page.getByRole("button", { name: "Take away…" }).click();
  await page.getByRole("button", { name: "Take the book away" }).click();
  await page.getByText("None yet. Copy a book").waitFor();
  await page.getByLabel("File of a mechanics book").setInputFiles(path);
  await page.getByRole("heading", { level: 1, name: "Flag, crew of four, copy" }).waitFor();
  await page.getByRole("tab", { name: "File" }).click();
  expect(await page.getByLabel("Text of the file").inputValue()).toBe(given);

  const faulty = join(folder, "faulty.json");
  writeFileSync(faulty, given.replace('"position": "BJ"', '"position": "ZZ"'));
  await page.getByLabel("File of a mechanics book").setInputFiles(faulty);
  const dialog = page.getByRole("dialog", { name: "This file is not taken in" });
  await dialog.getByText(/stations\[\d+\]\.position: ZZ is not a position of this book/u).waitFor();
});
