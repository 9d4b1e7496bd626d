/**
 * The window on a two-hour film: how soon its strip of pictures is usable and complete, whether making it costs playback
 * frames, what memory the window takes with 150 plays; and how a mark among forty drags over a 1080p frame. Driven by keys
 * and clicks in the browser that is installed. `node tests/bench/film-window.ts`
 */
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium, type Page } from "playwright";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { clipFolder, x264 } from "../helpers/clips.ts";
import { ensureTools } from "../helpers/ensure-tools.ts";
import { ensureBuilt, launchShell } from "../helpers/launch.ts";
import { benchLine } from "./line.ts";
import { attachFilm, newGame } from "../helpers/new-game.ts";

const demoFilm = fileURLToPath(new URL("../../src-main/demo/film.mp4", import.meta.url));
const twoHoursSec = 7200;
const demoSec = 74;
const playCount = 150;
const markCount = 40;

function make(name: string, args: readonly string[]): string {
  const path = join(clipFolder, `bench-${name}.mp4`);
  if (existsSync(path)) return path;
  const part = path.replace(/mp4$/u, "part.mp4");
  execFileSync("ffmpeg", ["-hide_banner", "-loglevel", "error", "-nostdin", ...args, "-y", part]);
  renameSync(part, path);
  return path;
}

/** The demo film over and over, 720p, without encoding again. */
function makeTwoHours(): string {
  const list = join(clipFolder, "bench-two-hours-720p.txt");
  writeFileSync(list, `file '${demoFilm}'\n`.repeat(Math.ceil(twoHoursSec / demoSec)));
  const concat = ["-f", "concat", "-safe", "0", "-i", list, "-t", String(twoHoursSec), "-c", "copy"];
  return make("two-hours-720p", [...concat, "-movflags", "+faststart"]);
}

function make1080p(): string {
  const scale = "scale=1920:1080:flags=bicubic,fps=30";
  return make("1080p-gop30", ["-i", demoFilm, "-t", "20", "-an", "-vf", scale, ...x264(30, 2)]);
}

async function gameOn(page: Page, filmPath: string): Promise<void> {
  await newGame(page);
  await attachFilm(page, filmPath);
}

async function withWindow(work: (page: Page, browser: Browser) => Promise<void>): Promise<void> {
  const shell = await launchShell();
  const browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await page.goto(shell.address);
    await page.locator("article.finding").first().waitFor();
    await work(page, browser);
  } finally {
    await browser.close();
    await shell.stop();
  }
}

/** Of the pages' own processes together; shared memory is counted by its share. MB of 10⁶ bytes. */
async function memoryMB(browser: Browser): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  let kB = 0;
  for (const { id, type } of processInfo) {
    if (type !== "renderer") continue;
    kB += Number(/^Pss:\s+(\d+) kB/mu.exec(readFileSync(`/proc/${id}/smaps_rollup`, "utf8"))?.[1] ?? 0);
  }
  await session.detach();
  return (kB * 1024) / 1e6;
}

/** Playing for a while by the browser's own player: frames it dropped, of those it had. */
async function playFor(page: Page, ms: number): Promise<{ readonly dropped: number; readonly total: number }> {
  const quality = () =>
    page.locator("video").evaluate((video) => {
      const { droppedVideoFrames, totalVideoFrames } = (video as HTMLVideoElement).getVideoPlaybackQuality();
      return { dropped: droppedVideoFrames, total: totalVideoFrames };
    });
  await page.locator(".film-pane").focus();
  await page.keyboard.press("Space");
  await page.waitForTimeout(1500);
  const before = await quality();
  await page.waitForTimeout(ms);
  const after = await quality();
  await page.keyboard.press("Space");
  return { dropped: after.dropped - before.dropped, total: after.total - before.total };
}

/** A cut list of plays all through the film. */
function cutList(): string {
  const rows = Array.from({ length: playCount }, (_, i) => {
    const start = (i * twoHoursSec) / playCount;
    return `${start},${start + 3},${start + 20},${(i % 4) + 1},8`;
  });
  return `start_s,snap_s,end_s,down,distance_yd\r\n${rows.join("\r\n")}\r\n`;
}

