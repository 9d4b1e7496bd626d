/**
 * Feedback pages of a 70-play game with four officials, stills and all, written by the window as PDF and HTML: how long it takes,
 * what memory it takes, and whether the window still moves meanwhile. The game is the demo's plays over and over, on the demo film
 * over and over. `node tests/bench/report.ts`
 */
import { execFileSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium } from "playwright";
import type { GameRecords } from "#core/game/records";
import { demoClicksShape } from "../../src-main/demo/demo-clicks.ts";
import { demoRecords } from "../../src-main/demo/demo-game.ts";
import { probeContainer } from "../../src-main/film/container-probe.ts";
import { fingerprintFilm } from "../../src-main/film/fingerprint.ts";
import { openLibrary } from "../../src-main/store/open-library.ts";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { clipFolder } from "../helpers/clips.ts";
import { ensureTools } from "../helpers/ensure-tools.ts";
import { launchShell } from "../helpers/launch.ts";
import { benchLine } from "./line.ts";

const folderOf = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const demoFilm = folderOf("../../src-main/demo/film.mp4");
const demoFrames = 2223;
const framesPerSecond = 30;
const playCount = 70;
const rounds = 5;

function makeFilm(): string {
  const path = join(clipFolder, "bench-seventy-plays.mp4");
  if (existsSync(path)) return path;
  mkdirSync(clipFolder, { recursive: true });
  const list = join(clipFolder, "bench-seventy-plays.txt");
  writeFileSync(list, `file '${demoFilm}'\n`.repeat(rounds));
  const part = path.replace(/mp4$/u, "part.mp4");
  const args = ["-f", "concat", "-safe", "0", "-i", list, "-c", "copy", "-movflags", "+faststart", "-y", part];
  execFileSync("ffmpeg", ["-hide_banner", "-loglevel", "error", "-nostdin", ...args]);
  renameSync(part, path);
  return path;
}

/** The demo game's plays one round after another, each round later by the length of the demo film. */
async function seventyPlays(filmPath: string): Promise<GameRecords> {
  const clicks = demoClicksShape.parse(JSON.parse(readFileSync(folderOf("../../src-main/demo/clicks.json"), "utf8")));
  const probe = await probeContainer(filmPath);
  if (!probe.ok) throw new Error(probe.sentence);
  const demo = demoRecords(clicks, { path: filmPath, ...(await fingerprintFilm(filmPath)), ...probe.facts });
  const gameId = "seventy-plays";
  const game = { ...demo.game, id: gameId, title: "Seventy plays" };
  const films = demo.films.map((film) => ({ ...film, id: "seventy-film", gameId }));
  const whole: GameRecords = { ...demo, game, films, plays: [], moments: [], stakes: [], marks: [] };
  const all = {
    plays: [...whole.plays],
    moments: [...whole.moments],
    stakes: [...whole.stakes],
    marks: [...whole.marks],
  };
  for (let round = 0; round < rounds; round++) {
    const later = (round * demoFrames) / framesPerSecond;
    const at = (sec: number | null) => (sec === null ? null : sec + later);
    const id = (of: string) => `${of}-${round}`;
    const plays = demo.plays.filter(({ number }) => round * demo.plays.length + number <= playCount);
    const kept = new Set(plays.map((play) => play.id));
    const moments = demo.moments.filter(({ playId }) => kept.has(playId));
    const held = new Set(moments.map((moment) => moment.id));
    const owned = { gameId, filmId: "seventy-film" };
    all.plays.push(
      ...plays.map((play) => ({
        ...play,
        ...owned,
        id: id(play.id),
        number: round * demo.plays.length + play.number,
        startSec: play.startSec + later,
        endSec: play.endSec + later,
        snapSec: at(play.snapSec),
        releaseSec: at(play.releaseSec),
        catchSec: at(play.catchSec),
        deadSec: at(play.deadSec),
      })),
    );
    all.moments.push(
      ...moments.map((moment) => ({
        ...moment,
        ...owned,
        id: id(moment.id),
        playId: id(moment.playId),
        frameIndex: moment.frameIndex + round * demoFrames,
        timeSec: moment.timeSec + later,
      })),
    );
    const ofMoment = <T extends { readonly id: string; readonly momentId: string }>(list: readonly T[]) =>
      list
        .filter(({ momentId }) => held.has(momentId))
        .map((one) => ({ ...one, gameId, id: id(one.id), momentId: id(one.momentId) }));
    all.stakes.push(...ofMoment(demo.stakes));
    all.marks.push(...ofMoment(demo.marks));
  }
  return { ...whole, ...all };
}

