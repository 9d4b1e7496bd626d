import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "#core/field/random";
import { crossedDesign, type Factor, type MixedModelData } from "#core/season/crossed-design";
import { fitMixedModel, type MixedModel } from "#core/season/mixed-model";
import { factorEquations } from "#core/season/mixed-model-equations";
import { remlCriterion } from "#core/season/reml";
import { remlSlope } from "#core/season/reml-slope";
import { denseModel } from "./dense-model.ts";

/** Some dozens of grades, unbalanced, every level with one at least; a few grades are of no play. */
function smallSeason(seed: number): MixedModelData {
  const random = seededRandom(seed);
  const [officials, observers, games, playsPerGame] = [5, 3, 5, 3];
  const rows: { points: number; mean: number; official: number; observer: number; game: number; play: number }[] = [];
  const draw = (count: number, spread: number) => Array.from({ length: count }, () => spread * random.normal());
  const [ofOfficial, ofObserver, ofGame, ofPlay] = [
    draw(officials, 0.6),
    draw(observers, 0.8),
    draw(games, 0.5),
    draw(games * playsPerGame, 0.4),
  ];
  for (let row = 0; row < 70; row++) {
    const game = row < games ? row : random.below(games);
    const official = row < officials ? row : random.below(officials);
    const observer = row < observers ? row : random.below(observers);
    const mean = row < 2 ? row : random.below(2);
    const play =
      row < games * playsPerGame
        ? Math.floor(row / games) + playsPerGame * game
        : random.below(9) === 0
          ? -1
          : playsPerGame * game + random.below(playsPerGame);
    const points =
      3 +
      mean +
      ofOfficial[official]! +
      ofObserver[observer]! +
      ofGame[game]! +
      (ofPlay[play] ?? 0) +
      0.5 * random.normal();
    rows.push({ points, mean, official, observer, game: play < 0 ? game : Math.floor(play / playsPerGame), play });
  }
  const factor = (name: "mean" | "official" | "observer" | "game" | "play", levels: number): Factor => ({
    name,
    levelOf: Int32Array.from(rows, (row) => row[name]),
    levels,
  });
  return {
    points: Float64Array.from(rows, ({ points }) => points),
    means: factor("mean", 2),
    crossed: [factor("official", officials), factor("observer", observers)],
    outer: factor("game", games),
    inner: factor("play", games * playsPerGame),
  };
}

const thetaOf = ({ components }: MixedModel) => components.map(({ theta }) => theta);
/**
 * In season 230 the search crosses 0 with a variance that is not 0 at the optimum, and has to let it go again; in season
 * 141 a step that is merely cut off at 0 leads up, and the search stalls.
 */
const seeds = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 141, 230];

describe("against the likelihood written out with one dense matrix", () => {
  it.each(seeds)("season %d: criterion, means, effects and all standard errors at the optimum", (seed) => {
    const data = smallSeason(seed);
    const model = fitMixedModel(data)!;
    const dense = denseModel(data, thetaOf(model));
    expect(Math.abs(model.criterion - dense.criterion)).toBeLessThan(1e-9);
    expect(model.residualVariance).toBeCloseTo(dense.residualVariance, 10);
    const [official, observer] = model.crossed;
    for (const [ours, theirs] of [
      [model.means.estimates, dense.means.estimates],
      [model.means.standardErrors, dense.means.standardErrors],
      [official!.effects, dense.effects[0]!],
      [official!.standardErrors, dense.standardErrors[0]!],
      [observer!.effects, dense.effects[1]!],
      [observer!.standardErrors, dense.standardErrors[1]!],
      [model.outer!.effects, dense.effects[2]!],
      [model.outer!.standardErrors, dense.standardErrors[2]!],
      [model.inner!.effects, dense.effects[3]!],
    ] as const)
      for (const [at, value] of theirs.entries()) expect(ours[at]).toBeCloseTo(value, 8);
  });

  it.each(seeds)("season %d: no neighbour of the optimum is better, at a thousandth and a tenth either way", (seed) => {
    const data = smallSeason(seed);
    const theta = thetaOf(fitMixedModel(data)!);
    const { criterion } = denseModel(data, theta);
    for (const k of theta.keys())
      for (const factor of [0.9, 0.999, 1.001, 1.1]) {
        const beside = theta.with(k, theta[k] === 0 ? Math.abs(factor - 1) : theta[k]! * factor);
        expect(denseModel(data, beside).criterion).toBeGreaterThan(criterion - 1e-9);
      }
  });

  it("some of these seasons have a variance at its boundary, and some have none", () => {
    const atBoundary = seeds.filter((seed) =>
      fitMixedModel(smallSeason(seed))!.components.some((one) => one.isAtBoundary),
    );
    expect(atBoundary.length).toBeGreaterThan(0);
    expect(atBoundary.length).toBeLessThan(seeds.length);
  });
});

