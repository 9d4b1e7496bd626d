import { describe, expect, it } from "vitest";
import { fitMixedModel, type MixedModel } from "#core/season/mixed-model";
import { cellsOf, crossedTable, dyestuff, factorOf, penicillin, shroutFleiss } from "./published.ts";

function expectPrinted(values: Iterable<number>, printed: readonly string[]): void {
  expect(Array.from(values, (value, at) => value.toFixed(printed[at]!.split(".")[1]?.length ?? 0))).toEqual(printed);
}

const variances = ({ components }: MixedModel) => components.map(({ variance }) => variance);

/** lme4's documentation prints .7169, 3.7309, .3024, 22.9722 (.8086), 330.8606; more digits from the balanced analysis. */
describe("Penicillin: 24 plates by 6 samples", () => {
  const model = fitMixedModel(crossedTable(penicillin))!;

  it("variances, theta, mean and criterion", () => {
    expectPrinted(variances(model), ["0.716908", "3.730918"]);
    expectPrinted(
      model.components.map(({ theta }) => theta),
      ["1.539678", "3.512415"],
    );
    expectPrinted([model.residualVariance], ["0.302415"]);
    expectPrinted([model.means.estimates[0]!, model.means.standardErrors[0]!], ["22.972222", "0.808573"]);
    expectPrinted([model.criterion], ["330.8606"]);
  });

  /** Balanced: -2 log of the restricted likelihood from the mean squares alone, which are what lme4's table rests on. */
  it("the criterion is that of the analysis of variance to 1e-9", () => {
    const [plate, sample, error] = [4.603864734299517, 89.84444444444445, 0.3024154589371981];
    const exact =
      143 * Math.log(2 * Math.PI) +
      Math.log(144) +
      23 * Math.log(plate) +
      5 * Math.log(sample) +
      115 * Math.log(error) +
      143;
    expect(Math.abs(model.criterion - exact)).toBeLessThan(1e-9);
  });

  it("predicted samples and plates", () => {
    expectPrinted(model.crossed[1]!.effects, [
      "2.187058",
      "-1.010476",
      "1.937899",
      "-0.096895",
      "-0.013842",
      "-3.003744",
    ]);
    const plates = model.crossed[0]!.effects;
    const shown = ["a", "c", "d", "e", "f", "g", "m"].map((letter) => plates[letter.charCodeAt(0) - 97]!);
    expectPrinted(shown, ["0.8045", "0.1817", "0.3374", "0.0260", "-0.4412", "-1.3755", "1.4274"]);
  });

  it("is the same with plates eliminated, as blocks or as levels inside one block, and samples kept", () => {
    const { points, means, rows, columns } = cellsOf(penicillin);
    for (const data of [
      { points, means, crossed: [columns], outer: rows, inner: null },
      { points, means, crossed: [columns], outer: null, inner: rows },
    ]) {
      const other = fitMixedModel(data)!;
      expect(other.criterion).toBeCloseTo(model.criterion, 9);
      expect(other.components.find(({ name }) => name === "row")!.variance).toBeCloseTo(variances(model)[0]!, 7);
      const effects = (other.outer ?? other.inner)!.effects;
      for (const [plate, effect] of model.crossed[0]!.effects.entries()) expect(effects[plate]).toBeCloseTo(effect, 7);
      if (other.outer !== null)
        for (const [plate, error] of model.crossed[0]!.standardErrors.entries())
          expect(other.outer.standardErrors[plate]).toBeCloseTo(error, 7);
    }
  });
});

/** lme4's documentation prints 1764.05, 2451.25, 1527.5 (19.383), 319.6543. */
it("Dyestuff: six batches of five", () => {
  const { points, means, rows } = cellsOf(dyestuff);
  const model = fitMixedModel({ points, means, crossed: [rows], outer: null, inner: null })!;
  expectPrinted(variances(model), ["1764.05"]);
  expectPrinted([model.residualVariance], ["2451.25"]);
  expectPrinted(
    [model.means.estimates[0]!, model.means.standardErrors[0]!, model.criterion],
    ["1527.5", "19.383", "319.6543"],
  );
  expectPrinted(model.crossed[0]!.effects, ["-17.6069", "0.3913", "28.5622", "-23.0845", "56.7332", "-44.9953"]);
});

