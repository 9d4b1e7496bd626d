/** A window on the demo game, in a real browser, for each test of a file. */
import { type Browser, type BrowserContext, chromium, type Page } from "playwright";
import { afterAll, beforeAll, beforeEach, expect, onTestFinished } from "vitest";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell, type LaunchedShell } from "../helpers/launch.ts";

export type DemoWindow = { page: Page; context: BrowserContext; shell: LaunchedShell };

/** Called once at the top of a file; what it returns is filled in before each test. */
export function demoWindow(): DemoWindow {
  let browser: Browser;
  const window = {} as DemoWindow;
  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
  });
  afterAll(() => browser.close());
  beforeEach(async () => {
    window.shell = await launchShell();
    window.context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    window.page = await window.context.newPage();
    const { context, shell, page } = window;
    onTestFinished(async () => {
      await context.close();
      await shell.stop();
    });
    await page.goto(shell.address);
    await page.locator("article.finding").first().waitFor();
  });
  return window;
}

/** By the keys a person has: ten frames and one frame, on or back. */
export async function goToFrame(page: Page, wanted: number): Promise<void> {
  for (;;) {
    const text = await page.getByLabel("Time and frame").innerText();
    const away = wanted - Number(/frame (\d+)/u.exec(text)?.[1]);
    if (away === 0) return;
    await page.keyboard.press(`${Math.abs(away) >= 10 ? "Shift+" : ""}${away > 0 ? "w" : "q"}`);
    await expect.poll(() => page.getByLabel("Time and frame").innerText()).not.toBe(text);
  }
}
