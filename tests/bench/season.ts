/**
 * Season totals: seconds and memory for seasons of 300 officials and 60 observers, and how both grow: `node
 * tests/bench/season.ts`.
 *
 * Each season runs in a process of its own, so that the peak is its own. What is timed is everything from plain grades
 * to totals with intervals, standings and trends; what is in the peak is all of the process, the grades included.
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { scales } from "#core/grading/scales";
import { seasonTotals } from "#core/season/season-totals";
import { sevenPositions, simulateSeason } from "../core/season/simulated-season.ts";
import { benchLine } from "./line.ts";

type Run = { readonly grades: number; readonly seconds: number; readonly peakMebibytes: number };

function run(games: number): Run {
  const { grades } = simulateSeason({
    seed: 1,
    positions: sevenPositions,
    criteria: ["station", "facing", "key", "zone", "handoff", "look", "count"],
    officialsPerPosition: 43,
    observers: 60,
    games,
    playsPerGame: 67,
    gradesPerPlay: 5,
    sd: { official: 0.25, observer: 0.3, game: 0.1, play: 0.15, noise: 0.7 },
    step: 1,
  });
  const gamesInOrder = [...new Set(grades.map(({ gameId }) => gameId))].sort();
  const minimum = { grades: 30, games: 3, observers: 2 };
  const start = performance.now();
  const totals = seasonTotals(grades, { scale: scales[0], gamesInOrder, minimum, topK: 5, seed: 1, draws: 10_000 });
  const seconds = (performance.now() - start) / 1000;
  if (totals.model === null) throw new Error("A season without a model was measured.");
  return { grades: grades.length, seconds, peakMebibytes: process.resourceUsage().maxRSS / 1024 };
}

function runApart(games: number): Run {
  const { stdout, stderr, status } = spawnSync(process.execPath, [fileURLToPath(import.meta.url), String(games)], {
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout) as Run;
}

export function bench(): void {
  const [small, middle, large] = [runApart(15), runApart(150), runApart(1500)];
  benchLine("season-5k-grades", small.seconds, "s", "<=", 3);
  benchLine("season-50k-grades", middle.seconds, "s", "<=", 5);
  benchLine("season-500k-grades", large.seconds, "s", "<=", 10);
  benchLine("season-500k-grades-peak", large.peakMebibytes, "MiB", "<=", 1024);
  benchLine("season-growth-50k-to-500k", large.seconds / middle.seconds, "times", "<=", 10);
}

if (import.meta.main) {
  const [games] = process.argv.slice(2);
  if (games === undefined) bench();
  else console.log(JSON.stringify(run(Number(games))));
}
