/** The carry of a group: its tries one after the other, each in a folder of its own, and what was lost by the seed that shows it again. */
import type { Browser } from "playwright";
import { ensureBuilt } from "../../helpers/launch.ts";
import { type Dice, diceOf } from "./dice.ts";
import { type FaultOptions, type FaultReport, Tally } from "./fault.ts";
import { inTemporaryFolder } from "./program.ts";
import { startBrowser } from "./window.ts";

/** What a try works with. */
export type Parts = { readonly browser: Browser; readonly dice: Dice; readonly tally: Tally };

export type Try = Parts & {
  readonly index: number;
  readonly seed: number;
  /** Removed with all that lies in it when the try has ended, and whatever program still runs from it is ended. */
  readonly folder: string;
};

/** `one` gives a sentence for each loss. A try that does not come to its end is one too. */
export async function eachTry(
  name: string,
  { tries, seed: firstSeed, tell }: FaultOptions,
  one: (given: Try) => Promise<readonly string[]>,
): Promise<FaultReport> {
  await ensureBuilt();
  const tally = new Tally();
  const losses: string[] = [];
  const browser = await startBrowser();
  try {
    for (let index = 0; index < tries; index++) {
      const seed = firstSeed + index;
      const before = losses.length;
      await inTemporaryFolder(async (folder) => {
        try {
          const lost = await one({ browser, dice: diceOf(seed), tally, index, seed, folder });
          losses.push(...lost.map((sentence) => `seed ${seed}: ${sentence}`));
        } catch (error) {
          losses.push(`seed ${seed}: the try did not come to its end: ${String(error)}`);
        }
      });
      tell?.([`${index + 1} of ${tries}, ${losses.length} losses`, ...losses.slice(before)].join("\n  "));
    }
  } finally {
    await browser.close();
  }
  return { name, tries, losses, facts: tally.counts };
}
