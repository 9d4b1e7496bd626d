/** The Breakdown place by real keys and clicks: times, situation, contradictions, the play sheet, and on to the field book. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();
const rate = demoFilm.framesPerSec;

async function openBreakdown(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.locator(".play-sheet tbody tr").first().waitFor();
  await page.getByLabel("Time and frame").waitFor();
}

const row = (page: Page, number: number) => page.locator(`.play-sheet tr[data-number="${number}"]`);
const cellOf = (page: Page, number: number, column: string) => row(page, number).locator(`.column-${column}`);

/** The play goes, with all that was measured on it. */
async function removePlay(page: Page, number: number): Promise<void> {
  await row(page, number).click();
  await page.getByRole("heading", { name: new RegExp(`^Play ${number} `, "u") }).waitFor();
  const before = await page.locator(".play-sheet tbody tr").count();
  await page.getByRole("button", { name: `Remove play ${number}` }).click();
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(before - 1);
}

test("a play by keys on stopped frames: snap, release, catch, dead ball, gain; twelve keys or fewer; each can be taken back", async () => {
  const { page } = window;
  await openBreakdown(page);
  await removePlay(page, 2);
  const truth = scene.plays.find(({ number }) => number === 2)!;
  let keys = 0;
  const press = async (key: string) => {
    keys += 1;
    await page.keyboard.press(key);
  };
  await page.locator(".film-pane").focus();
  const at = (sec: number) => truth.snapFrame + Math.round(sec * rate);
  await goToFrame(page, truth.snapFrame);
  await press("n");
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(15);
  // What follows first and 16 from the left 24, of which nobody has said how it ended.
  await expect.poll(() => cellOf(page, 2, "down").innerText()).toBe("2");
  for (const [key, sec] of [
    ["r", truth.ball.releaseSec],
    ["c", truth.ball.catchSec],
    ["d", truth.ball.pullSec],
  ] as const) {
    await goToFrame(page, at(sec));
    await press(key);
  }
  await expect.poll(() => page.getByRole("slider", { name: "Dead ball of play 2" }).count()).toBe(1);
  // The distance as announced, and the gain to the spot of the next play.
  await press("f");
  await press("9");
  await press("Enter");
  await press("g");
  await press("4");
  await press("Enter");
  await expect.poll(() => cellOf(page, 2, "result").innerText()).toBe("dead at a spot");
  await expect.poll(() => cellOf(page, 2, "toGo").innerText()).toBe("9");
  expect(keys).toBeLessThanOrEqual(12);
  console.log(`breakdown of a play: ${keys} keys`);

  const snap = page.getByRole("slider", { name: "Snap of play 2" });
  expect(Number(await snap.getAttribute("aria-valuenow"))).toBeCloseTo(truth.snapFrame / rate, 3);
  // A frame later by the arrow, and back again by undo.
  await snap.focus();
  await page.keyboard.press("ArrowRight");
  await expect
    .poll(async () => Number(await snap.getAttribute("aria-valuenow")))
    .toBeCloseTo((truth.snapFrame + 1) / rate, 2);
  await page.keyboard.press("Control+z");
  await expect
    .poll(async () => Number(await snap.getAttribute("aria-valuenow")))
    .toBeCloseTo(truth.snapFrame / rate, 3);
});

test("times while the film plays, a tick dragged, and what is out of order refused with what is in the way", async () => {
  const { page } = window;
  await openBreakdown(page);
  await removePlay(page, 1);
  await page.locator(".film-pane").focus();
  await goToFrame(page, 10);
  await page.keyboard.press("Space");
  await page.waitForTimeout(1200);
  await page.keyboard.press("n");
  await page.waitForTimeout(1500);
  await page.keyboard.press("d");
  await page.keyboard.press("Space");
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(15);
  const valueOf = async (name: string) =>
    Number(await page.getByRole("slider", { name: `${name} of play 1` }).getAttribute("aria-valuenow"));
  await expect.poll(() => page.getByRole("slider", { name: "Dead ball of play 1" }).count()).toBe(1);
  const [snap, dead] = [await valueOf("Snap"), await valueOf("Dead ball")];
  expect(snap).toBeGreaterThan(0.6);
  expect(dead - snap).toBeGreaterThan(0.8);
  expect(await valueOf("End")).toBeCloseTo(Math.min(dead + 1.5, 5.2), 1);

  const tick = (await page.getByRole("slider", { name: "Dead ball of play 1" }).boundingBox())!;
  await page.mouse.move(tick.x + 10, tick.y + 10);
  await page.mouse.down();
  await page.mouse.move(tick.x - 20, tick.y + 10, { steps: 4 });
  await page.mouse.up();
  await expect.poll(() => valueOf("Dead ball")).toBeLessThan(dead);
  const line = (await page.locator(".times-line").boundingBox())!;
  const again = (await page.getByRole("slider", { name: "Dead ball of play 1" }).boundingBox())!;
  await page.mouse.move(again.x + 10, again.y + 10);
  await page.mouse.down();
  await page.mouse.move(line.x + 2, again.y + 10, { steps: 4 });
  await page.mouse.up();
  await page.getByText(/The dead ball of play 1 would come before its snap/u).waitFor();
});

