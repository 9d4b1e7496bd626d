/**
 * Every place of the window against the rules of axe (WCAG 2.2, A and AA), by day, and its contrasts by night: nothing serious
 * or worse. And by keyboard alone: each place is reached, and what has the focus can be seen to have it.
 */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoWindow } from "./demo-window.ts";
import { newGame } from "../helpers/new-game.ts";
import { serious } from "./axe-rules.ts";

const window = demoWindow();

const placed: readonly { readonly name: string; readonly go: (page: Page) => Promise<unknown> }[] = [
  { name: "Games", go: (page) => page.getByRole("button", { name: "Games", exact: true }).click() },
  {
    name: "a new game",
    go: async (page) => {
      await page.getByRole("button", { name: "Games", exact: true }).click();
      await page.getByRole("button", { name: /^New game/u }).click();
    },
  },
  { name: "Breakdown", go: (page) => page.getByRole("button", { name: "Breakdown", exact: true }).click() },
  {
    name: "a cut list taken in",
    go: async (page) => {
      await page.getByRole("button", { name: "Breakdown", exact: true }).click();
      await page.getByRole("button", { name: "Import a cut list…" }).click();
      await page.getByLabel("Or paste it here").fill("start,end,down\n1,2,1\nx,3,2\n");
    },
  },
  {
    name: "a cut list given out",
    go: (page) => page.getByRole("button", { name: "Export a cut list…" }).click(),
  },
  { name: "Grades", go: (page) => page.getByRole("button", { name: "Grades", exact: true }).click() },
  ...["Rulings", "Pages", "Own review"].map((name) => ({
    name,
    go: (page: Page) => page.getByRole("button", { name, exact: true }).click(),
  })),
  {
    name: "scales",
    go: async (page) => {
      await page.getByRole("button", { name: "Sheet", exact: true }).click();
      await page.getByRole("button", { name: "Scales…" }).click();
    },
  },
  {
    name: "a teaching page",
    go: async (page) => {
      await page.getByRole("button", { name: "Teaching", exact: true }).click();
      await page.locator("summary").filter({ hasText: "Play 9, " }).click();
      await page.getByRole("button", { name: /^Add Play 9, .*: the whole play$/u }).click();
      await page.getByRole("button", { name: "Add words of your own" }).click();
      await page.getByRole("group", { name: "Play 9, step by step" }).waitFor();
    },
  },
  { name: "Findings", go: (page) => page.getByRole("button", { name: "Field book", exact: true }).click() },
  { name: "Play", go: (page) => page.getByRole("tab", { name: /Play/u }).click() },
  { name: "Survey", go: (page) => page.getByRole("tab", { name: /Survey/u }).click() },
  { name: "Marks", go: (page) => page.getByRole("tab", { name: /Marks/u }).click() },
  {
    name: "a whole play",
    go: async (page) => {
      await page.getByRole("tab", { name: /Findings/u }).click();
      await page.getByRole("button", { name: /^Play 9, /u }).press("Enter");
      await page.getByText("Scores", { exact: true }).click();
    },
  },
  ...["Library", "Diagnostics", "Licences"].map((name) => ({
    name,
    go: (page: Page) => page.getByRole("button", { name, exact: true }).click(),
  })),
  { name: "Season", go: (page) => page.getByRole("button", { name: "Season", exact: true }).click() },
  ...["Eligibility", "Agreement", "Observers", "Places", "People", "Packets"].map((name) => ({
    name,
    go: (page: Page) => page.getByRole("button", { name, exact: true }).click(),
  })),
  { name: "Mechanics", go: (page) => page.getByRole("button", { name: "Mechanics", exact: true }).click() },
  {
    name: "the films",
    go: async (page) => {
      await page.getByRole("button", { name: "Field book", exact: true }).click();
      await page.getByRole("button", { name: "Films…" }).click();
    },
  },
  { name: "the keys", go: (page) => page.getByRole("button", { name: "Keys", exact: true }).click() },
  {
    name: "a first game",
    go: async (page) => {
      await newGame(page);
      await page.getByRole("region", { name: "First game" }).waitFor();
    },
  },
];

test("nothing serious in any place, by day, nor in its contrasts by night", async () => {
  const { page } = window;
  const found: string[] = [];
  for (const { name, go } of placed) {
    await go(page);
    await page.waitForTimeout(250);
    for (const line of await serious(page, null)) found.push(`${name}: ${line}`);
    await page.evaluate(() => document.documentElement.setAttribute("data-sheet", "dark"));
    for (const line of await serious(page, ["color-contrast"])) found.push(`${name}, by night: ${line}`);
    await page.evaluate(() => document.documentElement.setAttribute("data-sheet", "light"));
    const dialog = page.getByRole("dialog");
    if ((await dialog.count()) > 0) {
      await page.keyboard.press("Escape");
      await dialog.waitFor({ state: "detached" });
    }
  }
  expect(found.join("\n")).toBe("");
}, 120_000);

test("by keyboard alone: each place by its button, and the focus is to be seen wherever it goes", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Games", exact: true }).focus();
  for (const name of ["Games", "Breakdown", "Field book", "Grades", "Season", "Mechanics", "Library"]) {
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe(name);
    await page.keyboard.press("Enter");
    await expect
      .poll(() => page.locator(".spine").getByRole("button", { name, exact: true }).getAttribute("aria-current"))
      .toBe("page");
    await page.keyboard.press("Tab");
  }
  await page.getByRole("button", { name: "Breakdown", exact: true }).press("Enter");
  await page.locator(".play-sheet tbody tr").first().waitFor();
  const seen = new Set<string>();
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    const { outline, label } = await page.evaluate(() => {
      const element = document.activeElement as HTMLElement;
      const style = getComputedStyle(element);
      const marked = style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) >= 1;
      return { outline: marked || element === document.body, label: element.outerHTML.slice(0, 120) };
    });
    expect(outline, label).toBe(true);
    seen.add(label);
  }
  expect(seen.size).toBeGreaterThan(20);
});
