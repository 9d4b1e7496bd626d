/** The field of a game as a person chooses it: from the published ones, with what was painted there, or by its measures. */
import { type Browser, type BrowserContext, chromium, type Locator, type Page } from "playwright";
import { afterAll, beforeAll, beforeEach, expect, onTestFinished, test } from "vitest";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell, type LaunchedShell } from "../helpers/launch.ts";

let browser: Browser;
let shell: LaunchedShell;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
});
afterAll(() => browser.close());

beforeEach(async () => {
  shell = await launchShell();
  context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  onTestFinished(async () => {
    await context.close();
    await shell.stop();
  });
  await page.goto(shell.address);
  await page.locator("article.finding").first().waitFor();
  await page.getByRole("button", { name: "Games", exact: true }).click();
});

const choose = (label: string): Locator => page.getByRole("combobox", { name: label, exact: label === "Field" });
const measure = (label: string): Locator => page.getByRole("textbox", { name: label });
const plan = (): Locator => page.getByRole("dialog").getByRole("img", { name: /^Plan of the field/u });
const status = (): Locator => page.locator(".field-editor").getByRole("status");

async function startGame(): Promise<void> {
  await page.getByRole("button", { name: "New game…" }).click();
  await page.getByLabel("Home team").fill("Gull Lane");
  await page.getByLabel("Visitors").fill("Reed Bank");
}

async function makeIt(): Promise<void> {
  await page.getByRole("button", { name: "Make the game" }).click();
  await page.getByRole("heading", { name: "No film yet" }).waitFor();
}

/** Opens the field of the game just made. */
async function openField(title: string): Promise<void> {
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: `Field of ${title}` }).click();
  await plan().waitFor();
}

/** Both ends of every line of one ink on the plan, in the plan's own units: yards, counted from the far-left corner. */
async function inked(ink: string): Promise<number[][]> {
  const points = await plan()
    .locator(`polyline.ink-${ink}`)
    .evaluateAll((lines) => lines.map((line) => line.getAttribute("points") ?? ""));
  return points.map((text) => text.split(/[ ,]/u).map(Number));
}

test("a field of one's own measures is drawn as it is typed, refused while it does not fit, and kept", async () => {
  await startGame();
  await choose("Field").selectOption({ label: "A field of your own measures…" });
  const name = measure("Name of the field");
  expect(await name.evaluate((input) => input === document.activeElement)).toBe(true);
  await name.fill("Gull Lane park");
  for (const [label, text] of [
    ["Goal line to goal line", "45"],
    ["Each end zone", "8"],
    ["Width", "30"],
    ["A line every", "10"],
    ["Hash marks from sideline", "10"],
    ["Digits’ bottoms", ""],
    ["Digits’ tops", ""],
  ] as const)
    await measure(label).fill(text);

  const refusal = "The lines do not fit: 45 yd cannot be divided by 10.";
  await status().getByText(refusal).waitFor();
  const lines = measure("A line every");
  expect(await lines.getAttribute("aria-invalid")).toBe("true");
  // What is wrong belongs to the field it is wrong in, for a person who hears the form.
  const described = await lines.evaluate(
    (input) => document.getElementById(input.getAttribute("aria-describedby") ?? "")?.textContent,
  );
  expect(described).toBe(refusal);
  await page.getByRole("button", { name: "Make the game" }).click();
  expect(await page.getByRole("dialog").isVisible()).toBe(true);
  expect(await lines.evaluate((input) => input === document.activeElement)).toBe(true);

  await lines.fill("15");
  await status()
    .getByText(/45 yd between the goal lines, end zones of 8 yd, 30 yd wide/u)
    .waitFor();
  expect(await lines.getAttribute("aria-invalid")).toBe("false");
  // Goal lines at 8 and 53 of 61 yd, lines 15 yd apart between them, from sideline to sideline.
  expect(await inked("field-edge")).toEqual([
    [8, 30, 8, 0],
    [53, 30, 53, 0],
  ]);
  expect(await inked("field-line")).toEqual([
    [23, 30, 23, 0],
    [38, 30, 38, 0],
  ]);
  await makeIt();

  await openField("Gull Lane v Reed Bank");
  expect(await measure("Name of the field").inputValue()).toBe("Gull Lane park");
  expect(await measure("A line every").inputValue()).toBe("15");
  expect(await measure("Hash marks from sideline").inputValue()).toBe("10");
});

test("a college field with high school hash marks is drawn and kept so", async () => {
  await startGame();
  await choose("Field").selectOption("ncaa");
  const hashes = choose("Hash marks, from each sideline");
  expect(await hashes.locator("option:checked").innerText()).toBe("as the template: 60 ft");
  await hashes.selectOption({ label: "High school: 53 ft 4 in" });
  await status()
    .getByText(/Hash marks 53 ft 4 in from each sideline/u)
    .waitFor();
  await makeIt();

  await openField("Gull Lane v Reed Bank");
  expect(await choose("Field").inputValue()).toBe("ncaa");
  expect(await choose("Hash marks, from each sideline").inputValue()).toBe("nfhs");
  // Source: NFHS rule 1 digest: 53 ft 4 in from each sideline, here of 160 ft; a mark is 24 in, outward from there.
  const [near, far] = [(160 - 53 - 4 / 12) / 3, (53 + 4 / 12) / 3];
  const marks = await inked("field-mark");
  const inner = marks.map(([, y0 = 0, , y1 = 0]) => (y0 > 80 / 3 ? Math.min(y0, y1) : Math.max(y0, y1)));
  expect(inner.filter((y) => Math.abs(y - near) < 2e-3)).toHaveLength(80);
  expect(inner.filter((y) => Math.abs(y - far) < 2e-3)).toHaveLength(80);
  // None is left where college fields have them, 60 ft in.
  expect(inner.filter((y) => Math.abs(y - 20) < 0.5 || Math.abs(y - 100 / 3) < 0.5)).toEqual([]);
});

test("another field under a surveyed game asks first, names what would be lost, and is taken back whole", async () => {
  const title = "Kiln Street Herons v Port Ansel Lanterns";
  await openField(title);
  await choose("Field").selectOption("ifaf-5v5");
  await page.getByText(/stakes stand on points or lines that this field does not have/u).waitFor();
  await page.getByRole("button", { name: "Change the field" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.getByText("near sideline at left 15", { exact: true }).waitFor();
  await dialog.getByRole("button", { name: "Back to the field" }).click();
  expect(await choose("Field").inputValue()).toBe("ifaf-5v5");
  await page.getByRole("button", { name: "Cancel" }).click();
  await openField(title);
  expect(await choose("Field").inputValue()).toBe("flag-100x40");

  await choose("Field").selectOption("ifaf-5v5");
  await page.getByRole("button", { name: "Change the field" }).click();
  await page.getByRole("button", { name: /^Change the field and drop \d+ stakes$/u }).click();
  await dialog.waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Field book", exact: true }).click();
  await page.getByRole("tab", { name: /Survey/u }).click();
  await page.getByRole("heading", { name: "Surveyed" }).waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Undo: Change the field" }).click();
  await page.getByRole("heading", { name: "Surveyed" }).waitFor();
  expect(await page.getByRole("button", { name: /^Take the stake at/u }).count()).toBe(8);
  await openField(title);
  expect(await choose("Field").inputValue()).toBe("flag-100x40");
});
