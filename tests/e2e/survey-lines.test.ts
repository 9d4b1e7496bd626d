/** A frame surveyed with no point at all: parts of two yard lines, one sideline and the hash rows. */
import { expect, test } from "vitest";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { clickImage, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
/** In the first play, some frames after its judged moment. */
const frame = 60;
/** Two places on each line, in yards: none is a landmark, and the far sideline is left out. */
const lines: Readonly<Record<string, readonly (readonly [number, number])[]>> = {
  L20: [
    [30, 4.6],
    [30, 21.8],
  ],
  mid: [
    [50, 3.2],
    [50, 23.1],
  ],
  "near-sideline": [
    [33.7, 0],
    [51.8, 0],
  ],
  "near-hash": [
    [31.2, 40 / 3],
    [57.9, 40 / 3],
  ],
  "far-hash": [
    [28.4, 80 / 3],
    [61.3, 80 / 3],
  ],
};

const window = demoWindow();

test("a frame is surveyed from lines alone, one of them misnamed and renamed with one press", async () => {
  const { page } = window;
  await goToFrame(page, frame);
  await page.getByRole("tab", { name: /Survey/u }).click();
  const stakes = page.getByRole("region", { name: "Stakes" });
  const stakeLine = async (id: string, places: readonly (readonly [number, number])[]) => {
    await page.getByLabel("Or by name").selectOption(`line:${id}`);
    for (const [index, [x, y]] of places.entries()) {
      await clickImage(page, seen(scene, frame, x, y));
      await stakes
        .getByText(`line, ${index + 1} ${index === 0 ? "click" : "clicks"}`, { exact: false })
        .last()
        .waitFor();
    }
    await page.keyboard.press("Escape");
  };
  // Given up after one click of one line, and come back to: it is still there.
  const [[firstLine, firstPlaces]] = Object.entries(lines) as [[string, readonly (readonly [number, number])[]]];
  await stakeLine(firstLine, firstPlaces.slice(0, 1));
  await page.keyboard.press("w");
  await page.getByRole("heading", { name: "Not surveyed" }).waitFor();
  await page.keyboard.press("q");
  await stakes.getByText("line, 1 click").waitFor();
  await page.getByRole("button", { name: "Take the stake on the left 20 away" }).click();
  await stakes.getByText("line, 1 click").waitFor({ state: "detached" });
  for (const [id, places] of Object.entries(lines)) await stakeLine(id, places);
  await page.getByRole("heading", { name: "Surveyed" }).waitFor();

  // Three lines side by side fit any names; the fourth tells.
  await stakeLine("far-sideline", [
    [27.4, 40],
    [66.1, 40],
  ]);
  const named = stakes.getByLabel("Name of the stake on the far hash row");
  await named.selectOption("line:far-number-tops");
  const cure = page.getByRole("button", { name: "Call it “far hash row”" });
  await cure.click();
  await cure.waitFor({ state: "detached" });
  await named.waitFor();

  // A mark where the scene's own camera shows a known point measures there: the lines fix the frame.
  await page.getByRole("tab", { name: /Marks/u }).click();
  await page.getByRole("button", { name: "Mark R", exact: true }).click();
  await clickImage(page, seen(scene, frame, 40, 10));
  const row = page.getByRole("row", { name: /^R\b/u });
  await row.waitFor();
  const across = /([\d.]+) yd in from near/u.exec(await row.innerText())?.[1];
  expect(Math.abs(Number(across) - 10)).toBeLessThan(0.15);
});
