/**
 * Step latency, cold jumps and the index of a long film, in the browser that is installed, each against the same
 * browser's bare video element on the same file. `node tests/bench/film.ts`
 */
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium, type Page } from "playwright";
import { createServer } from "vite";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { clipFolder, clipPath, makeClips, x264 } from "../helpers/clips.ts";
import { ensureTools } from "../helpers/ensure-tools.ts";
import type { StepRun, VideoRun } from "../helpers/film-bench-page.ts";
import { filmRoute } from "../helpers/film-route.ts";
import { benchLine } from "./line.ts";

const projectRoot = fileURLToPath(new URL("../../", import.meta.url));
const demoFilm = join(projectRoot, "src-main/demo/film.mp4");
const stepsEachWay = 30;
const paceMs = 60;

const sizes = { "720p": [1280, 720], "1080p": [1920, 1080] } as const;
type Kind = { readonly name: string; readonly widthPx: number; readonly heightPx: number; readonly gop: number };
const kinds: readonly Kind[] = Object.entries(sizes).flatMap(([size, [widthPx, heightPx]]) =>
  [30, 250].map((gop) => ({ name: `${size}-gop${gop}`, widthPx, heightPx, gop })),
);

function benchPath(name: string): string {
  return join(clipFolder, `bench-${name}.mp4`);
}

function make(path: string, args: readonly string[]): void {
  if (existsSync(path)) return;
  const part = path.replace(/mp4$/u, "part.mp4");
  execFileSync("ffmpeg", ["-hide_banner", "-loglevel", "error", "-nostdin", ...args, "-y", part]);
  renameSync(part, path);
}

/** Twenty seconds of the demo film, whose pictures are as hard to decode as those of a field. */
function makeFilm({ name, widthPx, heightPx, gop }: Kind): void {
  const scale = `scale=${widthPx}:${heightPx}:flags=bicubic,fps=30`;
  make(benchPath(name), ["-i", demoFilm, "-t", "20", "-an", "-vf", scale, ...x264(gop, 2)]);
}

/** Two hours, 216,000 frames, by repeating a ten-second clip without encoding again. */
async function makeLongFilm(): Promise<void> {
  const [clip] = await makeClips(["constant-30"]);
  if (clip === undefined) throw new Error("no clip");
  const list = join(clipFolder, "bench-two-hours.txt");
  writeFileSync(list, `file '${clip.path}'\n`.repeat(720));
  make(benchPath("two-hours"), ["-f", "concat", "-safe", "0", "-i", list, "-c", "copy", "-movflags", "+faststart"]);
}

function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? NaN;
}
const median = (values: readonly number[]): number => quantile(values, 0.5);
const p95 = (values: readonly number[]): number => quantile(values, 0.95);

function say(name: string, values: readonly number[]): void {
  console.log(`  ${name}: median ${median(values).toFixed(1)} ms, p95 ${p95(values).toFixed(1)} ms`);
}

const module = "/tests/helpers/film-bench-page.ts";

function inPage<Argument, Result>(page: Page, name: string, filmId: string, argument: Argument): Promise<Result> {
  return page.evaluate(
    async ([path, fn, id, arg]) => {
      const functions = (await import(/* @vite-ignore */ path)) as Record<string, (...args: unknown[]) => unknown>;
      return (await functions[fn]?.(id, arg)) as never;
    },
    [module, name, filmId, argument] as const,
  );
}

