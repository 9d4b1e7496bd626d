/** A survey carried through a play: given up half-way, made, played with its lines on, and found again. */
import type { Page } from "playwright";
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { clickImage, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();
const [first] = scene.plays;

/** How many of these image points have a stroke of the overlay within this many image pixels. */
async function strokesNear(page: Page, points: readonly { uPx: number; vPx: number }[], reachPx: number) {
  const pane = page.locator(".film-pane");
  const [scale, x, y] = await Promise.all(["data-scale", "data-x", "data-y"].map((name) => pane.getAttribute(name)));
  const places = points.map(({ uPx, vPx }) => [Number(x) + uPx * Number(scale), Number(y) + vPx * Number(scale)]);
  return page.locator(".overlay canvas").evaluate(
    (canvas: HTMLCanvasElement, { places: at, reach }) => {
      const density = canvas.width / canvas.clientWidth;
      const paint = canvas.getContext("2d")!;
      const side = Math.ceil(2 * reach * density);
      return at.filter(([left, top]) => {
        const patch = paint.getImageData((left! - reach) * density, (top! - reach) * density, side, side);
        // The lines are the opaque strokes; their soft shadow is not.
        return patch.data.some((level, index) => index % 4 === 3 && level > 200);
      }).length;
    },
    { places, reach: reachPx * Number(scale) },
  );
}

/** Places on the painted lines of a frame, as the scene's own camera shows them. */
function painted(frame: number) {
  const places: [number, number][] = [
    ...[4, 12, 20, 28, 36].flatMap((y): [number, number][] => [
      [30, y],
      [50, y],
    ]),
    ...[34, 40, 46].flatMap((x): [number, number][] => [
      [x, 0],
      [x, 40],
    ]),
  ];
  return places
    .map(([x, y]) => seen(scene, frame, x, y))
    .filter(({ uPx, vPx }) => uPx > 10 && uPx < 1270 && vPx > 10 && vPx < 710);
}

test("carry a survey through a play: cancelled, made, on the paint while it plays, undone, and there after a restart", async () => {
  const { page } = window;
  await page.getByRole("tab", { name: /Survey/u }).click();
  const carry = page.getByRole("region", { name: "Carry" });
  await carry.getByRole("button", { name: "Carry the survey through this play" }).click();
  await carry.getByRole("button", { name: "Cancel" }).click();
  await carry.getByText("The survey can be carried").waitFor();
  expect(await page.getByRole("button", { name: "Nothing to undo" }).isVisible()).toBe(true);

  await carry.getByRole("button", { name: "Carry the survey through this play" }).click();
  await carry.getByText(/^Carried to frames \d+ to \d+\.$/u).waitFor({ timeout: 60_000 });
  const [from, to] = /frames (\d+) to (\d+)/u
    .exec(await carry.innerText())!
    .slice(1)
    .map(Number);
  expect([from, to]).toEqual([first!.firstFrame, first!.firstFrame + first!.frameCount - 1]);

  for (const frame of [98, 128]) {
    await goToFrame(page, frame);
    await page.getByRole("heading", { name: "Carried survey" }).waitFor();
    const places = painted(frame);
    expect(places.length).toBeGreaterThan(8);
    await expect.poll(() => strokesNear(page, places, 3)).toBe(places.length);
  }

  // A mark on a frame without a stake is measured all the same.
  await page.getByRole("tab", { name: /Marks/u }).click();
  await page.getByRole("button", { name: "Mark R", exact: true }).click();
  await clickImage(page, seen(scene, 128, 40, 10));
  const row = page.getByRole("row", { name: /^R\b/u });
  await row.waitFor();
  const across = /([\d.]+) yd in from near/u.exec(await row.innerText())?.[1];
  expect(Math.abs(Number(across) - 10)).toBeLessThan(0.3);

  // While the film plays the lines are there, and go with it.
  await goToFrame(page, 20);
  await page.keyboard.press("[");
  await page.keyboard.press("[");
  await page.keyboard.press("Space");
  await page.getByRole("button", { name: "Stop on the frame" }).waitFor();
  await expect.poll(() => strokesNear(page, painted(40), 12), { timeout: 10_000 }).toBeGreaterThan(8);
  await page.keyboard.press("Space");

  await page.reload();
  await page.locator(".strip-moment").first().waitFor();
  await page.getByRole("tab", { name: /Survey/u }).click();
  await goToFrame(page, 98);
  await page.getByRole("heading", { name: "Carried survey" }).waitFor();
  await page.getByRole("button", { name: /^Undo: Mark R/u }).click();
  await page.getByRole("button", { name: /^Undo: Carry the survey/u }).click();
  await page.getByRole("heading", { name: "Not surveyed" }).waitFor();
});
