import type { Block, ReportDocument } from "./document.ts";

export type Level = 1 | 2 | 3 | 4;

export const verdictMarks = { met: "✓", missed: "✕", "cannot tell": "?" } as const;

/** A block with the level of its heading, if it has one, such that no level is left out on the way down from the title. */
export type OutlinedBlock = { readonly block: Block; readonly level: Level };

export function outlined({ blocks }: ReportDocument): OutlinedBlock[] {
  let current: 1 | 2 | 3 = 1;
  return blocks.map((block) => {
    if (block.kind === "heading") {
      current = block.level === 3 && current > 1 ? 3 : 2;
      return { block, level: current };
    }
    return { block, level: current === 1 ? 2 : current === 2 ? 3 : 4 };
  });
}
