import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { intraclassCorrelation, meanSquares, varianceComponents } from "#core/season/intraclass";
import { shroutFleiss } from "./published.ts";

/** Shrout and Fleiss 1979, Psychol. Bull. 86:420-428, tables 2 to 4: printed to two places; more digits recomputed. */
describe("six targets and four judges", () => {
  const squares = meanSquares(shroutFleiss)!;

  it("mean squares 11.24, 6.26, 32.49, 1.02", () => {
    expect(squares.between).toBeCloseTo(11.241667, 6);
    expect(squares.within).toBeCloseTo(6.263889, 6);
    expect(squares.ofJudges).toBeCloseTo(32.486111, 6);
    expect(squares.error).toBeCloseTo(1.019444, 6);
    const { target, judge, residual } = varianceComponents(squares);
    expect([target, judge, residual].map((value) => value.toFixed(6))).toEqual(["2.555556", "5.244444", "1.019444"]);
  });

  it.each([
    ["ICC(1,1)", 0.165742, -0.132932, 0.72256],
    ["ICC(2,1)", 0.289764, 0.018787, 0.761084],
    ["ICC(3,1)", 0.714841, 0.342465, 0.945858],
    ["ICC(1,k)", 0.442797, -0.884442, 0.912415],
    ["ICC(2,k)", 0.620051, 0.071137, 0.927232],
    ["ICC(3,k)", 0.909316, 0.675675, 0.985892],
  ] as const)("%s: %d, from %d to %d", (form, icc, low, high) => {
    const found = intraclassCorrelation(squares, form)!;
    expect(found.icc).toBeCloseTo(icc, 6);
    expect(found.interval!.low).toBeCloseTo(low, 6);
    expect(found.interval!.high).toBeCloseTo(high, 6);
  });

  it("F tests: 1.794678 with 5 and 18 degrees, p .1648; 11.027248 with 5 and 15, p .000135", () => {
    const one = intraclassCorrelation(squares, "ICC(1,1)")!.test!;
    expect([one.above, one.below, one.f.toFixed(6), one.p.toFixed(4)]).toEqual([5, 18, "1.794678", "0.1648"]);
    const three = intraclassCorrelation(squares, "ICC(3,1)")!.test!;
    expect([three.above, three.below, three.f.toFixed(6), three.p.toFixed(6)]).toEqual([
      5,
      15,
      "11.027248",
      "0.000135",
    ]);
    expect(intraclassCorrelation(squares, "ICC(2,1)")!.test).toEqual(three);
  });
});

describe("an intraclass correlation", () => {
  it("stays when all grades are shifted and stretched, and judges change places", () => {
    const table = fc.array(fc.array(fc.integer({ min: 1, max: 7 }), { minLength: 3, maxLength: 3 }), {
      minLength: 4,
      maxLength: 9,
    });
    fc.assert(
      fc.property(table, (grades) => {
        const [one, other] = [
          meanSquares(grades)!,
          meanSquares(grades.map((row) => row.toReversed().map((x) => 20 - 3 * x)))!,
        ];
        for (const form of ["ICC(1,1)", "ICC(2,1)", "ICC(3,k)"] as const) {
          const [a, b] = [intraclassCorrelation(one, form), intraclassCorrelation(other, form)];
          if (a === null || Math.abs(a.icc) > 1e3) continue;
          expect(b!.icc).toBeCloseTo(a.icc, 8);
        }
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it("of judges who differ by a constant is 1 for consistency, without an interval, and has no value where nothing varies", () => {
    const shifted = meanSquares([
      [1, 2],
      [2, 3],
      [4, 5],
    ])!;
    expect(intraclassCorrelation(shifted, "ICC(3,1)")).toEqual({
      form: "ICC(3,1)",
      icc: 1,
      interval: null,
      test: null,
    });
    expect(intraclassCorrelation(shifted, "ICC(2,1)")!.icc).toBeLessThan(1);
    expect(
      intraclassCorrelation(
        meanSquares([
          [3, 3],
          [3, 3],
        ])!,
        "ICC(1,1)",
      ),
    ).toBeNull();
    expect(meanSquares([[1, 2]])).toBeNull();
    expect(meanSquares([[1, 2], [1]])).toBeNull();
  });
});
