/** The desk around the film, by keyboard and pointer: parts that keep their sizes, the film alone, and the shuttle. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoWindow } from "./demo-window.ts";

const window = demoWindow();

const heightOf = async (page: Page, selector: string) => (await page.locator(selector).boundingBox())!.height;
const widthOf = async (page: Page, selector: string) => (await page.locator(selector).boundingBox())!.width;
const frameOf = async (page: Page) =>
  Number(/frame (\d+)/u.exec(await page.getByLabel("Time and frame").innerText())?.[1]);

test("the plan and the sheet take the size that they are given, and have it still when the window opens again", async () => {
  const { page } = window;
  const plan = page.getByRole("separator", { name: "Height of the plan" });
  const usual = await heightOf(page, ".plan-pane");
  await plan.focus();
  await page.keyboard.press("Shift+ArrowUp");
  await expect.poll(() => heightOf(page, ".plan-pane")).toBeCloseTo(usual + 80, -0.5);
  expect(Number(await plan.getAttribute("aria-valuenow"))).toBeCloseTo(usual + 80, -0.5);
  await page.keyboard.press("ArrowDown");
  await expect.poll(() => heightOf(page, ".plan-pane")).toBeCloseTo(usual + 64, -0.5);

  const sheet = page.getByRole("separator", { name: "Width of the sheet" });
  const wide = await widthOf(page, "aside.sheet");
  const box = (await sheet.boundingBox())!;
  await page.mouse.move(box.x, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x - 60, box.y + 200, { steps: 4 });
  await page.mouse.up();
  await expect.poll(() => widthOf(page, "aside.sheet")).toBeCloseTo(wide + 60, -0.5);

  await page.reload();
  await page.locator("article.finding").first().waitFor();
  expect(await heightOf(page, ".plan-pane")).toBeCloseTo(usual + 64, -0.5);
  expect(await widthOf(page, "aside.sheet")).toBeCloseTo(wide + 60, -0.5);
  await page.getByRole("separator", { name: "Height of the plan" }).dblclick();
  await expect.poll(() => heightOf(page, ".plan-pane")).toBeCloseTo(usual, -0.5);
});

test("the film on the whole screen by its key and by its button, with the film's own keys at hand", async () => {
  const { page } = window;
  const isWhole = () => page.evaluate(() => document.fullscreenElement !== null);
  const filmShare = async () => (await heightOf(page, ".film-frame")) / 800;
  const before = await filmShare();
  await page.keyboard.press("9");
  await expect.poll(isWhole).toBe(true);
  await expect.poll(filmShare).toBeGreaterThan(before + 0.2);
  const frame = await frameOf(page);
  await page.keyboard.press("w");
  await expect.poll(() => frameOf(page)).toBe(frame + 1);
  await page.keyboard.press("9");
  await expect.poll(isWhole).toBe(false);
  const button = page.getByRole("button", { name: "Full screen: the film alone, and back" });
  await button.click();
  await expect.poll(isWhole).toBe(true);
  await button.click();
  await expect.poll(isWhole).toBe(false);
});

test("the shuttle runs backward and forward, and stands when it is let go", async () => {
  const { page } = window;
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  const shuttle = page.getByRole("slider", { name: "Shuttle" });
  const start = await frameOf(page);
  await shuttle.focus();
  for (let press = 0; press < 3; press++) await page.keyboard.press("ArrowLeft");
  expect(await shuttle.getAttribute("aria-valuetext")).toBe("1 times backward");
  await expect.poll(() => frameOf(page)).toBeLessThan(start - 5);
  await page.keyboard.press("Escape");
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  const stood = await frameOf(page);
  await page.waitForTimeout(300);
  expect(await frameOf(page)).toBe(stood);
  // With the pointer it springs back by itself, and the film has its keys again.
  const box = (await shuttle.boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.85, box.y + box.height / 2, { steps: 4 });
  await expect.poll(() => frameOf(page)).toBeGreaterThan(stood + 5);
  await page.mouse.up();
  expect(await shuttle.getAttribute("aria-valuetext")).toBe("stands");
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  // A busy window writes the last frame a little after it stands on it.
  let again = await frameOf(page);
  await expect
    .poll(
      async () => {
        const before = again;
        again = await frameOf(page);
        return again === before;
      },
      { interval: 300 },
    )
    .toBe(true);
  await page.keyboard.press("q");
  await expect.poll(() => frameOf(page)).toBe(again - 1);
});
