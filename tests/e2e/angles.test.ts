/** Several films of a game: attached at once, put in order, and one play tied to another film by an instant both show. */
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright";
import { afterAll, beforeAll, expect, test } from "vitest";
import { clock } from "#core/game/words";
import { projectRoot } from "../helpers/launch.ts";
import { demoFilm } from "../scene/films.ts";
import { sceneOf } from "../scene/scene.ts";
import { demoWindow, goToFrame } from "./demo-window.ts";

const scene = sceneOf(demoFilm);
const rate = demoFilm.framesPerSec;
const window = demoWindow();
let folder = "";

/** Frames of the demo film before the one that the second film begins with: its clock runs four seconds behind. */
const leadFrames = 120;

/** The play whose handoff is dropped, and a film that begins two seconds before its snap. */
const keeping = scene.plays.find(({ number }) => number === 9)!;
const keptFrom = keeping.snapFrame - 60;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-angles-"));
  const film = join(projectRoot, "src-main/demo/film.mp4");
  mkdirSync(join(folder, "behind"));
  for (const [name, from, seconds] of [
    ["clip 10.mp4", leadFrames / rate, 12],
    ["clip 2.mp4", 0, 3],
    ["behind/keeping.mp4", keptFrom / rate, 6],
  ] as const)
    execFileSync("ffmpeg", [
      "-loglevel",
      "error",
      "-ss",
      String(from),
      "-i",
      film,
      "-t",
      String(seconds),
      "-c:v",
      "libx264",
      "-preset",
      "veryfast",
      "-crf",
      "20",
      join(folder, name),
    ]);
  writeFileSync(join(folder, "clip 3.mp4"), "no film at all");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function attachAll(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Attach film…" }).click();
  await page.getByLabel(/^Path of the film file/u).fill(`${folder}/`);
  await page.getByRole("button", { name: "Use this file" }).click();
  await page.getByRole("button", { name: "Choose all 3" }).click();
  await page.getByRole("button", { name: "Attach 3 films" }).click();
  await page.getByRole("list", { name: "Not attached" }).waitFor();
  expect(await page.getByRole("list", { name: "Not attached" }).innerText()).toMatch(/clip 3\.mp4: .+/u);
  await page.getByText("2 films attached; not these:").waitFor();
  expect(await page.getByRole("button", { name: "Attach 0 films" }).isDisabled()).toBe(true);
  await page.getByRole("button", { name: "Close", exact: true }).click();
}

const frameShown = async (page: Page) =>
  Number(/frame (\d+)/u.exec(await page.getByLabel("Time and frame").innerText())?.[1]);

test("films attached at once in the order of their names; moved, named and taken out; what is no film is told and the rest stays", async () => {
  const { page } = window;
  await attachAll(page);
  const labels = () => page.getByRole("combobox", { name: "Film", exact: true }).locator("option").allInnerTexts();
  await expect.poll(labels).toEqual(["Demo film", "clip 2", "clip 10"]);
  await page.getByRole("button", { name: "Films…" }).click();
  await page.getByRole("button", { name: "Move clip 10 up" }).click();
  await expect.poll(labels).toEqual(["Demo film", "clip 10", "clip 2"]);
  const row = (label: string) =>
    page.getByRole("listitem").filter({ has: page.getByLabel(`Name of the film ${label}`) });
  await row("clip 2").locator(".grip").dragTo(row("Demo film"));
  await expect.poll(labels).toEqual(["clip 2", "Demo film", "clip 10"]);
  await row("clip 2").locator(".grip").dragTo(row("clip 10"));
  await expect.poll(labels).toEqual(["Demo film", "clip 10", "clip 2"]);
  await page.getByLabel("Name of the film clip 10").fill("End zone");
  await page.getByLabel("Name of the film clip 10").press("Enter");
  await expect.poll(labels).toEqual(["Demo film", "End zone", "clip 2"]);
  expect(await page.getByRole("button", { name: "Take Demo film out of the game" }).isDisabled()).toBe(true);
  await page.getByRole("button", { name: "Take clip 2 out of the game" }).click();
  await expect.poll(labels).toEqual(["Demo film", "End zone"]);
  await page.getByRole("dialog").getByRole("button", { name: "Close" }).click();
  await page.keyboard.press("Control+z");
  await expect.poll(labels).toEqual(["Demo film", "End zone", "clip 2"]);
});

