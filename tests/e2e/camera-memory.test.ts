/** Two stakes, on a film whose camera is known from the surveys of its other frames. */
import { expect, test } from "vitest";
import { layOut, templateById } from "#core/field/template";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { clickImage, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const layout = layOut(templateById("flag-100x40")!);
const window = demoWindow();
const frame = 90;

test("two stakes survey a frame of a known camera; given up half-way, nothing is lost; a false one is refused", async () => {
  const { page } = window;
  await goToFrame(page, frame);
  await page.getByRole("tab", { name: /Survey/u }).click();
  await page.getByText(/This film’s camera is known from \d+ surveys/u).waitFor();
  const stake = async (id: string, byYards: readonly [number, number] = [0, 0]) => {
    const { at } = layout.landmarks.find((landmark) => landmark.id === id)!;
    await page.getByLabel("Or by name").selectOption(id);
    await clickImage(page, seen(scene, frame, at.xYards + byYards[0], at.yYards + byYards[1]));
  };
  await stake("near-sideline/L20");
  await page.getByRole("heading", { name: "1 of 4 stakes" }).waitFor();
  // Given up here, and come back to: the stake is still there.
  await page.keyboard.press("q");
  await page.getByRole("heading", { name: "Not surveyed" }).waitFor();
  await page.keyboard.press("w");
  await page.getByRole("heading", { name: "1 of 4 stakes" }).waitFor();

  await stake("far-hash/R30");
  await page.getByRole("heading", { name: "Surveyed from the camera’s place" }).waitFor();
  await page.getByRole("tab", { name: /Marks/u }).click();
  await page.getByRole("button", { name: "Mark R", exact: true }).click();
  await clickImage(page, seen(scene, frame, 40, 10));
  const row = page.getByRole("row", { name: /^R\b/u });
  await row.waitFor();
  const across = /([\d.]+) yd in from near/u.exec(await row.innerText())?.[1];
  expect(Math.abs(Number(across) - 10)).toBeLessThan(0.5);

  // A third stake five yards off its name: no camera at that place sees the three so.
  await page.getByRole("tab", { name: /Survey/u }).click();
  await stake("near-sideline/R35", [-5, 0]);
  await page.getByRole("heading", { name: "No survey" }).waitFor();
  await page.getByRole("button", { name: /^Undo: Stake at/u }).click();
  await page.getByRole("heading", { name: "Surveyed from the camera’s place" }).waitFor();
});
