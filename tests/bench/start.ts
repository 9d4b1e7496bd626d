/**
 * Start-up: from asking for the address to a first usable screen (the demo game's frame decoded, its findings read), against
 * a page of the same server that holds one small drawing and nothing else in the same browser. The program's own start is given beside it.
 */
import { chromium } from "playwright";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { ensureBuilt, launchShell } from "../helpers/launch.ts";
import { benchLine } from "./line.ts";

const rounds = 7;
const median = (values: readonly number[]) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

await ensureBuilt();
const browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
const programMs: number[] = [];
const usableMs: number[] = [];
const emptyMs: number[] = [];
for (let round = 0; round < rounds; round++) {
  const began = performance.now();
  const shell = await launchShell();
  programMs.push(performance.now() - began);
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  const asked = performance.now();
  await page.goto(shell.address);
  await page.locator("article.finding").first().waitFor();
  usableMs.push(performance.now() - asked);
  const drawing = await page.locator("link[rel=icon]").evaluate((link) => (link as HTMLLinkElement).href);
  const other = await context.newPage();
  const askedEmpty = performance.now();
  await other.goto(drawing);
  emptyMs.push(performance.now() - askedEmpty);
  await context.close();
  await shell.stop();
}
await browser.close();
benchLine("start.program-with-fresh-library", median(programMs), "ms", "<=", 2000);
benchLine("start.first-usable-screen", median(usableMs), "ms", "<=", 2000);
benchLine("start.empty-page", median(emptyMs), "ms", "<=", 1000);
benchLine("start.over-empty-page", median(usableMs) - median(emptyMs), "ms", "<=", 2000);
