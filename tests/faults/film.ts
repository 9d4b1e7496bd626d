/**
 * The film is cut off, replaced, made unreadable, taken away while it plays and is stepped through: the window says so in words, shows no
 * frame of another film for this one's, keeps marks and edits, and goes on when the film is back. Every frame of the film has its
 * number painted into it, and so has the other film, whose numbers run backwards.
 */
import { copyFileSync, existsSync, renameSync, rmSync, statSync, truncateSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { readCode } from "../helpers/block-code.ts";
import { keptPath, lentFrameCount, makeLentFilm, otherPath } from "../helpers/lent-film.ts";
import { attachFilm, newGame } from "../helpers/new-game.ts";
import type { Dice } from "./shared/dice.ts";
import { eachTry, type Parts } from "./shared/each-try.ts";
import type { Fault } from "./shared/fault.ts";
import { startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";
import { openWindow } from "./shared/window.ts";

/** How long the window may go on with what it had read ahead before it must say what is wrong. */
const sayWithinMs = 25_000;
const trouble =
  /film is not where it was|not the film that was attached|film cannot be shown|no longer where it was|cannot be read|another content|could not be (?:read|decoded)|broken|damaged/iu;

type Going = { readonly name: string; readonly go: (path: string) => void };

const goings: readonly Going[] = [
  { name: "cut off", go: (path) => truncateSync(path, Math.floor(statSync(path).size / 3)) },
  { name: "written over by another", go: (path) => copyFileSync(otherPath, path) },
  {
    name: "replaced by another",
    go: (path) => {
      copyFileSync(otherPath, `${path}.other`);
      renameSync(`${path}.other`, path);
    },
  },
  {
    name: "pulled out",
    go: (path) => {
      truncateSync(path, 0);
      rmSync(path);
    },
  },
  { name: "moved away", go: (path) => renameSync(path, `${path}.away`) },
];

export const film: Fault = async (options) => {
  await makeLentFilm();
  return eachTry("film", options, ({ folder, seed, ...parts }) => goneWhileSeen(folder, seed, parts));
};

/** Puts the film itself back. A copy has a new time of change, as one brought back from elsewhere has. */
function putBack(path: string): void {
  rmSync(`${path}.away`, { force: true });
  copyFileSync(keptPath, `${path}.back`);
  renameSync(`${path}.back`, path);
}

async function goneWhileSeen(folder: string, seed: number, { browser, dice, tally }: Parts): Promise<string[]> {
  const losses: string[] = [];
  const going = goings[seed % goings.length];
  if (!going) throw new Error("no way to go");
  const libraryPath = join(folder, "library.crewglass");
  const path = join(folder, "film.mp4");
  copyFileSync(keptPath, path);
  const program = startProgram(libraryPath);
  const { page, close } = await openWindow(browser, await program.address);
  await newGame(page);
  await attachFilm(page, path);
  await page.getByText("frame 0", { exact: true }).waitFor();
  await page.getByRole("tab", { name: /Marks/u }).click();
  const marks = page.locator("tr[data-mark]");
  await mark(page, dice);
  await marks.first().waitFor();
  await page.locator("output.saved", { hasText: /^saved$/u }).waitFor();

  const plays = dice.share() < 0.5;
  await page.locator(".film-pane").focus();
  if (plays) await page.keyboard.press("Space");
  await page.waitForTimeout(300 * dice.share());
  going.go(path);
  tally.add(`${going.name}, while ${plays ? "playing" : "stepping"}`);
  // On through the film by jumps and steps, until the window says that it is not to be had.
  const end = performance.now() + sayWithinMs;
  let said = "";
  while (said === "" && performance.now() < end) {
    await jump(page, dice);
    losses.push(...(await wrongFrame(page, `${going.name}`)));
    if (losses.length > 0) break;
    said = (await wordsOf(page)).join(" ");
  }
  if (said === "" && losses.length === 0) losses.push(`${going.name}: nothing was said in ${sayWithinMs / 1000} s`);

  putBack(path);
  const again = page.getByRole("button", { name: "Look again" });
  if (await again.count()) await again.click();
  const bar = page.getByRole("toolbar", { name: "Film" });
  await bar.waitFor();
  await page.locator(".film-pane").focus();
  const back = performance.now() + 15_000;
  for (let shown = false; !shown;) {
    await page.keyboard.press("w");
    shown = await page
      .locator('.film-pane[data-shown="true"]')
      .waitFor({ timeout: 1500 })
      .then(() => true)
      .catch(() => false);
    if (shown) {
      await page.waitForTimeout(200);
      shown = (await wordsOf(page)).length === 0 && (await codeNow(page)).code !== null;
    }
    if (!shown && performance.now() > back) {
      losses.push(`${going.name}: it does not go on with the film back; it says: ${(await wordsOf(page)).join(" ")}`);
      break;
    }
  }
  losses.push(...(await wrongFrame(page, `${going.name}, back again`)));
  await page.getByRole("tab", { name: /Marks/u }).click();
  await mark(page, dice);
  await marks.first().waitFor();
  await page.locator("output.saved", { hasText: /^saved$/u }).waitFor();
  await close();
  await program.stop();
  losses.push(
    ...rawFaults(libraryPath, (db) => {
      const count = Number(db.prepare("SELECT count(*) FROM mark WHERE game_id NOT LIKE 'demo%'").pluck().get());
      return count === 2 ? [] : [`${count} of two marks are in the library`];
    }),
  );
  if (!existsSync(path)) losses.push("the film was not put back");
  return losses;
}

/** Somebody of the crew, or a player, by a click somewhere in the picture. */
async function mark(page: Page, dice: Dice): Promise<void> {
  await page.getByRole("button", { name: "Mark A receiver", exact: true }).click();
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  const box = await page.locator(".film-pane").boundingBox();
  if (!box) throw new Error("there is no film");
  await page.keyboard.down("Shift");
  await page.mouse.click(
    box.x + box.width * (0.3 + 0.4 * dice.share()),
    box.y + box.height * (0.4 + 0.2 * dice.share()),
  );
  await page.keyboard.up("Shift");
}

async function jump(page: Page, dice: Dice): Promise<void> {
  const strip = page.locator(".strip-track");
  const box = await strip.boundingBox();
  if (box && dice.share() < 0.6) {
    await page.mouse.click(box.x + box.width * (0.02 + 0.96 * dice.share()), box.y + box.height / 2);
  } else await page.keyboard.press(dice.pick(["w", "q", "Shift+w", "Shift+q", "."]));
  await page.waitForTimeout(150);
}

/** What the window says in its alerts, in the place of the film, and over it. */
async function wordsOf(page: Page): Promise<string[]> {
  const all = await page.locator('[role="alert"] p, [role="status"], .film-side, .transport').allInnerTexts();
  return all.filter((text) => trouble.test(text));
}

/** The frame that the window says it shows, and the number painted into the picture that it shows. */
async function codeNow(page: Page): Promise<{ frame: number | null; code: number | null; isShown: boolean }> {
  const seen = await page.evaluate(() => {
    const pane = document.querySelector(".film-pane");
    const canvas = pane?.querySelector<HTMLCanvasElement>("canvas.film");
    const text = document.querySelector('[aria-label="Time and frame"]')?.textContent ?? "";
    const context = canvas?.getContext("2d");
    if (!canvas || !context || canvas.width === 0) return null;
    const { data, width, height } = context.getImageData(0, 0, canvas.width, canvas.height);
    return { text, isShown: pane?.getAttribute("data-shown") === "true", data: [...data], width, height };
  });
  if (!seen) return { frame: null, code: null, isShown: false };
  const frame = /frame (\d+)/u.exec(seen.text)?.[1];
  return { frame: frame === undefined ? null : Number(frame), code: readCode(seen), isShown: seen.isShown };
}

async function wrongFrame(page: Page, when: string): Promise<string[]> {
  const { frame, code, isShown } = await codeNow(page);
  if (!isShown || frame === null || code === null || code === frame) return [];
  const isOther = code === lentFrameCount - 1 - frame;
  // What is shown is drawn a moment before or after its number is: a second look tells.
  await page.waitForTimeout(250);
  const again = await codeNow(page);
  if (!again.isShown || again.code === again.frame || again.code === null) return [];
  return [`${when}: frame ${frame} shows the picture of frame ${code}${isOther ? " of the other film" : ""}`];
}
