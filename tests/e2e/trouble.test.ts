/** What goes wrong for a person, and what the window says and does about it. */
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdtempSync, renameSync, rmSync, truncateSync } from "node:fs";
import { homedir, tmpdir } from "node:os";
import { dirname, join, sep } from "node:path";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright";
import { afterAll, beforeAll, beforeEach, expect, onTestFinished, test } from "vitest";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell, type LaunchedShell, projectRoot } from "../helpers/launch.ts";

let browser: Browser;
let shell: LaunchedShell;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
});
afterAll(() => browser.close());

beforeEach(async () => {
  shell = await launchShell();
  context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  onTestFinished(async () => {
    await context.close();
    await shell.stop();
  });
  await page.goto(shell.address);
  await page.locator("article.finding").first().waitFor();
});

function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-e2e-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

async function newGame(): Promise<void> {
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "New game…" }).click();
  await page.getByLabel("Home team").fill("Gull Lane");
  await page.getByLabel("Visitors").fill("Reed Bank");
  await page.getByRole("button", { name: "Make the game" }).click();
  await page.getByRole("heading", { name: "No film yet" }).waitFor();
}

async function nameFile(path: string): Promise<void> {
  await page.getByLabel(/^Path of the film file/u).fill(path);
  await page.getByRole("button", { name: "Use this file" }).click();
}

test("a film that moved is missed by name, found again where it is now, and another file is refused in its place", async () => {
  const folder = temporaryFolder();
  const [first, second] = [join(folder, "first.mp4"), join(folder, "second.mp4")];
  copyFileSync(join(projectRoot, "src-main", "demo", "film.mp4"), first);
  await newGame();
  await page.getByRole("button", { name: "Attach film…" }).click();
  await nameFile(first);
  await page.getByText("frame 0", { exact: true }).waitFor();

  renameSync(first, second);
  await page.reload();
  await page.locator("article.finding").first().waitFor();
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "Open Gull Lane v Reed Bank" }).click();
  await page.getByRole("heading", { name: "The film is not where it was" }).waitFor();
  await page.getByRole("button", { name: "Find it…" }).click();
  await nameFile(join(projectRoot, "package.json"));
  await page.getByRole("alert").getByText(/film/iu).first().waitFor();
  await nameFile(second);
  await page.getByText("frame 0", { exact: true }).waitFor();
  expect(await page.getByRole("heading", { name: "The film is not where it was" }).count()).toBe(0);

  // Moved once more, and looked for by its content in the folder that is open in the list.
  renameSync(second, join(folder, "third.mp4"));
  await page.reload();
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: "Open Gull Lane v Reed Bank" }).click();
  await page.getByRole("button", { name: "Find it…" }).click();
  const names = (path: string): string[] => path.split(sep).filter((name) => name !== "");
  for (let at = homedir(); names(at).length > 0; at = dirname(at)) {
    await page.getByText(at, { exact: true }).waitFor();
    await page.getByRole("button", { name: "up one folder" }).click();
  }
  for (const name of names(folder)) await page.getByRole("button", { name: `${name}/`, exact: true }).click();
  await page.getByText(folder, { exact: true }).waitFor();
  await page.getByRole("button", { name: "Look for it in this folder" }).click();
  await page.getByText("frame 0", { exact: true }).waitFor();
});

test("a film that cannot be played says its codec and the command that helps, and attaches nothing", async () => {
  const path = join(temporaryFolder(), "old.avi");
  spawnSync("ffmpeg", ["-loglevel", "error", "-f", "lavfi", "-i", "testsrc=d=1:s=160x90", "-c:v", "mjpeg", path]);
  await newGame();
  await page.getByRole("button", { name: "Attach film…" }).click();
  await nameFile(path);
  const notice = page.getByRole("alert");
  await notice.getByText(/Motion JPEG/u).waitFor();
  expect(await notice.locator("code").innerText()).toMatch(/^ffmpeg .*libx264/u);
  // Inside the dialog, where it can be reached: everything outside an open dialog cannot.
  await page.getByRole("dialog").getByRole("button", { name: "Dismiss" }).click();
  expect(await notice.getByText(/Motion JPEG/u).count()).toBe(0);
  await page.getByRole("button", { name: "Cancel" }).click();
  expect(await page.getByRole("heading", { name: "No film yet" }).isVisible()).toBe(true);
});

