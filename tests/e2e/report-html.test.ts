/**
 * A written report in a browser: it asks for nothing outside itself, passes the rules of axe by day, by night and on a phone, its
 * steps go by the keyboard, and on paper they are all there.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright";
import { afterAll, beforeAll, expect, test } from "vitest";
import { htmlReport } from "#core/report/html";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { sampleAssets, sampleReport } from "../helpers/sample-report.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser: Browser;
let folder: string;
let address: string;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
  folder = mkdtempSync(join(tmpdir(), "crewglass-report-"));
  const file = join(folder, "report.html");
  writeFileSync(file, htmlReport(sampleReport(), sampleAssets()));
  address = pathToFileURL(file).href;
});

afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

async function withPage(options: BrowserContextOptions, use: (page: Page) => Promise<void>): Promise<void> {
  const context = await browser.newContext({ offline: true, ...options });
  try {
    const page = await context.newPage();
    await page.goto(address);
    await use(page);
  } finally {
    await context.close();
  }
}

test("it asks for nothing, breaks none of its own rules, and its still and its moving picture are shown", async () => {
  const context = await browser.newContext({ offline: true });
  const page = await context.newPage();
  const asked: string[] = [];
  const said: string[] = [];
  page.on("request", (request) => asked.push(request.url().slice(0, 60)));
  page.on("console", (message) => said.push(message.text()));
  page.on("pageerror", (error) => said.push(error.message));
  await page.goto(address);
  const video = page.getByLabel("alt of the moving one");
  await expect.poll(() => video.evaluate((one: HTMLVideoElement) => one.videoWidth)).toBe(32);
  // A still that could not be read would be drawn as nothing.
  const stillWidth = await page.locator("image").evaluate(async (image) => {
    const picture = new Image();
    picture.src = image.getAttribute("href") ?? "";
    await picture.decode();
    return picture.naturalWidth;
  });
  expect(stillWidth).toBe(64);
  expect(asked.filter((url) => !url.startsWith("data:"))).toEqual([address.slice(0, 60)]);
  expect(said).toEqual([]);
  await context.close();
});

test.each([
  ["by day", { viewport: { width: 1100, height: 900 } }],
  ["by night", { viewport: { width: 1100, height: 900 }, colorScheme: "dark" as const }],
  ["on a phone", { viewport: { width: 340, height: 700 } }],
])("nothing that axe knows is amiss %s, and nothing is wider than the page", async (_, options) => {
  // The page forbids scripts; those of the check come from outside it.
  await withPage({ ...options, bypassCSP: true }, async (page) => {
    await page.evaluate(axe);
    const found = await page.evaluate(async () => {
      type Violation = { id: string; help: string; nodes: { html: string }[] };
      const { axe: runner } = globalThis as unknown as { axe: { run(): Promise<{ violations: Violation[] }> } };
      return (await runner.run()).violations.map(
        ({ id, help, nodes }) => `${id}: ${help} ${nodes.map(({ html }) => html.slice(0, 120)).join(" ")}`,
      );
    });
    expect(found).toEqual([]);
    const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    expect(wide).toBe(room);
  });
});

test("steps go by the arrow keys, one picture at a time, and the focus is to be seen", async () => {
  await withPage({}, async (page) => {
    const shown = () => page.locator(".step:visible svg.picture").evaluateAll((all) => all.map((one) => one.ariaLabel));
    expect(await shown()).toEqual(["alt of the snap"]);
    await page.getByRole("radio", { name: "snap" }).focus();
    await page.keyboard.press("ArrowRight");
    expect(await shown()).toEqual(["alt of the catch"]);
    expect(await page.getByRole("radio", { name: "catch" }).isChecked()).toBe(true);
    const outline = await page.evaluate(() => {
      const label = document.querySelector("input:focus + label");
      return label ? getComputedStyle(label).outlineStyle : "there is no label";
    });
    expect(outline).toBe("solid");
  });
});

test("on paper every step is there, and the moving picture says what it shows", async () => {
  await withPage({}, async (page) => {
    await page.emulateMedia({ media: "print" });
    expect(await page.locator(".step:visible").count()).toBe(2);
    expect(await page.locator(".step .label:visible").allTextContents()).toEqual(["snap", "catch"]);
    expect(await page.getByRole("radio").count()).toBe(0);
    expect(await page.locator("video:visible").count()).toBe(0);
    expect(await page.locator(".printed:visible").textContent()).toContain("alt of the moving one");
  });
});
