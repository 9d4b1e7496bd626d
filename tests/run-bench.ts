/**
 * `npm run bench [group…] [-- --minutes N] [-- --table FILE]`: runs tests/bench/<group>.ts one after the other, each in a process of
 * its own. Each prints one line a figure: BENCH <name> <value> <unit> goal <op> <limit> pass|fail. At the end all of them stand in
 * one table with the machine above it, which is written to FILE too. `--minutes` is for the group that runs as long as it is told.
 */
import { spawn } from "node:child_process";
import { readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { parseArgs } from "node:util";
import { missedGoal } from "./bench/line.ts";
import { projectRoot } from "./helpers/launch.ts";
import { type BenchFigure, benchTable, figureOf, machineWords } from "./load/bench-table.ts";

const folder = join(projectRoot, "tests", "bench");
// line.ts prints the lines; every other file is a group.
const groups = readdirSync(folder)
  .filter((name) => name.endsWith(".ts") && name !== "line.ts")
  .map((name) => name.slice(0, -3));
const { values, positionals: asked } = parseArgs({
  allowPositionals: true,
  options: { minutes: { type: "string" }, table: { type: "string" } },
});

/** Passes on what a group prints as it comes, and gives its figures and whether it ended by itself with 0 or a missed goal. */
async function runGroup(group: string): Promise<{ figures: BenchFigure[]; status: number }> {
  const args = [join(folder, `${group}.ts`)];
  if (values.minutes !== undefined) args.push("--minutes", values.minutes);
  const child = spawn(process.execPath, args, { cwd: projectRoot, stdio: ["inherit", "pipe", "inherit"] });
  const ended = new Promise<number>((end) => {
    child.once("error", () => end(1));
    child.once("close", (code) => end(code ?? 1));
  });
  const figures: BenchFigure[] = [];
  for await (const line of createInterface({ input: child.stdout })) {
    console.log(line);
    const figure = figureOf(group, line);
    if (figure !== null) figures.push(figure);
  }
  return { figures, status: await ended };
}

/** A group's name stands for its parts too: `film` for `film-window`. */
const isOf = (group: string, name: string) => group === name || group.startsWith(`${name}-`);
const unknown = asked.filter((name) => !groups.some((group) => isOf(group, name)));
if (unknown.length > 0) {
  console.error(`No such group: ${unknown.join(", ")}. There are: ${groups.join(", ")}.`);
  process.exitCode = 1;
} else {
  const figures: BenchFigure[] = [];
  const broken: string[] = [];
  for (const group of groups.filter((one) => asked.length === 0 || asked.some((name) => isOf(one, name)))) {
    const run = await runGroup(group);
    figures.push(...run.figures);
    if (run.status !== 0) process.exitCode = 1;
    if (run.status !== 0 && run.status !== missedGoal) broken.push(group);
  }
  const table = benchTable(machineWords(projectRoot), figures, broken);
  console.log(`\n${table}`);
  // npm runs this in the project's folder, and says where it was called.
  if (values.table !== undefined) writeFileSync(resolve(process.env["INIT_CWD"] ?? "", values.table), table);
}