async function measureLongFilm(page: Page, browser: Browser, path: string): Promise<void> {
  await gameOn(page, path);
  const attached = performance.now();
  await page.getByText("frame 0", { exact: true }).waitFor({ timeout: 60_000 });
  await page.waitForFunction(
    () => {
      const all = document.querySelectorAll(".strip-pictures > span").length;
      return all > 1 && document.querySelectorAll(".strip-pictures img").length === all;
    },
    null,
    { timeout: 120_000 },
  );
  benchLine("film-strip-two-hours-usable", (performance.now() - attached) / 1000, "s", "<=", 10);
  const making = page.locator(".strip-making");
  await making.waitFor();
  const busy = await playFor(page, 5000);
  console.log(`  played with pictures still to make: ${busy.dropped} of ${busy.total} frames dropped`);
  await making.waitFor({ state: "detached", timeout: 900_000 });
  benchLine("film-strip-two-hours-complete", (performance.now() - attached) / 1000, "s", "<=", 600);
  const idle = await playFor(page, 5000);
  console.log(`  played with all made: ${idle.dropped} of ${idle.total} frames dropped`);
  const share = ({ dropped, total }: typeof busy) => (100 * dropped) / Math.max(1, total);
  benchLine("film-strip-dropped-frames-over-idle", Math.max(0, share(busy) - share(idle)), "%", "<=", 1);

  await page.getByRole("button", { name: "Breakdown", exact: true }).click();
  await page.getByRole("button", { name: "Import a cut list…" }).click();
  await page
    .getByLabel("File of a cut list")
    .setInputFiles({ name: "plays.csv", mimeType: "text/csv", buffer: Buffer.from(cutList()) });
  await page.getByRole("button", { name: `Import ${playCount} plays`, exact: true }).click();
  await page
    .locator(".play-sheet tbody tr")
    .nth(playCount - 1)
    .waitFor();
  await page.waitForTimeout(3000);
  benchLine("film-window-memory-two-hours-150-plays", await memoryMB(browser), "MB", "<=", 600);
}

async function measureDrag(page: Page, path: string): Promise<void> {
  await gameOn(page, path);
  await page.locator('.film-pane[data-shown="true"]').waitFor();
  await page.getByRole("tab", { name: /Marks/u }).click();
  await page.getByRole("button", { name: "Mark A receiver", exact: true }).click();
  const box = (await page.locator(".film-pane").boundingBox())!;
  const at = (index: number): [number, number] => [
    box.x + box.width * (0.15 + 0.07 * (index % 10)),
    box.y + box.height * (0.35 + 0.1 * Math.floor(index / 10)),
  ];
  await page.keyboard.down("Shift");
  for (let index = 0; index < markCount; index++) {
    await page.mouse.click(...at(index));
    await page.locator("tr[data-mark]").nth(index).waitFor();
  }
  await page.keyboard.up("Shift");
  await page.evaluate(() => {
    const held = window as unknown as { ticks: number[] };
    held.ticks = [];
    const tick = (now: number): void => {
      held.ticks.push(now);
      requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  });
  const [x, y] = at(0);
  await page.mouse.move(x, y);
  await page.mouse.down();
  const started = performance.now();
  for (let step = 0; performance.now() - started < 3000; step++) {
    await page.mouse.move(x + 60 * Math.sin(step / 10), y + 30 * Math.cos(step / 10));
  }
  const ticks = await page.evaluate(() => (window as unknown as { ticks: number[] }).ticks);
  await page.mouse.up();
  const gaps = ticks.slice(1).map((now, index) => now - ticks[index]!);
  const seconds = (ticks.at(-1)! - ticks[0]!) / 1000;
  const late = gaps.filter((gap) => gap > 25).length;
  console.log(`  ${gaps.length} frames in ${seconds.toFixed(2)} s, ${late} of them late by half a frame or more`);
  benchLine("film-drag-one-of-40-marks-1080p", gaps.length / seconds, "1/s", ">=", 59);
}

ensureTools();
mkdirSync(clipFolder, { recursive: true });
await ensureBuilt();
const [twoHours, full] = [makeTwoHours(), make1080p()];
await withWindow((page) => measureDrag(page, full));
await withWindow((page, browser) => measureLongFilm(page, browser, twoHours));
