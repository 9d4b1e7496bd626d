/** Names, at the end of a run, every test that passed at its second try only: it is flaky, or what it tests is, and is to be looked into. */
import type { Reporter, TestModule } from "vitest/node";

export class SecondTries implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    for (const module of modules)
      for (const test of module.children.allTests())
        if (test.diagnostic()?.flaky === true) console.log(`passed at its second try: ${test.fullName}`);
  }
}

/** Names the variable of the environment that says where the run is written down as JSON. */
export const reportVariable = "CREWGLASS_TEST_REPORT";
