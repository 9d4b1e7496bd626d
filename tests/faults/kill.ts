/** The program is killed (SIGKILL) at any instant: what the window had shown as saved is there again, and nothing else. */
import { ensureBuilt } from "../helpers/launch.ts";
import { observersPackets } from "../helpers/observers-packets.ts";
import { type Fault, Tally } from "./shared/fault.ts";
import { KilledWhileEditing } from "./shared/kill-editing.ts";
import { killInExport, killInImport, killInSeeding, killInUpgrade, type WorkKill } from "./shared/kill-working.ts";
import { inTemporaryFolder } from "./shared/program.ts";
import { startBrowser } from "./shared/window.ts";

/** Of every 25 kills these come while the program works by itself; the others while somebody edits. */
const cycle = 25;
const working: Readonly<Record<number, WorkKill>> = {
  2: killInUpgrade,
  5: killInImport,
  9: killInExport,
  13: killInSeeding,
  17: killInUpgrade,
  21: killInImport,
};

const observers = [
  { name: "Wendeline Askew", severity: 0.7 },
  { name: "Hartmut Pillgrove", severity: 0 },
  { name: "Sidony Crake", severity: -0.7 },
];

export const kill: Fault = async ({ tries, seed, tell }) => {
  await ensureBuilt();
  const tally = new Tally();
  const losses: string[] = [];
  const browser = await startBrowser();
  try {
    await inTemporaryFolder(async (folder) => {
      const editing = new KilledWhileEditing({ folder, browser, tally, losses });
      const { paths: packets } = await observersPackets(folder, observers, 4);
      for (let index = 0; index < tries; index++) {
        const work = working[index % cycle];
        const at = seed + index;
        const before = losses.length;
        if (work === undefined) await editing.round(at);
        else
          try {
            const lost = await work({ folder, browser, seed: at, tally, packets });
            losses.push(...lost.map((sentence) => `seed ${at}, ${work.name}: ${sentence}`));
          } catch (error) {
            losses.push(`seed ${at}, ${work.name} did not come to its end: ${String(error)}`);
          }
        const saved = tally.counts["edits shown as saved"] ?? 0;
        const said = `${index + 1} of ${tries}, ${saved} edits shown as saved, ${losses.length} losses`;
        tell?.([said, ...losses.slice(before)].join("\n  "));
      }
      await editing.close();
    });
  } finally {
    await browser.close();
  }
  return { name: "kill", tries, losses, facts: tally.counts };
};