test("a situation by keyboard, a contradiction said and mended by taking what follows", async () => {
  const { page } = window;
  await openBreakdown(page);
  await row(page, 3).click();
  await page.getByRole("heading", { name: /^Play 3 /u }).waitFor();
  await page.locator(".film-pane").focus();
  await page.keyboard.press("4");
  const said = page.locator(".contradiction");
  await said.waitFor();
  expect(await said.innerText()).toMatch(
    /Fourth and 5 cannot follow a 4-yard gain on second and 9: it should be third\./u,
  );
  await page.keyboard.press("3");
  await expect.poll(() => said.count()).toBe(0);
  // The play before says how it ended; then what follows from it is at hand.
  await page.keyboard.press("PageUp");
  await page.getByRole("heading", { name: /^Play 2 /u }).waitFor();
  await page.keyboard.press("g");
  await page.keyboard.type("2");
  await page.keyboard.press("Enter");
  await expect.poll(() => cellOf(page, 2, "result").innerText()).toBe("dead at a spot");
  await page.keyboard.press("PageDown");
  await page.getByText(/After play 2: Third and 7\. Third down: 2 of the 9 yards were gained\./u).waitFor();
  await page.keyboard.press("p");
  await expect.poll(() => cellOf(page, 3, "toGo").innerText()).toBe("7");
});

test("the play sheet sorted, filtered and walked by keyboard, and on to the field book at the snap", async () => {
  const { page } = window;
  await openBreakdown(page);
  await page.getByText("15 plays: 15 broken down, 15 surveyed, 15 marked, 0 graded", { exact: true }).waitFor();
  const numbers = () =>
    page
      .locator(".play-sheet tbody tr")
      .evaluateAll((rows) => rows.map((one) => Number((one as HTMLElement).dataset["number"])));
  await page.getByRole("button", { name: "To go" }).click();
  const byDistance = await numbers();
  expect(byDistance.slice(0, 3)).toEqual([7, 8, 3]);
  await page.getByRole("columnheader", { name: /^Play/u }).getByRole("button").click();
  await page.getByLabel("Missed by").selectOption("FJ");
  await expect.poll(numbers).toEqual([2, 3, 8, 9, 10, 13]);
  await page.getByLabel("Finding").selectOption("HO-");
  await expect.poll(numbers).toEqual([9]);
  await page.getByRole("group", { name: "Show only" }).getByLabel("Down").selectOption("4");
  await page.getByText("No play is like that.").waitFor();
  await page.getByRole("button", { name: "Show all plays" }).click();
  await expect.poll(numbers).toHaveLength(15);
  await row(page, 1).focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowDown");
  expect(await page.evaluate(() => (document.activeElement as HTMLElement).dataset["number"])).toBe("5");
  await page.keyboard.press("Enter");
  const snapFrame = scene.plays.find(({ number }) => number === 5)!.snapFrame;
  await page.getByText(`frame ${snapFrame}`, { exact: true }).waitFor();
  await page.keyboard.press("m");
  await page.getByRole("tab", { name: /Findings/u }).waitFor();
  await page.getByText(`frame ${snapFrame}`, { exact: true }).waitFor();
});

test("a play cut in two and made one again, with what was measured on it", async () => {
  const { page } = window;
  await openBreakdown(page);
  await row(page, 9).click();
  await page.getByRole("heading", { name: /^Play 9 /u }).waitFor();
  await page.locator(".film-pane").focus();
  const { snapFrame } = scene.plays.find(({ number }) => number === 9)!;
  await goToFrame(page, snapFrame + 40);
  await page.getByRole("button", { name: "Cut in two here" }).click();
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(16);
  await expect.poll(() => cellOf(page, 9, "moments").innerText()).toBe("2");
  expect(await cellOf(page, 10, "moments").innerText()).toBe("3");
  await row(page, 9).click();
  await page.getByRole("heading", { name: /^Play 9 /u }).waitFor();
  await page.getByRole("button", { name: "Join with the next" }).click();
  await expect.poll(() => page.locator(".play-sheet tbody tr").count()).toBe(15);
  await expect.poll(() => cellOf(page, 9, "moments").innerText()).toBe("5");
});
