/** Plays proposed from the demo film after its own are gone: taken, left out and taken back by keys and clicks. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { demoWindow } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();
const rate = demoFilm.framesPerSec;

const rows = (page: Page) => page.locator(".play-sheet tbody tr");
const section = (page: Page) => page.getByRole("region", { name: "Plays proposed from the film" });
const listed = (page: Page) => section(page).locator("li");
const chosen = (page: Page) => section(page).locator("[aria-current=true]").innerText();
const clock = (frame: number) => `0:${(frame / rate).toFixed(2).padStart(5, "0")}`;
const spanOf = (number: number) => {
  const { firstFrame, frameCount } = scene.plays.find((play) => play.number === number)!;
  return `${clock(firstFrame)} to ${clock(firstFrame + frameCount)}`;
};

async function openBreakdown(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await rows(page).first().waitFor();
  await page.getByLabel("Time and frame").waitFor();
}

async function removeFirstPlays(page: Page, count: number): Promise<void> {
  for (let i = 0; i < count; i++) {
    const left = await rows(page).count();
    await page.locator('.play-sheet tr[data-number="1"]').click();
    await page.getByRole("button", { name: "Remove play 1", exact: true }).click();
    await expect.poll(() => rows(page).count()).toBe(left - 1);
  }
}

async function propose(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Propose plays from the film" }).click();
  await section(page).getByRole("progressbar").waitFor();
  await section(page).getByRole("heading").waitFor({ timeout: 90_000 });
}

test("three taken and one left out by keys, each a play with its snap; undo opens one again, but none that was left out; all the others at once", async () => {
  const { page } = window;
  await openBreakdown(page);
  await removeFirstPlays(page, 15);
  await propose(page);
  expect(await listed(page).count()).toBe(15);
  expect(await page.locator(".strip-proposed").count()).toBe(15);
  expect(await chosen(page)).toContain(spanOf(1));

  await page.locator(".film-pane").focus();
  await page.keyboard.press("t");
  await expect.poll(() => rows(page).count()).toBe(1);
  await expect.poll(() => chosen(page)).toContain(spanOf(2));
  await page.keyboard.press("t");
  await expect.poll(() => rows(page).count()).toBe(2);
  await page.keyboard.press("x");
  await expect.poll(() => listed(page).count()).toBe(12);
  await expect.poll(() => chosen(page)).toContain(spanOf(4));
  await page.keyboard.press("t");
  await expect.poll(() => rows(page).count()).toBe(3);
  expect(await listed(page).count()).toBe(11);

  // Each is a play of the film with its times, and the situation that the play before it leads to.
  for (const [number, truth] of [
    [1, 1],
    [2, 2],
    [3, 4],
  ] as const) {
    await page.locator(`.play-sheet tr[data-number="${number}"]`).click();
    const valueOf = async (name: string) =>
      Number(await page.getByRole("slider", { name: `${name} of play ${number}` }).getAttribute("aria-valuenow"));
    const { firstFrame, frameCount, snapFrame } = scene.plays.find((play) => play.number === truth)!;
    expect(await valueOf("Start")).toBeCloseTo(firstFrame / rate, 2);
    expect(await valueOf("End")).toBeCloseTo((firstFrame + frameCount) / rate, 2);
    expect(Math.abs((await valueOf("Snap")) - snapFrame / rate)).toBeLessThan(0.25);
    expect(await page.locator(`.play-sheet tr[data-number="${number}"] .column-down`).innerText()).toBe(`${number}`);
  }

  await page.locator(".film-pane").focus();
  await page.keyboard.press("Control+z");
  await expect.poll(() => rows(page).count()).toBe(2);
  await expect.poll(() => listed(page).count()).toBe(12);
  const texts = await listed(page).allInnerTexts();
  expect(texts.some((text) => text.includes(spanOf(4)))).toBe(true);
  expect(texts.some((text) => text.includes(spanOf(3)))).toBe(false);

  // Away and back: what was found and left out is kept.
  await page.getByRole("button", { name: "Field book", exact: true }).first().click();
  await openBreakdown(page);
  await expect.poll(() => listed(page).count()).toBe(12);

  // From one to the next by keys, the film at its snap; then all beside the plays that are there, in one edit.
  await page.locator(".film-pane").focus();
  for (const [key, number] of [
    ["Shift+PageDown", 5],
    ["Shift+PageDown", 6],
    ["Shift+PageUp", 5],
  ] as const) {
    await page.keyboard.press(key);
    await expect.poll(() => chosen(page)).toContain(spanOf(number));
    const { snapFrame } = scene.plays.find((play) => play.number === number)!;
    await expect
      .poll(async () => {
        const shown = Number(/frame (\d+)/u.exec(await page.getByLabel("Time and frame").innerText())?.[1]);
        return Math.abs(shown - snapFrame);
      })
      .toBeLessThan(0.25 * rate);
  }
  await page.keyboard.press("Shift+t");
  await expect.poll(() => rows(page).count()).toBe(14);
  await page.getByText("All 15 proposed plays are dealt with.").waitFor();
  await page.keyboard.press("Control+z");
  await expect.poll(() => rows(page).count()).toBe(2);
  await expect.poll(() => listed(page).count()).toBe(12);
});

test("looking through waits while the film plays, and can be cancelled", async () => {
  const { page } = window;
  await openBreakdown(page);
  await page.getByRole("button", { name: "Propose plays from the film" }).click();
  await section(page).getByText("Looking the film through").waitFor();
  const progress = () =>
    section(page)
      .getByRole("progressbar")
      .evaluate((bar) => (bar as HTMLProgressElement).value);
  await expect.poll(progress).toBeGreaterThan(0.01);
  await page.locator(".film-pane").focus();
  await page.keyboard.press("Space");
  await section(page).getByText("Waits while the film plays").waitFor();
  await page.waitForTimeout(500);
  const stood = await progress();
  await page.waitForTimeout(800);
  expect(await progress()).toBe(stood);
  await page.keyboard.press("Space");
  await expect.poll(progress).toBeGreaterThan(stood);
  await page.getByRole("button", { name: "Cancel looking the film through" }).click();
  await page.getByRole("button", { name: "Propose plays from the film" }).waitFor();
});
