import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell, type LaunchedShell, projectRoot } from "../helpers/launch.ts";
import { demoFilm, otherCameraFilm } from "../scene/films.ts";
import { renderFilm } from "../scene/render-film.ts";
import { type Scene, sceneOf } from "../scene/scene.ts";
import { clickImage, seen, stakeOut } from "./clicking.ts";
import { attachFilm, newGame } from "../helpers/new-game.ts";

/**
 * The main job by real clicks and keys against the running program. The truth is the scene's, which knows nothing of the
 * program: field points and feet are clicked where its own camera shows them.
 */
let browser: Browser;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
});
afterAll(() => browser.close());

async function openWindow(shell: LaunchedShell): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(shell.address);
  return page;
}

const people = ["R", "LJ", "FJ", "BJ", "A passer", "A back"];

async function markPeople(page: Page, scene: Scene, frame: number): Promise<void> {
  await page.getByRole("tab", { name: /Marks/u }).click();
  for (const name of people) {
    await page.getByRole("button", { name: `Mark ${name}`, exact: true }).click();
    const person = truthOf(scene, frame, name);
    await clickImage(page, seen(scene, frame, person.xYards, person.yYards));
    await page.locator(`tr[data-mark="${name}"]`).waitFor();
  }
}

function truthOf(scene: Scene, frame: number, name: string) {
  return scene
    .truthAt(frame)
    .people.find((one) => (one.kind === "official" ? one.position === name : `${one.side} ${one.role}` === name))!;
}

/** Within half a yard along the field everywhere, and across it on the near half, where the stakes hold it. */
async function expectYards(page: Page, scene: Scene, frame: number): Promise<void> {
  await page.getByRole("tab", { name: /Marks/u }).click();
  for (const name of people) {
    const row = page.locator(`tr[data-mark="${name}"]`);
    const there = truthOf(scene, frame, name);
    expect(Math.abs(Number(await row.getAttribute("data-x")) - there.xYards), `${name} along`).toBeLessThan(0.5);
    if (there.yYards < 20) {
      expect(Math.abs(Number(await row.getAttribute("data-y")) - there.yYards), `${name} across`).toBeLessThan(0.5);
    }
  }
}

async function verdictOf(page: Page, position: string): Promise<string | null> {
  await page.getByRole("tab", { name: /Findings/u }).click();
  const station = page
    .getByRole("region", { name: `Findings for ${position}` })
    .locator("article")
    .first();
  await station.waitFor();
  return station.getAttribute("data-verdict");
}

describe("the main job", () => {
  it("on the demo film: stop, stake, mark, read yards, find the planted fault, and find it again after a restart", async () => {
    const scene = sceneOf(demoFilm);
    const shell = await launchShell();
    const page = await openWindow(shell);
    await page.locator("article.finding").first().waitFor();
    await page.keyboard.press("PageDown");
    await page.getByText("frame 201", { exact: true }).waitFor();
    await page.keyboard.press("w");
    await page.keyboard.press("w");
    await page.getByText("frame 203", { exact: true }).waitFor();
    const frame = 203;
    await stakeOut(page, scene, frame, [
      "near-sideline/L20",
      "near-sideline/R30",
      "far-sideline/L10",
      "far-sideline/R20",
    ]);
    await markPeople(page, scene, frame);
    await expectYards(page, scene, frame);
    expect(await verdictOf(page, "FJ")).toBe("missed");
    expect(await verdictOf(page, "R")).toBe("met");
    expect(await verdictOf(page, "LJ")).not.toBe("missed");
    await page.locator("output.saved", { hasText: "saved" }).waitFor();
    await page.close();
    await shell.stop({ keepLibrary: true });

    const again = await launchShell({ libraryPath: shell.libraryPath });
    const back = await openWindow(again);
    await back.locator("article.finding").first().waitFor();
    await back.keyboard.press("PageDown");
    await back.getByText("frame 201", { exact: true }).waitFor();
    await back.keyboard.press("w");
    await back.keyboard.press("w");
    await back.getByText("frame 203", { exact: true }).waitFor();
    expect(await verdictOf(back, "FJ")).toBe("missed");
    await expectYards(back, scene, frame);
    await back.close();
    await again.stop();
  });

  it("on a film of its own from another camera: new game, attach, situation, stakes, marks, yards", async () => {
    const scene = sceneOf(otherCameraFilm);
    const folder = join(projectRoot, "node_modules", ".cache", "clips");
    mkdirSync(folder, { recursive: true });
    const filmPath = join(folder, "other-camera.mp4");
    if (!existsSync(filmPath)) await renderFilm("other", filmPath);
    const shell = await launchShell();
    const page = await openWindow(shell);
    await page.locator("article.finding").first().waitFor();
    await newGame(page);
    await attachFilm(page, filmPath);
    await page.getByText("frame 0", { exact: true }).waitFor();
    await page.keyboard.press("Shift+w");
    await page.getByText("frame 10", { exact: true }).waitFor();
    const frame = 10;
    await stakeOut(page, scene, frame, [
      "near-sideline/L20",
      "near-sideline/L35",
      "far-sideline/L10",
      "far-sideline/mid",
    ]);
    await page.getByRole("tab", { name: /Play/u }).click();
    await page.getByLabel("Scrimmage, yard line").fill("24");
    await page.getByLabel("Scrimmage, yard line").press("Enter");
    await page.getByRole("heading", { name: /Play 1/u }).waitFor();
    await markPeople(page, scene, frame);
    await expectYards(page, scene, frame);
    for (const position of ["FJ", "R", "BJ"]) expect(await verdictOf(page, position), position).not.toBe("missed");
    await page.close();
    await shell.stop();
  });
});