async function measureSteps(page: Page, { name, gop }: Kind): Promise<void> {
  // The middle of a group of pictures: neither the cheapest nor the dearest place for the video element.
  const fromIndex = 300 + Math.floor(gop / 2);
  for (const frames of [1, -1] as const) {
    const way = frames === 1 ? "forward" : "back";
    const indices = Array.from({ length: stepsEachWay }, (_, i) => fromIndex + frames * (i + 1));
    const bareRun: VideoRun = { indices, startIndex: fromIndex, paceMs };
    const stepRun: StepRun = { fromIndex, frames, count: stepsEachWay, paceMs };
    const bare = await inPage<VideoRun, number[]>(page, "seekVideo", name, bareRun);
    const ours = await inPage<StepRun, number[]>(page, "stepFilm", name, stepRun);
    say(`${name} ${way}, video element`, bare);
    say(`${name} ${way}, exact frame`, ours);
    benchLine(`film-step-${way}-${name}-median`, median(ours) / median(bare), "of-bare-seek", "<=", 0.15);
    benchLine(`film-step-${way}-${name}-p95`, p95(ours) / p95(bare), "of-bare-seek", "<=", 0.3);
  }
}

async function measureJumps(page: Page, { name }: Kind): Promise<void> {
  const indices = [437, 88, 561, 205, 340, 29, 489, 148, 593, 266, 381, 117];
  const bare = await inPage<VideoRun, number[]>(page, "seekVideo", name, { indices, startIndex: 0, paceMs: 300 });
  const ours = await inPage<readonly number[], number[]>(page, "jumpFilm", name, indices);
  say(`${name} cold jump, video element`, bare);
  say(`${name} cold jump, exact frame`, ours);
  benchLine(`film-jump-${name}-median`, median(ours) / median(bare), "of-bare-seek", "<=", 1.25);
}

async function measureHolding(page: Page, { name, gop }: Kind): Promise<void> {
  for (const frames of [1, -1] as const) {
    const fromIndex = 300 + Math.floor(gop / 2) * frames;
    const run: StepRun = { fromIndex, frames, count: 0, paceMs: 0 };
    const perSecond = await inPage<StepRun, number>(page, "holdStep", name, run);
    benchLine(`film-hold-step-${frames === 1 ? "forward" : "back"}-${name}`, perSecond, "frames/s", ">=", 20);
  }
}

ensureTools();
mkdirSync(clipFolder, { recursive: true });
for (const kind of kinds) makeFilm(kind);
await makeLongFilm();
const paths = new Map([...kinds.map(({ name }) => name), "two-hours"].map((name) => [name, benchPath(name)]));
const server = await createServer({
  root: projectRoot,
  configFile: false,
  logLevel: "error",
  cacheDir: join(projectRoot, "node_modules/.cache/bench-vite"),
  optimizeDeps: { include: ["mediabunny"], noDiscovery: true },
  plugins: [
    filmRoute((filmId) => paths.get(filmId) ?? clipPath(filmId)),
    {
      name: "bench-page",
      configureServer({ middlewares }) {
        middlewares.use("/bench", (_request, response) => {
          response.setHeader("Content-Type", "text/html").end("<!doctype html><title>Film</title><body></body>");
        });
      },
    },
  ],
  server: { port: 0, host: "127.0.0.1", hmr: false },
});
await server.listen();
const executablePath = findChromium();
if (executablePath === null) throw new Error("no browser");
const browser = await chromium.launch({ executablePath, args: chromiumFlags() });
try {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(`${server.resolvedUrls?.local[0] ?? ""}bench`);
  // Loads the modules, so that no figure holds their compilation.
  await inPage(page, "timeOpening", "constant-30", null);
  for (const kind of kinds) await measureSteps(page, kind);
  for (const kind of kinds) await measureJumps(page, kind);
  for (const kind of kinds) await measureHolding(page, kind);
  const openings: number[] = [];
  for (let run = 0; run < 3; run++) {
    const { openMs, frameCount } = await inPage<null, { openMs: number; frameCount: number }>(
      page,
      "timeOpening",
      "two-hours",
      null,
    );
    if (frameCount !== 216_000) throw new Error(`the long film has ${frameCount} frames`);
    openings.push(openMs);
  }
  benchLine("film-open-two-hours", median(openings) / 1000, "s", "<=", 1.5);
} finally {
  await browser.close();
  await server.close();
}