/** Of the pages' own processes, and of the program; shared memory is counted by its share. MB of 10⁶ bytes. */
async function memoryMB(
  browser: Browser,
  programPid: number,
): Promise<{ readonly window: number; readonly program: number }> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  await session.detach();
  const pss = (pid: number) =>
    (Number(/^Pss:\s+(\d+) kB/mu.exec(readFileSync(`/proc/${pid}/smaps_rollup`, "utf8"))?.[1] ?? 0) * 1024) / 1e6;
  const pages = processInfo.filter(({ type }) => type === "renderer").map(({ id }) => pss(id));
  return { window: pages.reduce((sum, one) => sum + one, 0), program: pss(programPid) };
}

ensureTools();
const folder = mkdtempSync(join(tmpdir(), "crewglass-bench-"));
const libraryPath = join(folder, "library.crewglass");
const opened = await openLibrary({ path: libraryPath, clock: () => new Date(), newId: () => crypto.randomUUID() });
if (!opened.ok) throw new Error(opened.failure.sentence);
opened.library.addGame(await seventyPlays(makeFilm()));
opened.library.close();
const shell = await launchShell({ libraryPath });
const browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
try {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(shell.address);
  await page.getByRole("button", { name: "Games", exact: true }).click();
  await page.getByRole("button", { name: /^Open Seventy plays/u }).click();
  await page.locator("article.finding").first().waitFor({ timeout: 120_000 });
  await page.getByRole("button", { name: "Grades", exact: true }).click();
  await page.getByRole("button", { name: "Pages", exact: true }).click();
  await page.locator("article.report img").first().waitFor({ timeout: 120_000 });
  await page.waitForTimeout(5000);
  const before = await memoryMB(browser, shell.pid);
  await page.getByLabel("Into a new folder in").fill(join(folder, "out"));
  let [mostWindow, mostProgram] = [0, 0];
  const watch = setInterval(() => {
    void memoryMB(browser, shell.pid)
      .then(({ window, program }) => {
        mostWindow = Math.max(mostWindow, window);
        mostProgram = Math.max(mostProgram, program);
      })
      .catch(() => undefined);
  }, 500);
  const counted = page.evaluate(
    () =>
      new Promise<{ frames: number; sec: number; longestMs: number }>((resolve) => {
        const begun = performance.now();
        let [frames, last, longestMs] = [0, begun, 0];
        const step = (now: number) => {
          longestMs = Math.max(longestMs, now - last);
          last = now;
          frames++;
          if (document.querySelector(".export-bar[role=status]"))
            resolve({ frames, sec: (performance.now() - begun) / 1000, longestMs });
          else requestAnimationFrame(step);
        };
        requestAnimationFrame(step);
      }),
  );
  const begun = performance.now();
  await page.getByRole("button", { name: /^Write 4 pages/u }).click();
  await page.getByText(/^8 files written to/u).waitFor({ timeout: 300_000 });
  const sec = (performance.now() - begun) / 1000;
  const { frames, sec: countedSec, longestMs } = await counted;
  clearInterval(watch);
  const out = join(folder, "out", readdirSync(join(folder, "out"))[0] ?? "");
  const sizes = readdirSync(out).map((name) => `${name} ${(statSync(join(out, name)).size / 1e6).toFixed(2)} MB`);
  console.log(`  ${sizes.join(", ")}`);
  console.log(`  longest the window stood still: ${longestMs.toFixed(0)} ms`);
  console.log(
    `  window ${before.window.toFixed(0)} MB before, ${mostWindow.toFixed(0)} at most; program ${before.program.toFixed(0)} before, ${mostProgram.toFixed(0)} at most`,
  );
  benchLine("report-four-pages-seventy-plays", sec, "s", "<=", 20);
  benchLine("report-frames-meanwhile", frames / countedSec, "frames/s", ">=", 50);
  benchLine("report-memory-window", mostWindow, "MB", "<=", 700);
  benchLine("report-memory-window-and-program", mostWindow + mostProgram, "MB", "<=", 700);
} finally {
  await browser.close();
  await shell.stop();
  rmSync(folder, { recursive: true, force: true });
}
