/**
 * A season of 50 games, 5,000 plays and 500,000 marks in one library, and the same at a tenth with games as large: what a person
 * waits for in each, and how it grew. What needs all of the library may grow as it does; what is of one game may not grow at all.
 * `node tests/bench/load.ts`
 */
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { clipFolder } from "../helpers/clips.ts";
import { ensureTools } from "../helpers/ensure-tools.ts";
import { ensureBuilt } from "../helpers/launch.ts";
import { demoFilmPath, type InventedCounts, makeInventedLibrary } from "../load/invented-library.ts";
import { type LoadFigures, loadFigures } from "../load/load-figures.ts";
import { timesSlower } from "../load/machine-share.ts";
import { benchLine } from "./line.ts";

const ofAGame = { playsPerGame: 100, marksPerPlay: 100, correctedEvery: 10, commitsOfCorrected: 2000 };
const sizes = { tenth: { ...ofAGame, games: 5 }, full: { ...ofAGame, games: 50 } };
/** Eight plays of the demo film have several moments. */
const rounds = Math.ceil(ofAGame.playsPerGame / 8);

const whole = 10.5;
const none = 1.5;
/** What is instant to a person, and what they will wait for without losing the thread: 0.1 s and 1 s, as Nielsen (1993) has it after Miller (1968). */
const goals: Record<string, { readonly unit: "ms" | "MB" | "%"; readonly most: number; readonly growth: number }> = {
  start: { unit: "ms", most: 3000, growth: whole },
  "first-usable-screen": { unit: "ms", most: 1000, growth: whole },
  "games-list": { unit: "ms", most: 1000, growth: whole },
  find: { unit: "ms", most: 1000, growth: whole },
  "open-corrected-game": { unit: "ms", most: 1000, growth: none },
  "open-game": { unit: "ms", most: 1000, growth: none },
  "play-to-play": { unit: "ms", most: 100, growth: none },
  "play-to-play-at-once": { unit: "ms", most: 100, growth: none },
  "edit-saved": { unit: "ms", most: 100, growth: none },
  undo: { unit: "ms", most: 100, growth: none },
  "play-sheet": { unit: "ms", most: 1000, growth: none },
  "play-sheet-all-judged": { unit: "ms", most: 10_000, growth: none },
  "play-sheet-again-judged": { unit: "ms", most: 1000, growth: none },
  "play-sheet-sort": { unit: "ms", most: 100, growth: none },
  "play-sheet-filter": { unit: "ms", most: 100, growth: none },
  "play-sheet-late-frames": { unit: "%", most: 5, growth: none },
  "grade-sheet": { unit: "ms", most: 1000, growth: none },
  "grade-sheet-all-suggested": { unit: "ms", most: 10_000, growth: none },
  "grade-typed": { unit: "ms", most: 100, growth: none },
  "season-totals": { unit: "ms", most: 5000, growth: whole },
  "season-position": { unit: "ms", most: 100, growth: whole },
  eligibility: { unit: "ms", most: 1000, growth: whole },
  "season-export": { unit: "ms", most: 10_000, growth: whole },
  check: { unit: "ms", most: 30_000, growth: whole },
  "file-size": { unit: "MB", most: 1000, growth: whole },
  "program-memory-idle": { unit: "MB", most: 300, growth: none },
  "program-memory-after-all": { unit: "MB", most: 500, growth: none },
  "window-memory-in-a-game": { unit: "MB", most: 900, growth: none },
  "window-memory-after-all": { unit: "MB", most: 900, growth: none },
};
/** Two frames of the window, and as many percent or MB: what is below is shaken more by the machine than by the library. */
const leastTold = 33;

function makeFilm(): string {
  const path = join(clipFolder, `bench-demo-${rounds}-times.mp4`);
  if (existsSync(path)) return path;
  mkdirSync(clipFolder, { recursive: true });
  const list = join(clipFolder, `bench-demo-${rounds}-times.txt`);
  writeFileSync(list, `file '${demoFilmPath}'\n`.repeat(rounds));
  const part = path.replace(/mp4$/u, "part.mp4");
  const args = ["-f", "concat", "-safe", "0", "-i", list, "-c", "copy", "-movflags", "+faststart", "-y", part];
  execFileSync("ffmpeg", ["-hide_banner", "-loglevel", "error", "-nostdin", ...args]);
  renameSync(part, path);
  return path;
}

const load = () =>
  `load average ${(loadavg()[0] ?? 0).toFixed(1)}, work takes ${timesSlower().toFixed(1)} times as long as alone`;

function say(
  name: keyof typeof sizes,
  { titles, plays, moments, marks, grades, commits }: InventedCounts,
  sec: number,
) {
  console.log(
    `  ${name}: ${titles.length} games, ${plays} plays, ${moments} moments, ${marks} marks, ${grades} grades, ${commits} commits, made in ${sec.toFixed(0)} s; ${load()}`,
  );
}

ensureTools();
await ensureBuilt();
const filmPath = makeFilm();
const folder = mkdtempSync(join(tmpdir(), "crewglass-load-"));
const found = {} as Record<keyof typeof sizes, LoadFigures>;
try {
  for (const name of ["tenth", "full"] as const) {
    const path = join(folder, `${name}.crewglass`);
    const began = performance.now();
    const counts = await makeInventedLibrary(path, filmPath, sizes[name]);
    say(name, counts, (performance.now() - began) / 1000);
    found[name] = await loadFigures(path, counts, ofAGame.playsPerGame);
    console.log(`  ${name}: measured; ${load()}`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
for (const [name, { unit, most, growth }] of Object.entries(goals)) {
  const [tenth, full] = [found.tenth[name] ?? Number.NaN, found.full[name] ?? Number.NaN];
  benchLine(`load-${name}-tenth`, tenth, unit, "<=", most);
  benchLine(`load-${name}-full`, full, unit, "<=", most);
  benchLine(`load-${name}-growth`, Math.max(full, leastTold) / Math.max(tenth, leastTold), "times", "<=", growth);
}
