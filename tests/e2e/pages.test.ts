/**
 * The demo game said of by keys and clicks: graded, one finding overruled with a reason, a no-call ruled on, finalised, amended;
 * then its pages written, and read back from the disk by other readers (pdfjs, a browser with no network, axe, csv-parse).
 */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { parse } from "csv-parse/sync";
import type { Page } from "playwright";
import { expect, onTestFinished, test } from "vitest";
import { readPdf } from "../helpers/read-pdf.ts";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const crew = { R: "Tamsin Orrelby", LJ: "Ivo Brandwick", FJ: "Petra Quillane", BJ: "Osric Hallowmere" };

const cell = (page: Page, play: number, position: string, criterion = "station") =>
  page.getByRole("button", { name: new RegExp(`^Play ${play}, ${position}, ${criterion}:`, "u") });
const nameOf = (page: Page, play: number, position: string) => cell(page, play, position).getAttribute("aria-label");
const open = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Pages of the grade sheet" }).getByRole("button", { name, exact: true }).click();

function aFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-pages-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

test("graded, overruled with a reason, ruled on, finalised and amended; the pages say so, and hold nobody else", async () => {
  const { page } = window;
  const folder = aFolder();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Observer", exact: true }).click();
  await page.getByLabel(/^Your name/u).fill("Wendeline Askew");
  await page.getByRole("button", { name: "Keep", exact: true }).click();

  // FJ of play 2 was put three yards short by the scene; a person overrules it, and accepts what is said of play 3.
  await expect.poll(() => nameOf(page, 2, "FJ")).toMatch(/not graded, suggested 2/u);
  await cell(page, 2, "FJ").click();
  await page.keyboard.press("4");
  await page.getByLabel("Reason").fill("The chain crew stood in the way.");
  await page.getByLabel("Comment").focus();
  await expect.poll(() => nameOf(page, 2, "FJ")).toMatch(/graded 4, suggested 2/u);
  await page.getByRole("button", { name: /^Evidence/u }).click();
  await page.getByText("Taken: 0:06.70").waitFor();
  await cell(page, 3, "FJ").click();
  await page.keyboard.press("a");
  await expect.poll(() => nameOf(page, 3, "FJ")).toMatch(/graded 2/u);
  await page.getByLabel(/^Private note on FJ, play 3/u).fill("ask him about the chains");
  await cell(page, 2, "LJ").click();
  await page.keyboard.press("3");
  await page.getByLabel("Reason").fill("Half a yard behind all day.");
  await page.getByLabel("Comment").focus();
  await expect.poll(() => nameOf(page, 2, "LJ")).toMatch(/graded 3/u);
  await page.getByRole("button", { name: /^The game, FJ, station:/u }).click();
  await page.keyboard.press("4");
  await page.getByRole("button", { name: /^The game, FJ, station: graded 4/u }).waitFor();

  await cell(page, 10, "FJ", "look").click();
  await page.getByText("straight-lined").first().waitFor();
  await open(page, "Rulings");
  await page.getByLabel("What happened").selectOption("no-call");
  await page.getByLabel("Judged as").selectOption("incorrect");
  await page.getByLabel("Foul").fill("Shirt held");
  await page.getByText(/the looks say: .*FJ had a matter there/u).waitFor();
  await page.getByRole("button", { name: "Take those who had a matter" }).click();
  expect(await page.getByRole("checkbox", { name: "FJ" }).isChecked()).toBe(true);
  await page.getByLabel("Spot given, yd from the goal line").fill("41");
  await page.getByLabel("Comment").fill("The arm is pulled back before the ball comes.");
  await page.getByText("“41” is not a number from 0 to 40.").waitFor();
  await page.getByLabel("Spot given, yd from the goal line").fill("12");
  await page.getByRole("button", { name: "Keep the ruling" }).click();
  await page.getByRole("cell", { name: "incorrect no-call" }).waitFor();
  await page.getByRole("cell", { name: /no ball marked to hold it to|yd (ahead of|short of) where/u }).waitFor();
  await page.getByRole("cell", { name: "The arm is pulled back before the ball comes." }).waitFor();

  // From here on only amendments.
  await page.getByRole("button", { name: "Finalise…" }).click();
  await page.getByRole("button", { name: "Finalise it" }).click();
  await page
    .getByText(/finalised/u)
    .first()
    .waitFor();
  expect(await page.getByRole("button", { name: "Nothing to undo" }).isDisabled()).toBe(true);
  await open(page, "Sheet");
  await cell(page, 3, "FJ").click();
  await page.keyboard.press("3");
  await page
    .getByRole("alert")
    .getByText(/finalised: say why it is amended/u)
    .waitFor();
  await page.getByLabel("Reason").fill("Seen from the end zone.");
  await page.getByLabel("Comment").focus();
  await expect.poll(() => nameOf(page, 3, "FJ")).toMatch(/graded 3, suggested 2/u);
  await page.getByText("All versions").click();
  await page.getByText("amended", { exact: true }).waitFor();
  expect(await page.locator(".versions li").count()).toBe(2);
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await expect.poll(() => page.getByRole("button", { name: "Import a cut list…" }).isDisabled()).toBe(true);
  await page.getByRole("button", { name: "Grades", exact: true }).click();

  await open(page, "Pages");
  await page.getByRole("button", { name: /Petra Quillane/u }).click();
  await page.getByRole("heading", { name: "Feedback for Petra Quillane, Field judge" }).waitFor();
  const facts = await page.locator(".report .card").first().locator("dd").allInnerTexts();
  expect(facts.length).toBeGreaterThan(3);
  await page.getByLabel(/CSV and JSON/u).check();
  await page.getByLabel("Into a new folder in").fill(join(folder, "Exports"));
  await page.getByRole("button", { name: "Write 4 pages" }).click();
  await page.getByText(/^13 files written to/u).waitFor({ timeout: 60_000 });
  await page.getByRole("button", { name: "Open the folder" }).click();
  await page.getByText(/cannot be opened from here/u).waitFor();

  const out = join(folder, "Exports", "Evaluation, Kiln Street Herons v Port Ansel Lanterns, 2026-09-19");
  expect(readdirSync(join(folder, "Exports"))).toHaveLength(1);
  for (const [position, name] of Object.entries(crew)) {
    const file = readdirSync(out).find((one) => one.startsWith(name) && one.endsWith(".pdf"))!;
    const pdf = await readPdf(readFileSync(join(out, file)));
    const text = pdf.pages.map((one) => one.text).join(" ");
    // In a picture's letters a name may stand by chance.
    const html = readFileSync(join(out, file.replace(/pdf$/u, "html")), "utf8").replaceAll(/data:image[^"]+/gu, "");
    for (const whole of [text, html]) {
      for (const [other, theirs] of Object.entries(crew))
        if (other !== position) for (const part of theirs.split(" ")) expect(whole.includes(part), part).toBe(false);
      expect(whole.includes("ask him about the chains")).toBe(false);
      expect(whole.includes("Wendeline")).toBe(false);
      expect(whole.includes("Half a yard behind")).toBe(position === "LJ");
    }
    expect(pdf.isMarked).toBe(true);
    if (position !== "FJ") continue;
    // The numbers on paper are those on the screen.
    const plain = (one: string) => one.replaceAll(/\s+/gu, "");
    for (const fact of facts) expect(plain(text)).toContain(plain(fact));
    expect(plain(text)).toContain(plain("The chain crew stood in the way."));
    expect(text).toMatch(/Amended \d{4}-\d\d-\d\d\./u);
    expect(plain(text)).toContain(plain("incorrect no-call"));
    // Overruled upwards: no longer something to work on, but the grade is there with its reason.
    expect(text).not.toMatch(/Play 2, 2nd & 9[^✓]*missed/u);
    expect(pdf.outline.join(" ")).toMatch(/To work on/u);
  }

  // A page in a browser that has no network: nothing asked for, no rule of accessibility broken, read in the order it stands.
  const offline = await window.context.browser()!.newContext({ offline: true });
  onTestFinished(() => offline.close());
  const read = await offline.newPage();
  const asked: string[] = [];
  read.on("request", (request) => asked.push(request.url()));
  await read.goto(pathToFileURL(join(out, "Petra Quillane, Field judge.html")).href);
  await read.evaluate(axe);
  const violations = await read.evaluate(async () => {
    const { axe: runner } = globalThis as unknown as { axe: { run(): Promise<{ violations: { id: string }[] }> } };
    return (await runner.run()).violations.map(({ id }) => id);
  });
  expect(violations).toEqual([]);
  expect(asked.filter((address) => !address.startsWith("data:"))).toHaveLength(1);
  expect(await read.getByRole("heading").allInnerTexts()).toEqual(
    expect.arrayContaining(["Feedback for Petra Quillane, Field judge", "Done well", "To work on", "Grades"]),
  );
  const order = (await read.getByRole("heading", { level: 2 }).allInnerTexts()).map((one) => one.trim());
  expect(order.slice(0, 4)).toEqual(["Done well", "To work on", "Grades", "Rulings"]);
  expect(await read.getByRole("img").first().getAttribute("aria-label")).toMatch(/^Frame of the film\./u);

  const grades = parse<Record<string, string>>(readFileSync(join(out, "grades.csv")), { columns: true, bom: true });
  expect(grades.find((row) => row["play"] === "3")).toMatchObject({ points: "3", amended: "true" });
  expect(grades.find((row) => row["play"] === "2" && row["position"] === "FJ")).toMatchObject({
    points: "4",
    suggested: "2",
    amended: "false",
  });
  expect(existsSync(join(out, "columns.txt"))).toBe(true);
});

test("an export given up half-way leaves nothing; the crew's page is written too, and the observer's name where it is let", async () => {
  const { page } = window;
  const folder = aFolder();
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Observer", exact: true }).click();
  await page.getByLabel(/^Your name/u).fill("Wendeline Askew");
  await page.getByRole("button", { name: "Keep", exact: true }).click();
  await open(page, "Pages");
  await page.getByLabel("Into a new folder in").fill(folder);
  await page.getByRole("button", { name: "Write 4 pages" }).click();
  await page.getByRole("button", { name: "Cancel", exact: true }).click();
  await page.getByText("Cancelled; nothing of it is left.").waitFor();
  expect(readdirSync(folder)).toEqual([]);

  for (const name of Object.values(crew)) await page.getByRole("checkbox", { name: new RegExp(name, "u") }).uncheck();
  await page.getByLabel("Write the page of The crew").check();
  await page.getByLabel("Write the page of The game").check();
  await page.getByLabel("With the observer’s name").check();
  await page.getByRole("button", { name: "Write 2 pages" }).click();
  await page.getByText(/^4 files written to/u).waitFor({ timeout: 60_000 });
  const out = join(folder, readdirSync(folder)[0]!);
  const html = readFileSync(join(out, "The crew.html"), "utf8");
  for (const name of [...Object.values(crew), "Wendeline Askew"]) expect(html).toContain(name);
  await page.getByLabel("Into a new folder in").fill("not a whole path");
  await page.getByRole("button", { name: "Write 2 pages" }).click();
  await page
    .getByRole("alert")
    .getByText(/Nothing was written\. Give the folder's whole path/u)
    .waitFor();
});

test("an official's own review: their position first, the last ten looks as pictures, and the film opened at one", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Observer", exact: true }).click();
  await page.getByLabel("Whose film this library is for").selectOption("FJ");
  await page.getByRole("button", { name: "Keep", exact: true }).click();
  await expect.poll(() => page.locator('.grade-table th[scope="colgroup"]').first().innerText()).toBe("FJ");
  await open(page, "Own review");
  expect(await page.getByLabel("Position").inputValue()).toBe("FJ");
  await page.getByRole("button", { name: "LK-PAIR" }).click();
  await page.getByRole("heading", { name: "The last 10 of LK-PAIR" }).waitFor();
  const row = page.locator(".rule-row button");
  await expect.poll(() => row.count()).toBe(10);
  // Straight-lined in play 10, as the scene planted it.
  const missed = page.getByRole("button", { name: /^missed, play 10 0:49\.03, .*FJ was straight-lined/u });
  await expect
    .poll(() => missed.locator("img").evaluate((one: HTMLImageElement) => one.src.includes("image%2Fjpeg")))
    .toBe(true);
  await page.getByLabel(/^Private note on FJ in this game/u).fill("look for the gap");
  await missed.click();
  await page.getByText("frame 1471", { exact: true }).waitFor();
  await page.getByText("Private note on FJ").first().waitFor();
  await open(page, "Own review");
  expect(await page.getByLabel(/^Private note on FJ in this game/u).inputValue()).toBe("look for the gap");
});