test("a play tied to another film by its snap; the same instant there and back by one key; its moments count for the play", async () => {
  const { page } = window;
  await attachAll(page);
  const play = scene.plays.find(({ number }) => number === 2)!;
  await page.getByRole("button", { name: /^Play 2, /u }).press("Enter");
  await page.getByRole("tab", { name: /Play/u }).click();
  await page
    .getByRole("region", { name: "Angles" })
    .getByLabel(/^Another angle/u)
    .selectOption({ label: "clip 10" });
  await page.getByText("Go to the frame of clip 10 that shows the snap of play 2.").waitFor();
  await expect.poll(() => frameShown(page)).toBe(0);
  await goToFrame(page, play.snapFrame - leadFrames);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("button", { name: "This frame is it" }).click();
  await page.getByText("Play 2, 2nd & 9").waitFor();
  await page.getByText("tied at 0:02.90").waitFor();

  // Twenty frames on, and the same instant on the other film; and back.
  await page.locator(".film-pane").focus();
  await goToFrame(page, play.snapFrame - leadFrames + 20);
  await page.keyboard.press("/");
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame + 20);
  expect(await page.getByRole("combobox", { name: "Film", exact: true }).locator("option:checked").innerText()).toBe(
    "Demo film",
  );
  await page.keyboard.press("/");
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame - leadFrames + 20);
  await page.locator('.film-pane[data-shown="true"]').waitFor();

  // A moment judged there is the play's own, by the play's clock.
  await page.getByRole("button", { name: /^Judge this frame: keys/u }).click();
  await page.getByRole("tab", { name: /Findings/u }).click();
  await page
    .getByRole("region", { name: "Play 2 as a whole" })
    .getByText(`The moment at ${((play.snapFrame + 20) / rate).toFixed(2)} s is not surveyed.`)
    .waitFor();
  await page.getByRole("tab", { name: /Play/u }).click();
  expect(await page.getByRole("button", { name: "Untie play 2 from clip 10" }).isDisabled()).toBe(true);
  await page.keyboard.press("Control+z");
  await expect.poll(() => page.getByRole("button", { name: "Untie play 2 from clip 10" }).isDisabled()).toBe(false);

  // Tied a frame late, and tied anew: the moment's instant goes with it, and the play before is proposed by it.
  await page.getByRole("button", { name: "Tie anew: play 2 to clip 10" }).click();
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame - leadFrames);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.locator(".film-pane").focus();
  await goToFrame(page, play.snapFrame - leadFrames + 1);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("button", { name: "This frame is it" }).click();
  await page.getByText(`tied at ${clock((play.snapFrame - leadFrames + 1) / rate)}`).waitFor();
  await page.keyboard.press("Control+z");
  await page.getByText(`tied at ${clock((play.snapFrame - leadFrames) / rate)}`).waitFor();
  const next = scene.plays.find(({ number }) => number === 3)!;
  await page.getByRole("combobox", { name: "Film", exact: true }).selectOption({ label: "Demo film" });
  await page.getByText("frame", { exact: false }).first().waitFor();
  await page.getByRole("button", { name: /^Play 3, /u }).press("Enter");
  await page
    .getByRole("region", { name: "Angles" })
    .getByLabel(/^Another angle/u)
    .selectOption({ label: "clip 10" });
  await page.getByText(`By play 2 it is at ${clock((next.snapFrame - leadFrames) / rate)}.`).waitFor();
  await expect.poll(() => frameShown(page)).toBe(next.snapFrame - leadFrames);
});

