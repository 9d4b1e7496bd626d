/**
 * From the click to the sentence: three planted faults of the demo film that are more than a station. Whoever is at fault is
 * taken off the moment and clicked again, feet and facing, where the scene's own camera shows them.
 */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { project, viewOf } from "../scene/pinhole.ts";
import { demoFilm } from "../scene/films.ts";
import { type Person, sceneOf } from "../scene/scene.ts";
import { clickImage, pointAt, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();

async function openPlay(page: Page, number: number): Promise<void> {
  await page.getByRole("button", { name: new RegExp(`^Play ${number}, `, "u") }).press("Enter");
  await page.getByRole("region", { name: `Play ${number} as a whole` }).waitFor();
}

async function onFrame(page: Page, frame: number): Promise<void> {
  await goToFrame(page, frame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
}

async function takeAway(page: Page, name: string): Promise<void> {
  await page.getByRole("tab", { name: /Marks/u }).click();
  const rows = page.locator(`tr[data-mark="${name}"]`);
  const before = await rows.count();
  await rows
    .last()
    .getByRole("button", { name: `Take ${name} away` })
    .click();
  await expect.poll(() => rows.count()).toBe(before - 1);
}

/** Feet, and a point on the ground ahead as far as the picture goes, up to six yards. */
async function mark(page: Page, name: string, frame: number, person: Person): Promise<void> {
  await page.getByRole("tab", { name: /Marks/u }).click();
  const rows = page.locator(`tr[data-mark="${name}"]`);
  const before = await rows.count();
  await page.getByRole("button", { name: `Mark ${name}`, exact: true }).click();
  await clickImage(page, seen(scene, frame, person.xYards, person.yYards));
  await expect.poll(() => rows.count()).toBe(before + 1);
  if (person.kind !== "official") return;
  const view = viewOf(scene.truthAt(frame).camera);
  const ahead = [6, 5, 4, 3, 2]
    .map((yards) =>
      project(view, [
        person.xYards + yards * Math.cos(person.facingRadians),
        person.yYards + yards * Math.sin(person.facingRadians),
        0,
      ]),
    )
    .find((at) => at !== null && at.uPx > 0 && at.uPx < view.widthPx && at.vPx > 0 && at.vPx < view.heightPx)!;
  await pointAt(page, ahead);
  await page.keyboard.press("v");
  await page.getByRole("button", { name: "Remove the facing" }).waitFor();
}

const officialAt = (frame: number, position: string) =>
  scene.truthAt(frame).people.find((one) => one.kind === "official" && one.position === position)!;

test("a straight-lined look: said once FJ's feet and facing are clicked, with the step that would have opened it", async () => {
  const { page } = window;
  const frame = 1471;
  await openPlay(page, 10);
  await onFrame(page, frame);
  const missed = page.locator("article[data-rule='LK-PAIR'][data-verdict='missed']");
  await takeAway(page, "FJ");
  await page.getByRole("tab", { name: /Findings/u }).click();
  await page.getByRole("region", { name: "Findings for LJ" }).waitFor();
  expect(await missed.count()).toBe(0);
  await mark(page, "FJ", frame, officialAt(frame, "FJ"));
  await page.getByRole("tab", { name: /Findings/u }).click();
  await missed.waitFor();
  expect(await missed.innerText()).toMatch(
    /FJ was straight-lined on the receiver and the defender .* BJ had it free\. A step of [\d.]+ yd .* would have opened it\./su,
  );
});

test("a ball-watcher: said once LJ is clicked at both moments of the ball in the air", async () => {
  const { page } = window;
  await openPlay(page, 12);
  const missed = page
    .getByRole("region", { name: "Play 12 as a whole" })
    .locator("article[data-rule='HO-EYES-ON-BALL'][data-verdict='missed']");
  await missed.waitFor();
  for (const frame of [1761, 1770]) {
    await onFrame(page, frame);
    await takeAway(page, "LJ");
  }
  await page.getByRole("tab", { name: /Findings/u }).click();
  await page.getByRole("region", { name: "Play 12 as a whole" }).waitFor();
  expect(await missed.count()).toBe(0);
  for (const frame of [1761, 1770]) {
    await onFrame(page, frame);
    await mark(page, "LJ", frame, officialAt(frame, "LJ"));
  }
  await page.getByRole("tab", { name: /Findings/u }).click();
  await missed.waitFor();
  expect(await missed.innerText()).toMatch(
    /LJ’s body followed the ball through the air, .* turned \d+° from where it/su,
  );
});

test("a miscount: an eighth player clicked is an eighth player said, with who counts that side", async () => {
  const { page } = window;
  const frame = 1980;
  await openPlay(page, 14);
  await onFrame(page, frame);
  await takeAway(page, "A receiver");
  await page.getByRole("tab", { name: /Findings/u }).click();
  const whole = page.getByRole("region", { name: "Play 14 as a whole" });
  await whole.waitFor();
  const counted = whole.locator("article[data-rule='CT-R']");
  expect(await whole.locator("article[data-rule='CT-R'][data-verdict='missed']").count()).toBe(0);
  // Whoever of A has no mark now: the one whose place no row of the table has.
  await page.getByRole("tab", { name: /Marks/u }).click();
  const places = await page
    .locator("tr[data-mark^='A ']")
    .evaluateAll((rows) => rows.map((row) => [Number(row.getAttribute("data-x")), Number(row.getAttribute("data-y"))]));
  const away = (person: Person) =>
    Math.min(...places.map(([x, y]) => Math.hypot((x ?? 0) - person.xYards, (y ?? 0) - person.yYards)));
  const receivers = scene
    .truthAt(frame)
    .people.filter((one) => one.kind === "player" && one.side === "A" && one.role === "receiver");
  const unmarked = receivers.toSorted((a, b) => away(b) - away(a))[0]!;
  await mark(page, "A receiver", frame, unmarked);
  await page.getByRole("tab", { name: /Findings/u }).click();
  await counted.waitFor();
  expect(await counted.getAttribute("data-verdict")).toBe("missed");
  expect(await counted.innerText()).toMatch(/A has 8 of 7: R and LJ count A\./u);
});
