/**
 * The program in use for a long time: one window goes through an evening's work round after round (`load/soak-round.ts`), and what
 * the program and the window still hold is read after each round, at the same place in it and after a collection. A straight
 * line is fitted to each series once the warm-up is over. `node tests/bench/soak.ts --minutes 60`
 *
 * A figure is the growth an hour that is sure: the lower end of the slope's 95 % interval. A long run also says how wide that
 * interval is, for an interval that is wide excuses every growth. Without `--minutes`, or CREWGLASS_SOAK_MINUTES, three minutes
 * are run and the figures are named `soak-short`: they show that the rounds run, and find only what leaks fast.
 */
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { spawnSync } from "node:child_process";
import { ensureBuilt, launchShell, projectRoot } from "../helpers/launch.ts";
import { observersPackets } from "../helpers/observers-packets.ts";
import { demoFilmPath, makeInventedLibrary } from "../load/invented-library.ts";
import { fitLine, type Sample } from "../load/line-fit.ts";
import {
  handlesOf,
  inspectProgram,
  launchBrowser,
  memoryOf,
  openToInspection,
  sessionOf,
  sizeMB,
  windowHeap,
  windowMemoryMB,
  withoutSpare,
} from "../load/running-program.ts";
import { type Soaked, soakRound } from "../load/soak-round.ts";
import { benchLine } from "./line.ts";

const shortMinutes = 3;
/** A short run goes on until there are so many samples to fit a line to, the warm-up aside. */
const leastSamples = 5;
/** From here on a run is long enough to be named without `short`. */
const longMinutes = 20;
const mostFailuresInARow = 3;
/** Idle connections are kept for five seconds by the program, and closed by then. */
const settleMs = 6500;

/** SQLite writes its log back at a thousand pages of 4 KiB, and keeps the file at its largest: twice that leaves room for one long edit. */
const mostLogMB = 8.2;

/** Series, what is allowed to grow in an hour, and how wide the error of a long run may be. */
const series = {
  "program-memory": { unit: "MB/h", most: 10, widest: 15 },
  "program-heap": { unit: "MB/h", most: 5, widest: 5 },
  handles: { unit: "1/h", most: 0, widest: 3 },
  resources: { unit: "1/h", most: 0, widest: 3 },
  "window-memory": { unit: "MB/h", most: 40, widest: 60 },
  "window-heap": { unit: "MB/h", most: 10, widest: 10 },
  "dom-nodes": { unit: "1/h", most: 0, widest: 400 },
  "dom-documents": { unit: "1/h", most: 0, widest: 3 },
  listeners: { unit: "1/h", most: 0, widest: 60 },
} as const;
type Name = keyof typeof series;
const names = Object.keys(series) as Name[];

function minutesAsked(): number {
  const at = process.argv.indexOf("--minutes");
  const given = at < 0 ? process.env["CREWGLASS_SOAK_MINUTES"] : process.argv[at + 1];
  const minutes = given === undefined ? shortMinutes : Number(given);
  if (!(minutes > 0 && minutes <= 24 * 60)) throw new Error("--minutes takes a number of minutes, up to a day.");
  return minutes;
}

const minutes = minutesAsked();
const isLong = minutes >= longMinutes;
const prefix = isLong ? "soak" : "soak-short";
const warmUpMs = Math.min(10, minutes / 4) * 60_000;
const mostMs = 2 * minutes * 60_000;
await ensureBuilt();
const folder = mkdtempSync(join(tmpdir(), "crewglass-soak-"));
const [libraryPath, exportFolder] = [join(folder, "library.crewglass"), join(folder, "out")];
mkdirSync(exportFolder);
const { titles } = await makeInventedLibrary(libraryPath, demoFilmPath, {
  games: 2,
  playsPerGame: 8,
  marksPerPlay: 100,
  correctedEvery: 2,
  commitsOfCorrected: 200,
});
const { paths } = await observersPackets(folder, [{ name: "Wendeline Askew", severity: 0.3 }], 1);
const packet = { path: paths[0] ?? "", title: "Herons v Lanterns 1" };
const shell = await launchShell({ libraryPath, env: openToInspection });
const [program, browser] = [await inspectProgram(shell), await launchBrowser()];
const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
const page = await context.newPage();
const thrown: string[] = [];
page.on("pageerror", (error) => thrown.push(error.message));
await page.goto(shell.address);
await page.getByRole("button", { name: `Open ${titles[0] ?? ""}` }).waitFor();
const session = await sessionOf(page);
const soaked: Soaked = { page, titles, packet, folder: exportFolder, left: new Map(), checked: 0 };
const samples = new Map<Name, Sample[]>(names.map((name) => [name, []]));
const begun = performance.now();
const sinceMs = () => performance.now() - begun;