test("what was found of a play, its strip and the plan are the same from both films, and a moment is gone to on either", async () => {
  const { page } = window;
  await page.getByRole("button", { name: "Attach film…" }).click();
  await page.getByLabel(/^Path of the film file/u).fill(join(folder, "behind", "keeping.mp4"));
  await page.getByRole("button", { name: "Use this file" }).click();
  // A film that is attached alone is shown.
  await page.getByText("frame 0", { exact: true }).waitFor();
  await page.getByRole("combobox", { name: "Film", exact: true }).selectOption({ label: "Demo film" });
  await page.getByText(/^frame [1-9]/u).waitFor();
  await page.getByRole("button", { name: /^Play 9, /u }).press("Enter");
  await page.getByRole("region", { name: "Play 9 as a whole" }).waitFor();
  await page.getByRole("tab", { name: /Play/u }).click();
  await page
    .getByRole("region", { name: "Angles" })
    .getByLabel(/^Another angle/u)
    .selectOption({ label: "keeping" });
  await expect.poll(() => frameShown(page)).toBe(0);
  await goToFrame(page, 60);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("button", { name: "This frame is it" }).click();
  await page.getByText("tied at 0:02.00").waitFor();
  await page.getByRole("tab", { name: /Findings/u }).click();

  const whole = page.getByRole("region", { name: "Play 9 as a whole" });
  const dropped = whole.locator("article[data-rule='HO-LEFT-ZONE'][data-verdict='missed']");
  const said = () => whole.locator("article.finding").allInnerTexts();
  await dropped.waitFor();
  const fromBehind = await said();
  await page.getByRole("button", { name: "Other angle: Demo film" }).click();
  await expect.poll(() => frameShown(page)).toBe(keeping.snapFrame);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await dropped.waitFor();
  expect(await said()).toEqual(fromBehind);
  await page.getByRole("button", { name: "Other angle: keeping" }).click();
  await expect.poll(() => frameShown(page)).toBe(60);
  await page.locator('.film-pane[data-shown="true"]').waitFor();

  // A moment that was marked on the one film is gone to on the film in view.
  await page.getByRole("tab", { name: /Play/u }).click();
  const marked = 1275;
  await page.getByRole("button", { name: `Go to Keys at ${clock(marked / rate)}` }).click();
  await expect.poll(() => frameShown(page)).toBe(marked - keptFrom);
});

test("the breakdown shows the play on either film, its times on the play's clock, and a new play apart from it", async () => {
  const { page } = window;
  await attachAll(page);
  const play = scene.plays.find(({ number }) => number === 2)!;
  await page.getByRole("button", { name: /^Play 2, /u }).press("Enter");
  await page.getByRole("tab", { name: /Play/u }).click();
  await page
    .getByRole("region", { name: "Angles" })
    .getByLabel(/^Another angle/u)
    .selectOption({ label: "clip 10" });
  await expect.poll(() => frameShown(page)).toBe(0);
  await goToFrame(page, play.snapFrame - leadFrames);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("button", { name: "This frame is it" }).click();
  await page.getByText("tied at 0:02.90").waitFor();

  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.getByRole("group", { name: "Times of play 2" }).waitFor();
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame - leadFrames);
  await page.keyboard.press("/");
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame);
  await page.keyboard.press("/");
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame - leadFrames);
  // The release is said on the other film and counts on the play's clock.
  await goToFrame(page, play.snapFrame - leadFrames + 30);
  await page.keyboard.press("r");
  const release = page.getByRole("group", { name: "Times of play 2" }).getByRole("slider", { name: /^Release/u });
  await expect.poll(() => release.getAttribute("aria-valuetext")).toBe(clock((play.snapFrame + 30) / rate));
  await page.keyboard.press("m");
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await expect.poll(() => frameShown(page)).toBe(play.snapFrame - leadFrames);
});
