/**
 * `npm run faults [group…] [--tries N] [--seed S]`: hurts the running program and counts what is lost. Prints a line a group,
 *   FAULT <name> <tries> tries <losses> losses
 * with each loss in words below it, at the end one table, and exits with 1 when anything was lost.
 */
import { parseArgs } from "node:util";
import { backups } from "./faults/backups.ts";
import { calls } from "./faults/calls.ts";
import { clock } from "./faults/clock.ts";
import { diskFull } from "./faults/disk-full.ts";
import { film } from "./faults/film.ts";
import { kill } from "./faults/kill.ts";
import { readOnly } from "./faults/read-only.ts";
import type { Fault, FaultReport } from "./faults/shared/fault.ts";
import { twoPrograms } from "./faults/two-programs.ts";
import { vanish } from "./faults/vanish.ts";

/** How often each group tries when it is not said otherwise. */
const groups: Readonly<Record<string, { readonly fault: Fault; readonly tries: number }>> = {
  kill: { fault: kill, tries: 300 },
  "disk-full": { fault: diskFull, tries: 30 },
  "read-only": { fault: readOnly, tries: 12 },
  vanish: { fault: vanish, tries: 30 },
  clock: { fault: clock, tries: 12 },
  "two-programs": { fault: twoPrograms, tries: 30 },
  film: { fault: film, tries: 15 },
  backups: { fault: backups, tries: 90 },
  calls: { fault: calls, tries: 20_000 },
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { tries: { type: "string" }, seed: { type: "string" } },
});
const whole = (text: string | undefined): number | null => (/^[1-9]\d*$/u.test(text ?? "") ? Number(text) : null);
const unknown = positionals.filter((name) => !(name in groups));
if (unknown.length > 0 || [values.tries, values.seed].some((text) => text !== undefined && whole(text) === null)) {
  console.error(`npm run faults [${Object.keys(groups).join("|")}] [--tries N] [--seed S], N and S from 1`);
  process.exit(2);
}
const seed = whole(values.seed) ?? 1;
const reports: FaultReport[] = [];
for (const [name, { fault, tries }] of Object.entries(groups)) {
  if (positionals.length > 0 && !positionals.includes(name)) continue;
  const begunMs = performance.now();
  const seconds = () => Math.round((performance.now() - begunMs) / 1000);
  const tell = (line: string) => console.log(`${name}, ${seconds()} s: ${line}`);
  const report = await fault({ tries: whole(values.tries) ?? tries, seed, tell });
  reports.push(report);
  console.log(`FAULT ${report.name} ${report.tries} tries ${report.losses.length} losses`);
  for (const loss of report.losses) console.log(`  ${loss}`);
  for (const [fact, value] of Object.entries(report.facts)) console.log(`  ${fact}: ${value}`);
}
console.log("\n| fault | tries | losses | how to run |\n| --- | ---: | ---: | --- |");
for (const { name, tries, losses } of reports)
  console.log(`| ${name} | ${tries} | ${losses.length} | \`npm run faults ${name} -- --seed ${seed}\` |`);
process.exitCode = reports.some(({ losses }) => losses.length > 0) ? 1 : 0;
process.exit();