/** Shrout and Fleiss 1979: the balanced components, and effects shrunk by .909316 (targets) and .968619 (judges). */
it("six targets and four judges: judge 2 is about five points below judge 1", () => {
  const model = fitMixedModel(crossedTable(shroutFleiss))!;
  expectPrinted([...variances(model), model.residualVariance], ["2.555556", "5.244444", "1.019444"]);
  expectPrinted(
    [model.means.estimates[0]!, model.means.standardErrors[0]!, model.criterion],
    ["5.291667", "1.333984", "91.278667"],
  );
  expectPrinted(model.crossed[0]!.effects, ["0.644099", "-2.083848", "1.098756", "-1.174533", "2.008072", "-0.492546"]);
  expectPrinted(model.crossed[1]!.effects, ["2.300470", "-2.704062", "-0.928260", "1.331851"]);
});

/** Balanced: a sum of mean squares has (their sum)² / Σ (each² / its degrees) degrees (Satterthwaite 1946). */
describe("degrees of freedom of the mean", () => {
  const ofMean = [{ unknown: 0, share: 1 }];

  it("are those of the batches' mean square for Dyestuff: 5", () => {
    const { points, means, rows } = cellsOf(dyestuff);
    const model = fitMixedModel({ points, means, crossed: [rows], outer: null, inner: null })!;
    expect(model.degreesOfFreedom(ofMean)).toBeCloseTo(5, 2);
  });

  it("are made of three mean squares for Penicillin, where samples tell most", () => {
    const [plate, sample, error] = [4.603864734299517, 89.84444444444445, 0.3024154589371981];
    const exact = (plate + sample - error) ** 2 / (plate ** 2 / 23 + sample ** 2 / 5 + error ** 2 / 115);
    expect(fitMixedModel(crossedTable(penicillin))!.degreesOfFreedom(ofMean)).toBeCloseTo(exact, 2);
  });
});

describe("the edges", () => {
  it("a variance whose best value is negative is 0, said to be at the boundary, and its effects are 0", () => {
    // Each row has the same mean: less spread between rows than chance would give.
    const { points, means, rows } = cellsOf([
      [1, 5, 3],
      [5, 3, 1],
      [3, 1, 5],
    ]);
    for (const data of [
      { points, means, crossed: [rows], outer: null, inner: null },
      { points, means, crossed: [], outer: rows, inner: null },
      { points, means, crossed: [], outer: null, inner: rows },
    ]) {
      const model = fitMixedModel(data)!;
      expect(model.components).toEqual([{ name: "row", levels: 3, theta: 0, variance: 0, isAtBoundary: true }]);
      // What is left is one sample of nine: variance 24 / 8.
      expect(model.residualVariance).toBeCloseTo(3, 12);
      const effects = (model.crossed[0] ?? model.outer ?? model.inner)!.effects;
      expect([...effects].every((effect) => effect === 0)).toBe(true);
    }
  });

  it("there is no model where nothing varies within the means, or there are no more grades than means", () => {
    const rows = factorOf("row", [0, 0, 1, 1]);
    const data = { crossed: [rows], outer: null, inner: null };
    expect(
      fitMixedModel({ ...data, points: Float64Array.of(4, 4, 4, 4), means: factorOf("mean", [0, 0, 0, 0]) }),
    ).toBeNull();
    expect(
      fitMixedModel({ ...data, points: Float64Array.of(1, 2, 3, 4), means: factorOf("mean", [0, 1, 2, 3]) }),
    ).toBeNull();
    expect(
      fitMixedModel({ ...data, points: Float64Array.of(1, 1, 3, 3), means: factorOf("mean", [0, 0, 1, 1]) }),
    ).toBeNull();
  });

  it("two factors with the same levels share their variance, and are found as fast as one", () => {
    const { points, means, rows } = cellsOf(dyestuff);
    const model = fitMixedModel({
      points,
      means,
      crossed: [rows, { ...rows, name: "twin" }],
      outer: null,
      inner: null,
    })!;
    expect(model.criterion).toBeCloseTo(319.654277, 5);
    for (const variance of variances(model)) expect(variance).toBeCloseTo(1764.05 / 2, 1);
    expect(model.evaluations).toBeLessThan(30);
    // What is of one of them and what of the other nobody knows.
    expect(model.degreesOfFreedom([{ unknown: 1, share: 1 }])).toBeLessThan(2);
    expect(model.degreesOfFreedom([{ unknown: 0, share: 1 }])).toBeCloseTo(5, 1);
  });

  it("levels without any noise inside them are taken as they are", () => {
    const { points, means, rows } = cellsOf([
      [1, 1, 1],
      [2, 2, 2],
      [4, 4, 4],
    ]);
    const model = fitMixedModel({ points, means, crossed: [rows], outer: null, inner: null })!;
    expect(model.residualVariance).toBeLessThan(1e-5);
    for (const [row, value] of [1, 2, 4].entries())
      expect(model.means.estimates[0]! + model.crossed[0]!.effects[row]!).toBeCloseTo(value, 4);
  });
});