async function sample(): Promise<Record<Name, number>> {
  await page.waitForTimeout(settleMs);
  const { heapMB, nodes, documents, listeners } = await windowHeap(session);
  await withoutSpare(session);
  const heap = await program.usedMB();
  return {
    "program-memory": memoryOf(shell.pid).resident,
    "program-heap": heap,
    handles: handlesOf(shell.pid),
    resources: await program.resources(),
    "window-memory": await windowMemoryMB(browser),
    "window-heap": heapMB,
    "dom-nodes": nodes,
    "dom-documents": documents,
    listeners,
  };
}

const failures: string[] = [];
let [rounds, largestLogMB] = [0, 0];
const warmOf = (name: Name) => (samples.get(name) ?? []).filter(({ x }) => x * 3_600_000 >= warmUpMs);
const isOver = () => sinceMs() >= minutes * 60_000 && (warmOf("handles").length >= leastSamples || sinceMs() >= mostMs);
for (let inARow = 0, said = 0; !isOver() && inARow < mostFailuresInARow;) {
  try {
    await soakRound(soaked, rounds);
    rounds += 1;
    inARow = 0;
  } catch (error) {
    inARow += 1;
    const what = error instanceof Error ? error.message : String(error);
    failures.push(what);
    console.log(`  round ${rounds + 1} went wrong: ${what}`);
    soaked.left.clear();
    await page.keyboard.press("Escape");
    rmSync(exportFolder, { recursive: true });
    mkdirSync(exportFolder);
  }
  const values = await sample();
  largestLogMB = Math.max(largestLogMB, sizeMB(`${libraryPath}-wal`));
  const hours = sinceMs() / 3_600_000;
  for (const name of names) samples.get(name)?.push({ x: hours, y: values[name] });
  const minute = Math.floor(sinceMs() / 60_000);
  if (minute === said && isLong) continue;
  said = minute;
  const shown = names.map((name) => `${name} ${Math.round(values[name] * 10) / 10}`).join(", ");
  const load = (loadavg()[0] ?? 0).toFixed(1);
  console.log(`  ${(sinceMs() / 60_000).toFixed(1)} of ${minutes} min, round ${rounds}, load ${load}: ${shown}`);
}
program.close();
await browser.close();
const endedWith = await shell.stop({ keepLibrary: true });
const check = spawnSync(
  process.execPath,
  [join(projectRoot, "src-main", "command", "crewglass.ts"), "check", libraryPath],
  { cwd: projectRoot, encoding: "utf8" },
);
console.log(`  ${(check.stdout.split("\n")[0] ?? "").replace(libraryPath, "the library")}`);
console.log(`  ${rounds} rounds, ${soaked.checked} things looked for and found, ${failures.length} rounds gone wrong`);
for (const message of new Set(thrown)) console.log(`  thrown in the window: ${message}`);
benchLine(`${prefix}-rounds`, rounds, "rounds", ">=", Math.max(1, Math.floor(minutes / 2.5)));
benchLine(`${prefix}-rounds-gone-wrong`, failures.length, "rounds", "<=", 0);
benchLine(`${prefix}-errors-thrown-in-the-window`, thrown.length, "errors", "<=", 0);
benchLine(`${prefix}-library-not-whole`, check.status ?? 1, "faults", "<=", 0);
benchLine(`${prefix}-program-ended-with`, endedWith, "code", "<=", 0);
benchLine(`${prefix}-write-ahead-log-largest`, largestLogMB, "MB", "<=", mostLogMB);
for (const name of names) {
  const { unit, most, widest } = series[name];
  const warm = warmOf(name);
  const fit = fitLine(warm);
  // Of too few samples nothing is sure: that is no pass.
  const sure = Number.isFinite(fit.halfWidth) ? fit.slope - fit.halfWidth : Infinity;
  const at = (sample_: Sample | undefined) => (sample_?.y ?? 0).toFixed(1);
  console.log(
    `  ${name}: ${at(warm[0])} to ${at(warm.at(-1))}, growing by ${fit.slope.toFixed(2)} ± ${fit.halfWidth.toFixed(2)} ${unit} (95 %), ${warm.length} samples`,
  );
  benchLine(`${prefix}-${name}-growth`, sure, unit, "<=", most);
  if (isLong) benchLine(`${prefix}-${name}-growth-error`, fit.halfWidth, unit, "<=", widest);
}
rmSync(folder, { recursive: true, force: true });
