/**
 * The second moment of a play, by real clicks: people of the first are brought over, and one click each puts them where
 * the scene's own camera shows them now. No more than two clicks and keys a person.
 */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { type Person, sceneOf } from "../scene/scene.ts";
import { clickImage, pointAt, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();

async function openMarks(page: Page, playNumber: number): Promise<void> {
  await page.getByRole("button", { name: new RegExp(`^Play ${playNumber}, `, "u") }).press("Enter");
  await page.getByRole("tab", { name: /Marks/u }).click();
}

/** Takes the marks of this frame away, with the moment's stakes left where they are. */
async function takeAllAway(page: Page): Promise<void> {
  const rows = page.locator("tr[data-mark]");
  for (let count = await rows.count(); count > 0; count--) {
    await rows
      .last()
      .getByRole("button", { name: /^Take /u })
      .click();
    await expect.poll(() => rows.count()).toBe(count - 1);
  }
}

const waiting = (page: Page) => page.getByRole("list", { name: "Waiting to be placed" }).getByRole("button");
const nextName = async (page: Page) => {
  const name = await page
    .getByRole("list", { name: "Waiting to be placed" })
    .locator("[aria-pressed=true]")
    .getAttribute("aria-label");
  return /^Place (.*) next$/u.exec(name ?? "")![1]!;
};

test("a second moment: one click a person, each in their turn, facing brought over, and read in yards at once", async () => {
  const { page } = window;
  await openMarks(page, 9);
  const frame = scene.plays.find(({ number }) => number === 9)!.moments[1]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await takeAllAway(page);
  await page.getByRole("region", { name: "Brought over" }).getByText("from before the snap").waitFor();
  const { people } = scene.truthAt(frame);
  const isNamed = (person: Person, name: string) =>
    person.kind === "official" ? person.position === name : `${person.side} ${person.role}` === name;
  const placed = new Set<string>();
  let clicks = 0;
  await expect.poll(() => waiting(page).count()).toBeGreaterThan(12);
  const count = await waiting(page).count();
  for (let left = count; left > 0; left--) {
    const name = await nextName(page);
    const person = people.find((one) => isNamed(one, name) && !placed.has(one.id));
    if (person) {
      placed.add(person.id);
      await clickImage(page, seen(scene, frame, person.xYards, person.yYards));
    } else await page.keyboard.press("t");
    clicks += 1;
    if (left > 1) await expect.poll(() => waiting(page).count()).toBe(left - 1);
  }
  await expect.poll(() => page.locator("tr[data-mark]").count()).toBe(count);
  console.log(`second moment: ${clicks} clicks and keys for ${count} people`);
  expect(clicks / count).toBeLessThanOrEqual(2);
  for (const position of ["R", "LJ", "FJ", "BJ"]) {
    const there = people.find((one) => isNamed(one, position))!;
    const row = page.locator(`tr[data-mark="${position}"]`);
    expect(Math.abs(Number(await row.getAttribute("data-x")) - there.xYards), position).toBeLessThan(0.6);
  }
  // The way faced came along: looks can be judged.
  await page.getByRole("tab", { name: /Findings/u }).click();
  await page.getByText(/of what there was to watch could be seen/u).waitFor();
});

test("all at once by one key, one left out, and everything taken back by one undo and made again by one redo", async () => {
  const { page } = window;
  await openMarks(page, 10);
  const frame = scene.plays.find(({ number }) => number === 10)!.moments[2]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await takeAllAway(page);
  const count = await waiting(page).count();
  await page.keyboard.press("x");
  await expect.poll(() => waiting(page).count()).toBe(count - 1);
  await page.keyboard.press("Shift+t");
  await expect.poll(() => page.locator("tr[data-mark]").count()).toBe(count - 1);
  await page.keyboard.press("Control+z");
  await expect.poll(() => page.locator("tr[data-mark]").count()).toBe(0);
  await expect.poll(() => waiting(page).count()).toBe(count - 1);
  await page.keyboard.press("Control+y");
  await expect.poll(() => page.locator("tr[data-mark]").count()).toBe(count - 1);
});

test("followed through the film: one key moves them to where they ran, and one press takes them", async () => {
  const { page } = window;
  await openMarks(page, 9);
  const frame = scene.plays.find(({ number }) => number === 9)!.moments[1]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await takeAllAway(page);
  const section = page.getByRole("region", { name: "Brought over" });
  await section.getByRole("button", { name: "Carry the survey through this play" }).click();
  await section.getByRole("button", { name: "Follow them through the film" }).waitFor({ timeout: 90_000 });
  await page.keyboard.press("Shift+F");
  await section.getByText(/\d+ followed; \d+ lost sight of/u).waitFor({ timeout: 90_000 });
  const all = await waiting(page).count();
  const take = section.getByRole("button", { name: /^All \d+ followed$/u });
  const count = Number(/\d+/u.exec(await take.innerText())![0]);
  console.log(`${count} of ${all} followed from the snap to the keys`);
  expect(count).toBeGreaterThan(all / 2);
  await take.click();
  await expect.poll(() => page.locator("tr[data-mark]").count()).toBe(count);
  const { people } = scene.truthAt(frame);
  const off: number[] = [];
  for (const row of await page.locator("tr[data-mark]").all()) {
    const [name, x, y] = await Promise.all(["data-mark", "data-x", "data-y"].map((part) => row.getAttribute(part)));
    const of = people.filter((one) =>
      one.kind === "official" ? one.position === name : `${one.side} ${one.role}` === name,
    );
    off.push(Math.min(...of.map(({ xYards, yYards }) => Math.hypot(xYards - Number(x), yYards - Number(y)))));
  }
  off.sort((a, b) => a - b);
  expect(off[off.length >> 1]).toBeLessThan(0.6);
  // One step back takes them all away, and they wait again where the film led.
  await page.keyboard.press("Control+z");
  await expect.poll(() => waiting(page).count()).toBe(all);
  await section.getByText(new RegExp(`^${count} followed; \\d+ lost sight of`, "u")).waitFor();
});

test("one who is brought over is dragged to their place", async () => {
  const { page } = window;
  await openMarks(page, 9);
  const frame = scene.plays.find(({ number }) => number === 9)!.moments[1]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await takeAllAway(page);
  const set = scene.plays.find(({ number }) => number === 9)!.moments[0]!.frameIndex;
  const isReferee = (one: Person) => one.kind === "official" && one.position === "R";
  const [stood, stands] = [set, frame].map((index) => scene.truthAt(index).people.find(isReferee)!);
  const count = await waiting(page).count();
  await pointAt(page, seen(scene, frame, stood!.xYards, stood!.yYards));
  await page.mouse.down();
  await pointAt(page, seen(scene, frame, stands!.xYards + 1, stands!.yYards));
  await pointAt(page, seen(scene, frame, stands!.xYards, stands!.yYards));
  await page.mouse.up();
  const row = page.locator('tr[data-mark="R"]');
  await row.waitFor();
  expect(Math.abs(Number(await row.getAttribute("data-x")) - stands!.xYards)).toBeLessThan(0.6);
  await expect.poll(() => waiting(page).count()).toBe(count - 1);
});

test("the formation of an earlier play, moved to the ball of this one", async () => {
  const { page } = window;
  await openMarks(page, 2);
  const frame = scene.plays.find(({ number }) => number === 2)!.moments[0]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await takeAllAway(page);
  await page.getByText("No other moment of this play is marked.").waitFor();
  await page
    .getByRole("region", { name: "Brought over" })
    .getByLabel("From")
    .selectOption({ label: "formation of play 1" });
  await expect.poll(() => waiting(page).count()).toBeGreaterThan(10);
  await page.getByRole("button", { name: "All officials" }).click();
  await page.locator('tr[data-mark="LJ"]').waitFor();
  // In the neutral zone of play 1 the line judge is in that of play 2, 7 yd further: 41 along by its situation.
  expect(Math.abs(Number(await page.locator('tr[data-mark="LJ"]').getAttribute("data-x")) - 41)).toBeLessThan(1.5);
});

test("an official by the letter at the pointer, a role and a side by a key, and on to the next moment worth judging", async () => {
  const { page } = window;
  await openMarks(page, 2);
  const play = scene.plays.find(({ number }) => number === 2)!;
  const frame = play.moments[0]!.frameIndex;
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("button", { name: "Take FJ away" }).click();
  await expect.poll(() => page.locator('tr[data-mark="FJ"]').count()).toBe(0);
  const there = scene.truthAt(frame).people.find((one) => one.kind === "official" && one.position === "FJ")!;
  await pointAt(page, seen(scene, frame, there.xYards, there.yYards));
  await page.keyboard.press("f");
  const row = page.locator('tr[data-mark="FJ"]');
  await row.waitFor();
  expect(Math.abs(Number(await row.getAttribute("data-x")) - there.xYards)).toBeLessThan(0.5);
  const pressed = () =>
    page
      .getByRole("region", { name: "Whom to mark" })
      .locator('button[aria-pressed="true"]')
      .getAttribute("aria-label");
  await page.keyboard.press("k");
  await expect.poll(pressed).toBe("Mark A back");
  await page.keyboard.press("z");
  await expect.poll(pressed).toBe("Mark B defender");
  // Keys, a second after the snap; then the middle of the ball's flight, for a zone moment would come after the release.
  await page.keyboard.press("Shift+PageDown");
  await page.getByText(`frame ${play.snapFrame + 30}`, { exact: true }).waitFor();
  await page.keyboard.press("Shift+PageDown");
  const flight = (play.ball.releaseSec + play.ball.catchSec) / 2;
  const inFlight = `frame ${play.snapFrame + Math.floor(flight * demoFilm.framesPerSec)}`;
  await page.getByText(inFlight, { exact: true }).waitFor();
  // Pressed twice, faster than any picture comes, it goes on by two.
  for (const [key, wanted] of [
    ["Shift+PageUp", `frame ${frame}`],
    ["Shift+PageDown", inFlight],
  ] as const) {
    await page.keyboard.press(key);
    await page.keyboard.press(key);
    await page.getByText(wanted, { exact: true }).waitFor();
  }
  await page.getByRole("tab", { name: /Play/u }).click();
  await page.getByRole("button", { name: "Judge this frame: ball away" }).waitFor();
  // The open slot is on the Marks page too; whoever is marked there makes the moment with its phase.
  await page.keyboard.press("3");
  const slots = page.getByRole("navigation", { name: "Moments of the play" });
  await slots.getByRole("button", { name: "Catch: open, at the catch" }).click();
  const caught = play.snapFrame + Math.floor(play.ball.catchSec * demoFilm.framesPerSec);
  await expect
    .poll(async () =>
      Math.abs(Number(/frame (\d+)/u.exec(await page.getByLabel("Time and frame").innerText())?.[1]) - caught),
    )
    .toBeLessThanOrEqual(1);
  const referee = scene.truthAt(caught).people.find((one) => one.kind === "official" && one.position === "R")!;
  await pointAt(page, seen(scene, caught, referee.xYards, referee.yYards));
  await page.keyboard.press("r");
  await slots.getByRole("button", { name: "Catch: 1 marked", pressed: true }).waitFor();
});
