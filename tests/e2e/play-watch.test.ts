/** The play as a whole on the Findings page: its strip, an instant between two moments on the plan, zones, scores. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { demoWindow } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();

async function openPlay(page: Page, number: number): Promise<void> {
  await page.getByRole("button", { name: new RegExp(`^Play ${number}, `, "u") }).press("Enter");
  await page.getByRole("region", { name: `Play ${number} as a whole` }).waitFor();
}

async function placeOf(page: Page, name: string): Promise<readonly [number, number]> {
  const label = await page.locator(".plan-pane svg.plan").getAttribute("aria-label");
  const found = new RegExp(`${name} at (-?[\\d.]+), (-?[\\d.]+)`, "u").exec(label ?? "");
  if (!found) throw new Error(`${name} is not on the plan: ${label}`);
  return [Number(found[1]), Number(found[2])];
}

async function goToInstant(page: Page, sec: number): Promise<void> {
  await page.getByLabel("Instant of the play, seconds after the snap").fill(String(sec));
  await page.getByText(`${sec.toFixed(2)} s`, { exact: true }).waitFor();
}

test("a dropped handoff: the sentence, the gap on the strip, and the plan at an instant between the moments", async () => {
  const { page } = window;
  await openPlay(page, 9);
  const whole = page.getByRole("region", { name: "Play 9 as a whole" });
  const card = whole.locator("article[data-rule='HO-LEFT-ZONE'][data-verdict='missed']");
  await card.waitFor();
  expect(await card.innerText()).toMatch(/FJ never took the receiver and the defender/u);
  const gap = whole.getByRole("img", { name: /^2\.\d\d to 2\.\d\d s: FJ’s by zone, nobody had it$/u });
  // A gap can be told without its colour: it is hatched.
  expect(await gap.evaluate((element) => getComputedStyle(element).backgroundImage)).toContain("repeating-linear");

  const play = scene.plays.find(({ number }) => number === 9)!;
  await goToInstant(page, 2.2);
  const truth = scene.truthAt(play.snapFrame + Math.round(2.2 * demoFilm.framesPerSec));
  for (const position of ["LJ", "FJ", "BJ"]) {
    const there = truth.people.find((person) => person.kind === "official" && person.position === position)!;
    const [x, y] = await placeOf(page, position);
    // The straight line between two moments, 0.9 s apart, from clicks: a yard along the field, where it is measured best.
    expect(Math.abs(x - there.xYards), position).toBeLessThan(1);
    expect(Math.abs(y - there.yYards), position).toBeLessThan(1.5);
  }
  await goToInstant(page, 2.5);
  expect(await page.getByRole("list", { name: "Who has what at this instant" }).innerText()).toMatch(
    /FJ’s by zone; nobody on it/u,
  );
  await keepPicture(page, "instant");
  await page.getByRole("button", { name: "Back to the marks of this frame" }).click();
  await page.getByText("–", { exact: true }).first().waitFor();
  expect(await page.locator(".plan-pane svg.plan").getAttribute("aria-label")).not.toContain("after the snap");
});

/** To look at: where the environment asks for pictures, the window as it stands. */
async function keepPicture(page: Page, name: string): Promise<void> {
  const folder = process.env["PICTURES"];
  if (folder !== undefined) await page.screenshot({ path: `${folder}/${name}.png` });
}

test("zones when asked for, hatched on the plan and over the frame; the moments of the strip go to their frames", async () => {
  const { page } = window;
  await openPlay(page, 13);
  const strokes = page.locator(".plan-pane .ink-zone-hatch");
  expect(await strokes.count()).toBe(0);
  const frameInk = () =>
    page.locator(".overlay canvas").evaluate((canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext("2d")!.getImageData(0, 0, canvas.width, canvas.height);
      let painted = 0;
      for (let i = 3; i < data.length; i += 4) if (data[i]! > 60) painted++;
      return painted;
    });
  const bare = await frameInk();
  await page.getByLabel("Zones on the plan and over the frame").check();
  await expect.poll(() => strokes.count()).toBeGreaterThan(20);
  await expect.poll(frameInk).toBeGreaterThan(bare * 1.2);
  for (const position of ["R", "LJ", "FJ", "BJ"])
    await page.locator(".plan-pane text", { hasText: `zone ${position}` }).waitFor();
  await keepPicture(page, "zones");

  const play = scene.plays.find(({ number }) => number === 13)!;
  await page.getByRole("button", { name: /^Go to Zone, 2\.27 s after the snap/u }).click();
  await page.getByText(`frame ${play.snapFrame + 68}`, { exact: true }).waitFor();
  await page
    .getByRole("region", { name: "Play 13 as a whole" })
    .locator("article[data-rule='ZN-FJ'][data-verdict='missed']")
    .waitFor();
});

test("scores of the play and of all plays, with what they were made by", async () => {
  const { page } = window;
  await openPlay(page, 12);
  await page.getByText("Scores", { exact: true }).click();
  const lineJudge = page.getByRole("table", { name: "Scores of this play" }).locator("tr[data-position='LJ']");
  expect(await lineJudge.innerText()).toMatch(/handoff/u);
  await page.getByLabel("Of all plays of this game").check();
  const all = page.getByRole("table", { name: "Scores of all plays" });
  await all.waitFor();
  for (const position of ["R", "LJ", "FJ", "BJ", "crew"])
    expect(await all.locator(`tr[data-position='${position}']`).innerText()).toMatch(/\d+/u);
  expect(await page.locator(".play-scores").innerText()).toMatch(
    /Book flag-crew-of-four, edition .+; scoring version/u,
  );
});
