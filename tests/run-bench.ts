/**
 * `npm run bench [group…]`: runs tests/bench/<group>.ts one after the other, each in a process of its own. Each prints one
 * line a figure: BENCH <name> <value> <unit> goal <op> <limit> pass|fail.
 */
import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { projectRoot } from "./helpers/launch.ts";

const folder = join(projectRoot, "tests", "bench");
// line.ts prints the lines; every other file is a group.
const groups = readdirSync(folder)
  .filter((name) => name.endsWith(".ts") && name !== "line.ts")
  .map((name) => name.slice(0, -3));
const asked = process.argv.slice(2);
/** A group's name stands for its parts too: `film` for `film-window`. */
const isOf = (group: string, name: string) => group === name || group.startsWith(`${name}-`);
const unknown = asked.filter((name) => !groups.some((group) => isOf(group, name)));
if (unknown.length > 0) {
  console.error(`No such group: ${unknown.join(", ")}. There are: ${groups.join(", ")}.`);
  process.exitCode = 1;
} else {
  for (const group of groups.filter((one) => asked.length === 0 || asked.some((name) => isOf(one, name)))) {
    const { status } = spawnSync(process.execPath, [join(folder, `${group}.ts`)], {
      cwd: projectRoot,
      stdio: "inherit",
    });
    if (status !== 0) process.exitCode = 1;
  }
}
