/** The short form of what `npm run faults` does at length: the program is hurt a few times in each way, and nothing is lost. */
import { expect, test } from "vitest";
import { backups } from "../faults/backups.ts";
import { clock } from "../faults/clock.ts";
import { diskFull } from "../faults/disk-full.ts";
import { film } from "../faults/film.ts";
import { kill } from "../faults/kill.ts";
import { readOnly } from "../faults/read-only.ts";
import type { Fault } from "../faults/shared/fault.ts";
import { twoPrograms } from "../faults/two-programs.ts";
import { vanish } from "../faults/vanish.ts";

const short: readonly (readonly [string, Fault, number])[] = [
  ["kill", kill, 3],
  ["disk-full", diskFull, 1],
  ["read-only", readOnly, 1],
  ["vanish", vanish, 1],
  ["clock", clock, 1],
  ["two-programs", twoPrograms, 1],
  ["film", film, 1],
  ["backups", backups, 3],
];

test.each(short)("%s", async (_, fault, tries) => {
  const report = await fault({ tries, seed: 1 });
  expect(report.losses).toEqual([]);
  // What cannot be tried here is not taken for passed: it says so.
  expect(report.tries === tries || /cannot be tried here/u.test(String(report.facts["note"]))).toBe(true);
  if (report.tries === 0) console.log(`${report.name}: ${report.facts["note"]}`);
});
