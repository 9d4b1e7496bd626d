/** Rules an assigner fills in, and crews proposed from those who hold them, against every crew that there could be. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { eligibilityOf, noRules } from "#core/season/eligibility";
import type { OfficialTotal } from "#core/season/official-totals";
import { type Candidate, proposeCrews } from "#core/season/propose-crews";

const adjusted = {
  value: 3.6,
  standardError: 0.2,
  degreesOfFreedom: 12,
  interval: { low: 3.2, high: 4 },
  adjustment: { change: 0, observers: 0, games: 0, criteria: 0, shrinkage: 0 },
  sentence: "Nothing to adjust.",
};
const total: OfficialTotal = {
  officialId: "o1",
  position: "LJ",
  evidence: { grades: 90, plays: 20, games: 5, observers: 3, cannotJudge: 10 },
  mean: 3.5,
  spread: 0.6,
  adjusted,
  withheld: null,
  trend: null,
  trends: [],
};

describe("eligibility", () => {
  it.each([
    [{ leastGames: 5 }, true, "5 of 5"],
    [{ leastGames: 6 }, false, "5 of 6"],
    [{ leastObservers: 4 }, false, "3 of 4"],
    [{ leastGrades: 90 }, true, "90 of 90"],
    [{ worstValue: 3.5 }, true, "3.60"],
    [{ worstValue: 3.5, bySureValue: true }, false, "3.20 (value 3.60)"],
    [{ mostUnjudged: 0.1 }, true, "10 % of 100"],
    [{ mostUnjudged: 0.09 }, false, "10 % of 100"],
  ])("%o: %s, because %s", (rules, holds, why) => {
    const held = eligibilityOf(total, { ...noRules, ...rules }, "most");
    expect(held).toMatchObject({ isEligible: holds, ticks: [{ holds, why }] });
  });

  it("goes by the good end of the scale, and by the upper end of the interval where the least is best", () => {
    expect(eligibilityOf(total, { ...noRules, worstValue: 3.5 }, "least").isEligible).toBe(false);
    expect(eligibilityOf(total, { ...noRules, worstValue: 3.9, bySureValue: true }, "least").isEligible).toBe(false);
    expect(eligibilityOf(total, { ...noRules, worstValue: 4, bySureValue: true }, "least").isEligible).toBe(true);
  });

  it("is nobody's whose value is withheld, with the reason, whatever the rules ask", () => {
    const thin = { ...total, adjusted: null, withheld: "Too little to judge by: 1 of 3 games." };
    expect(eligibilityOf(thin, noRules, "most")).toMatchObject({
      isEligible: false,
      ticks: [{ holds: false, why: "Too little to judge by: 1 of 3 games." }],
    });
    expect(eligibilityOf(total, noRules, "most")).toMatchObject({ isEligible: true, ticks: [] });
  });
});

describe("proposed crews", () => {
  const positions = ["R", "LJ", "BJ"];
  /** Every way to fill three positions, one after another. */
  function best(candidates: readonly Candidate[], conflicts: readonly (readonly [string, string])[]) {
    const at = positions.map((position) => [null, ...candidates.filter((one) => one.position === position)]);
    let found = { filled: -1, worth: Number.NEGATIVE_INFINITY };
    for (const r of at[0]!)
      for (const l of at[1]!)
        for (const b of at[2]!) {
          const crew = [r, l, b].filter((one) => one !== null);
          const ids = crew.map(({ officialId }) => officialId);
          const isSound =
            new Set(ids).size === ids.length && !conflicts.some(([x, y]) => ids.includes(x) && ids.includes(y));
          const worth = crew.reduce((sum, one) => sum + one.worth, 0);
          if (isSound && (crew.length > found.filled || (crew.length === found.filled && worth > found.worth)))
            found = { filled: crew.length, worth };
        }
    return found;
  }

  it("fill as many positions as can be filled, with the most worth, nobody twice and no two that are kept apart", () => {
    const id = fc.constantFrom("a", "b", "c", "d", "e");
    const candidate = fc.record({
      officialId: id,
      position: fc.constantFrom(...positions),
      worth: fc.integer({ min: -50, max: 50 }).map((value) => value / 10),
    });
    const conflict = fc.tuple(id, id).filter(([a, b]) => a !== b);
    fc.assert(
      fc.property(
        fc.uniqueArray(candidate, { maxLength: 9, selector: (one) => `${one.position} ${one.officialId}` }),
        fc.array(conflict, { maxLength: 4 }),
        (candidates, conflicts) => {
          const [crew] = proposeCrews(candidates, positions, 1, conflicts);
          const filled = crew!.members.filter(({ officialId }) => officialId !== null);
          const ids = filled.map(({ officialId }) => officialId);
          expect(new Set(ids).size).toBe(ids.length);
          expect(conflicts.some(([a, b]) => ids.includes(a) && ids.includes(b))).toBe(false);
          const wanted = best(candidates, conflicts);
          expect(filled).toHaveLength(wanted.filled);
          expect(crew!.worth).toBeCloseTo(wanted.worth, 9);
        },
      ),
      { seed: 5, numRuns: 400 },
    );
  });

  it("of several games hold nobody twice, and leave open what nobody is left for", () => {
    const candidates = ["a", "b", "c", "d"].flatMap((officialId, index) => [
      { officialId, position: "R", worth: index },
      ...(index < 2 ? [{ officialId: `${officialId}2`, position: "LJ", worth: index }] : []),
    ]);
    const crews = proposeCrews(candidates, ["R", "LJ"], 3, []);
    expect(crews.map(({ members }) => members.map(({ officialId }) => officialId))).toEqual([
      ["d", "b2"],
      ["c", "a2"],
      ["b", null],
    ]);
  });
});
