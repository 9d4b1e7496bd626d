/** Figures of the benchmark as one table, and the machine that they were taken on. */
import { spawnSync } from "node:child_process";
import { cpus, loadavg, totalmem } from "node:os";

export type BenchFigure = {
  readonly group: string;
  readonly name: string;
  readonly value: string;
  readonly unit: string;
  readonly goal: string;
  readonly passes: boolean;
};

/** A line as benchLine prints it; null for any other. */
export function figureOf(group: string, line: string): BenchFigure | null {
  const found = /^BENCH (\S+) (\S+) (\S+) goal (<=|>=) (\S+) (pass|fail)$/u.exec(line);
  if (found === null) return null;
  const [, name = "", value = "", unit = "", op = "", limit = "", verdict = ""] = found;
  return { group, name, value, unit, goal: `${op} ${limit}`, passes: verdict === "pass" };
}

function commit(folder: string): string {
  const git = (...args: string[]) => spawnSync("git", args, { cwd: folder, encoding: "utf8" }).stdout?.trim() ?? "";
  const head = git("rev-parse", "--short", "HEAD");
  if (head === "") return "no commit known";
  return git("status", "--porcelain") === "" ? `commit ${head}` : `commit ${head} with changes`;
}

export function machineWords(folder: string): string {
  const cores = cpus();
  return [
    `${cores.length} × ${cores[0]?.model.trim() ?? "unknown processor"}`,
    `${(totalmem() / 1e9).toFixed(1)} GB of memory`,
    `Node ${process.versions.node}`,
    `${process.platform} ${process.arch}`,
    new Date().toISOString().slice(0, 10),
    commit(folder),
    `load average ${loadavg()
      .map((one) => one.toFixed(1))
      .join(", ")} at the end`,
  ].join("; ");
}

/** The table in Markdown, with a line for each figure that falls short and each group that did not run to its end. */
export function benchTable(machine: string, figures: readonly BenchFigure[], broken: readonly string[]): string {
  const rows = figures.map(({ group, name, value, unit, goal, passes }) =>
    [group, name, value, unit, goal, passes ? "pass" : "**fail**"].join(" | "),
  );
  const short = figures.filter(({ passes }) => !passes);
  return [
    machine,
    "",
    "| Group | Figure | Value | Unit | Goal | |",
    "| --- | --- | --: | --- | --- | --- |",
    ...rows.map((row) => `| ${row} |`),
    "",
    `${figures.length - short.length} of ${figures.length} figures reach their goals.`,
    ...short.map(({ name, value, unit, goal }) => `- Falls short: ${name}, ${value} ${unit}, goal ${goal}.`),
    ...broken.map((group) => `- Did not run to its end: ${group}.`),
    "",
  ].join("\n");
}
