/**
 * `npm test` and `npm run check`: types, format, lint, what is unused, then the vitest projects, each after the other. Prints
 * "N passed, N failed" at its end, whatever happened, and exits with 1 when anything failed.
 *
 * `--project NAME` (more than once) keeps to those vitest projects; the checks before them always run.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { ensureBuilt, projectRoot } from "./helpers/launch.ts";
import { reportVariable } from "./helpers/second-tries.ts";

const { values } = parseArgs({ options: { project: { type: "string", multiple: true } } });
const projects = values.project ?? ["node", "renderer", "e2e"];
const reports = mkdtempSync(join(tmpdir(), "crewglass-tests-"));

let passed = 0;
let failed = 0;

function tool(...path: string[]): string {
  return join(projectRoot, "node_modules", ...path);
}

function run(args: readonly string[], env: Readonly<Record<string, string>> = {}): boolean {
  const options = { cwd: projectRoot, stdio: "inherit", env: { ...process.env, ...env } } as const;
  return spawnSync(process.execPath, args, options).status === 0;
}

function check(name: string, args: readonly string[]): void {
  console.log(`\n— ${name}`);
  if (run(args)) passed++;
  else {
    failed++;
    console.log(`${name}: failed`);
  }
}

/** A suite that stops before it reports, or reports no test, counts as one failure: silence is not success. */
function suite(project: string): void {
  console.log(`\n— tests: ${project}`);
  const report = join(reports, `${project}.json`);
  const ok = run([tool("vitest", "vitest.mjs"), "run", "--project", project], { [reportVariable]: report });
  try {
    const { numPassedTests, numFailedTests, numFailedTestSuites } = JSON.parse(readFileSync(report, "utf8")) as Record<
      string,
      number
    >;
    passed += numPassedTests ?? 0;
    const failures = numFailedTests ?? 0;
    failed += failures > 0 ? failures : ok ? 0 : Math.max(1, numFailedTestSuites ?? 0);
    if (ok && (numPassedTests ?? 0) === 0) failed++;
  } catch {
    failed++;
  }
}

try {
  if (
    projects.some((project) => project !== "node") &&
    !run([join(projectRoot, "tests", "helpers", "ensure-tools.ts")])
  )
    failed++;
  else {
    check("types", [tool("typescript", "bin", "tsc"), "-b"]);
    check("format", [tool("oxfmt", "bin", "oxfmt"), "--check", "."]);
    check("lint", [
      tool("oxlint", "bin", "oxlint"),
      "--type-aware",
      "--deny-warnings",
      "--report-unused-disable-directives",
    ]);
    check("unused", [tool("knip", "bin", "knip.js"), "--treat-config-hints-as-errors"]);
    if (projects.includes("e2e")) await ensureBuilt();
    for (const project of projects) suite(project);
  }
} catch (error) {
  console.error(error);
  failed++;
} finally {
  rmSync(reports, { recursive: true, force: true });
  console.log(`\n${passed} passed, ${failed} failed`);
  process.exitCode = failed > 0 ? 1 : 0;
}