describe("the slope of the criterion", () => {
  const relativeOf = (row: readonly number[]) => ({ crossed: row.slice(0, 2), outer: row[2]!, inner: row[3]! });

  it.each([
    [0.3, 0.5, 0.2, 0.1],
    [2, 0.01, 1, 0.5],
    [0, 0.5, 0, 0.3],
    [0.4, 0, 0.1, 0],
  ])("at %d, %d, %d, %d is that of differences", (...at) => {
    const design = crossedDesign(smallSeason(3));
    const { gradient } = remlSlope(factorEquations(design, relativeOf(at)));
    const value = (row: readonly number[]) => remlCriterion(factorEquations(design, relativeOf(row)));
    for (const k of at.keys()) {
      // One-sided at 0, to second order.
      const step = 1e-4 * Math.max(at[k]!, 0.05);
      const beside = (steps: number) => value(at.with(k, at[k]! + steps * step));
      const slope =
        at[k] === 0 ? (4 * beside(1) - 3 * beside(0) - beside(2)) / (2 * step) : (beside(1) - beside(-1)) / (2 * step);
      expect(Math.abs(gradient[k]! - slope)).toBeLessThan(1e-4 * Math.max(1, Math.abs(slope)));
    }
  });

  it.each(seeds)("season %d: is 0 at the optimum, or points up at a boundary", (seed) => {
    const data = smallSeason(seed);
    const relative = thetaOf(fitMixedModel(data)!).map((theta) => theta ** 2);
    const { gradient } = remlSlope(factorEquations(crossedDesign(data), relativeOf(relative)));
    for (const [k, slope] of gradient.entries()) {
      if (relative[k] === 0) expect(slope).toBeGreaterThanOrEqual(0);
      else expect(Math.abs(slope * relative[k]!)).toBeLessThan(1e-5);
    }
  });
});

describe("a mixed model", () => {
  it("does not mind names, the order of grades, a shift, or a stretch", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 500 }),
        fc.integer({ min: -40, max: 40 }),
        fc.integer({ min: 1, max: 9 }),
        (seed, shift, stretch) => {
          const data = smallSeason(seed);
          const rows = data.points.length;
          const renamed = (factor: Factor | null): Factor | null =>
            factor && {
              ...factor,
              levelOf: factor.levelOf.toReversed().map((level) => (level < 0 ? -1 : factor.levels - 1 - level)),
            };
          const other = fitMixedModel({
            points: data.points.toReversed().map((value) => shift + stretch * value),
            means: renamed(data.means)!,
            crossed: data.crossed.map((factor) => renamed(factor)!),
            outer: renamed(data.outer),
            inner: renamed(data.inner),
          })!;
          const model = fitMixedModel(data)!;
          expect(other.grades).toBe(rows);
          // The criterion is of a density: a stretch by s adds log s for each degree of freedom, twice.
          expect(other.criterion - 2 * (rows - 2) * Math.log(stretch)).toBeCloseTo(model.criterion, 7);
          const last = data.crossed[0]!.levels - 1;
          for (const [level, effect] of model.crossed[0]!.effects.entries())
            expect(Math.abs(other.crossed[0]!.effects[last - level]! / stretch - effect)).toBeLessThan(1e-6);
          expect(Math.abs((other.means.estimates[1]! - shift) / stretch - model.means.estimates[0]!)).toBeLessThan(
            1e-6,
          );
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });
});