test("a film taken away while its game is open offers to be found, and goes on when it is back", async () => {
  const path = join(temporaryFolder(), "here.mp4");
  // The demo film twelve times over: more than any reader takes in ahead, so that a place further on needs the disk.
  const kept = join(temporaryFolder(), "kept.mp4");
  const demoFilm = join(projectRoot, "src-main", "demo", "film.mp4");
  spawnSync("ffmpeg", ["-loglevel", "error", "-stream_loop", "11", "-i", demoFilm, "-c", "copy", kept]);
  const give = () => copyFileSync(kept, path);
  give();
  await newGame();
  await page.getByRole("button", { name: "Attach film…" }).click();
  await nameFile(path);
  await page.getByText("frame 0", { exact: true }).waitFor();
  // As pulling out its disk does: whoever reads it now reads no further, and it is there no more.
  truncateSync(path, 0);
  rmSync(path);
  await page.locator(".strip-track").click({ position: { x: 700, y: 20 } });
  await page.getByRole("heading", { name: "The film is not where it was" }).waitFor();
  give();
  await page.getByRole("button", { name: "Look again" }).click();
  await page.getByRole("toolbar", { name: "Film" }).waitFor();
  await page.keyboard.press("w");
  expect(await page.getByLabel("Time and frame").innerText()).toMatch(/frame \d+/u);
});

test("a film written over while its game is open shows none of the other's frames, and goes on when it is itself again", async () => {
  const path = join(temporaryFolder(), "here.mp4");
  const kept = join(temporaryFolder(), "kept.mp4");
  const demoFilm = join(projectRoot, "src-main", "demo", "film.mp4");
  spawnSync("ffmpeg", ["-loglevel", "error", "-stream_loop", "11", "-i", demoFilm, "-c", "copy", kept]);
  copyFileSync(kept, path);
  await newGame();
  await page.getByRole("button", { name: "Attach film…" }).click();
  await nameFile(path);
  await page.getByText("frame 0", { exact: true }).waitFor();
  copyFileSync(demoFilm, path);
  await page.locator(".strip-track").click({ position: { x: 700, y: 20 } });
  await page.getByRole("heading", { name: "This is not the film that was attached" }).waitFor();
  copyFileSync(kept, path);
  await page.getByRole("button", { name: "Look again" }).click();
  await page.getByRole("toolbar", { name: "Film" }).waitFor();
  await page.keyboard.press("w");
  expect(await page.getByLabel("Time and frame").innerText()).toMatch(/frame \d+/u);
});

test("a stake under a wrong name is blamed, renamed with one press, and both edits can be taken back and made again", async () => {
  await page.getByRole("tab", { name: /Survey/u }).click();
  const names = page.getByRole("region", { name: "Stakes" }).getByRole("combobox");
  const third = names.nth(2);
  const right = await third.inputValue();
  await third.selectOption(right.replace(/L5$/u, "L10"));
  const cure = page.getByRole("button", { name: /^Call it/u });
  await cure.waitFor();
  expect(await cure.innerText()).toContain("left 5");
  await cure.click();
  await cure.waitFor({ state: "detached" });
  expect(await third.inputValue()).toBe(right);
  await page.keyboard.press("Control+z");
  await cure.waitFor();
  await page.keyboard.press("Control+y");
  await cure.waitFor({ state: "detached" });
});

test("two windows on one library show each other's edits", async () => {
  const other = await context.newPage();
  await other.goto(`${shell.origin}/`);
  await other.locator("article.finding").first().waitFor();
  await other.getByRole("tab", { name: /Survey/u }).click();
  await page.getByRole("tab", { name: /Survey/u }).click();
  await page
    .getByRole("button", { name: /^Take the stake at/u })
    .first()
    .click();
  await expect.poll(() => other.getByRole("button", { name: /^Take the stake at/u }).count()).toBe(7);
});

test("by keyboard alone: choose a point by name, aim with the arrows, set it, nudge it, take it away", async () => {
  await page.keyboard.press("w");
  await page.getByText("frame 49", { exact: true }).waitFor();
  await page.keyboard.press("2");
  await page.getByLabel("Or by name").focus();
  await page.getByLabel("Or by name").selectOption("near-sideline/L20");
  await page.getByRole("application").focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Shift+ArrowLeft");
  await page.keyboard.press("Enter");
  await page.getByText("1 of 4 stakes").waitFor();
  await page.keyboard.press("Alt+ArrowUp");
  await page.getByRole("button", { name: "Undo: Move a stake" }).waitFor();
  await page.keyboard.press("Delete");
  await page.getByRole("heading", { name: "Not surveyed" }).waitFor();
  expect(await page.getByRole("region", { name: "Stakes" }).getByRole("row").count()).toBe(0);
});
