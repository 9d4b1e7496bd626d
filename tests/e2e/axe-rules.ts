import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Players on a plan stand where they stand: their place is what they show (WCAG 2.5.8, essential). */
const placedOnPlan = /class="(?:offence|defence)"/u;

type Violation = {
  readonly id: string;
  readonly impact: string;
  readonly help: string;
  readonly nodes: readonly { readonly html: string; readonly target: readonly unknown[] }[];
};

/** What axe (WCAG 2.2, A and AA) finds on the page as it is, serious or worse, in words. */
export async function serious(page: Page, rules: readonly string[] | null = null): Promise<string[]> {
  await page.evaluate(axe);
  const found = await page.evaluate(
    async (wanted): Promise<Violation[]> => {
      const { axe: runner } = globalThis as unknown as {
        axe: { run(context: object, options: object): Promise<{ violations: Violation[] }> };
      };
      const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
      const runOnly = wanted ? { type: "rule", values: wanted } : { type: "tag", values: tags };
      // A plan is one picture with a name; its strokes are not gone through one by one.
      return (await runner.run({ exclude: ["svg.plan > *"] }, { runOnly, resultTypes: ["violations"] })).violations;
    },
    rules as string[] | null,
  );
  return found
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ nodes, ...rest }) => ({
      ...rest,
      nodes: nodes.filter(({ html }) => rest.id !== "target-size" || !placedOnPlan.test(html)),
    }))
    .filter(({ nodes }) => nodes.length > 0)
    .map(
      ({ id, help, nodes }) =>
        `${id}: ${help}\n  ${nodes
          .slice(0, 3)
          .map(({ html }) => html.slice(0, 160))
          .join("\n  ")}`,
    );
}
