/**
 * A film through a lens that bows lines: measured from lines clicked along, and right from then on. The lens is
 * ffmpeg's own (filter lenscorrection), a polynomial where the program's is a quotient.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { projectRoot } from "../helpers/launch.ts";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { clickImage, seen } from "./clicking.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";
import { attachFilm } from "../helpers/new-game.ts";

const scene = sceneOf(demoFilm);
const window = demoWindow();
const frame = 20;
const k1 = 0.08;

/** Where ffmpeg puts what the straight film has at a point: straight = bent · (1 + k₁ r²), r in half-diagonals. */
function bent(xYards: number, yYards: number) {
  const straight = seen(scene, frame, xYards, yYards);
  const [u, v] = [straight.uPx - 640, straight.vPx - 360];
  const half = Math.hypot(640, 360);
  let scale = 1;
  for (let pass = 0; pass < 30; pass++) scale = 1 / (1 + k1 * ((scale * Math.hypot(u, v)) / half) ** 2);
  return { uPx: 640 + u * scale, vPx: 360 + v * scale };
}

test("the lens of a film is measured from bowed lines, and counted out of every survey of it", async () => {
  const { page } = window;
  const folder = mkdtempSync(join(tmpdir(), "crewglass-e2e-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const path = join(folder, "bowed.mp4");
  const source = join(projectRoot, "src-main", "demo", "film.mp4");
  const lens = `lenscorrection=k1=${k1}:k2=0:i=bilinear`;
  const { status } = spawnSync("ffmpeg", ["-loglevel", "error", "-t", "2", "-i", source, "-vf", lens, path]);
  expect(status).toBe(0);

  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "New game…" }).click();
  await page.getByLabel("Home team").fill("Gull Lane");
  await page.getByLabel("Visitors").fill("Reed Bank");
  await page.getByRole("button", { name: "Make the game" }).click();
  await attachFilm(page, path);
  await page.getByText("frame 0", { exact: true }).waitFor();
  await goToFrame(page, frame);
  await page.getByRole("tab", { name: /Survey/u }).click();
  const measure = page.getByRole("button", { name: /^Measure the lens/u });
  expect(await measure.isDisabled()).toBe(true);

  const lines: [string, [number, number][]][] = [
    ["far-sideline", [6, 26, 46, 62].map((x) => [x, 40])],
    ["near-sideline", [26, 34, 44, 54].map((x) => [x, 0])],
    ["L-goal", [16, 26, 38].map((y) => [10, y])],
    ["mid", [3, 18, 36].map((y) => [50, y])],
  ];
  const stakes = page.getByRole("region", { name: "Stakes" });
  await page.keyboard.down("Alt");
  for (const [id, places] of lines) {
    await page.getByLabel("Or by name").selectOption(`line:${id}`);
    for (const [index, [x, y]] of places.entries()) {
      await clickImage(page, bent(x, y));
      await stakes
        .getByText(`line, ${index + 1} ${index === 0 ? "click" : "clicks"}`)
        .last()
        .waitFor();
    }
  }
  await page.keyboard.up("Alt");
  await page
    .getByText(/leave a straight line by up to/u)
    .first()
    .waitFor();

  await page.getByRole("button", { name: "Measure the lens from 4 lines" }).click();
  const words = page.getByRole("region", { name: "Lens" }).getByText(/lines are straight to/u);
  await words.waitFor();
  const [after, before] = /to ([\d.]+) px with it, ([\d.]+) px without/u
    .exec(await words.innerText())!
    .slice(1)
    .map(Number);
  expect(before).toBeGreaterThan(1.5);
  expect(after).toBeLessThan(before! / 4);
  expect(await page.getByText(/leave a straight line by up to/u).count()).toBe(0);

  await page.getByRole("tab", { name: /Marks/u }).click();
  await page.getByRole("button", { name: "Mark R", exact: true }).click();
  await clickImage(page, bent(40, 10));
  const row = page.getByRole("row", { name: /^R\b/u });
  await row.waitFor();
  const across = /([\d.]+) yd in from near/u.exec(await row.innerText())?.[1];
  expect(Math.abs(Number(across) - 10)).toBeLessThan(0.15);
});
