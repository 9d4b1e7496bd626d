import { describe, expect, it } from "vitest";
import { bcaBootstrap, jackknife, percentileBootstrap } from "#core/season/bootstrap";

/** Fifteen law schools (Efron and Tibshirani 1993, An Introduction to the Bootstrap, table 3.1). */
const lsat = [576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594];
const gpa = [3.39, 3.3, 2.81, 3.03, 3.44, 3.07, 3.0, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96];

function correlation(cases: Int32Array): number | null {
  const mean = (values: readonly number[]) => cases.reduce((sum, i) => sum + values[i]!, 0) / cases.length;
  const [x, y] = [mean(lsat), mean(gpa)];
  let [xx, xy, yy] = [0, 0, 0];
  for (const i of cases) {
    xx += (lsat[i]! - x) ** 2;
    yy += (gpa[i]! - y) ** 2;
    xy += (lsat[i]! - x) * (gpa[i]! - y);
  }
  return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : null;
}

describe("the law school data", () => {
  it("jackknife: standard error .142519, bias -.006474, acceleration -.075672", () => {
    expect(correlation(Int32Array.from(lsat, (_, i) => i))).toBeCloseTo(0.776374, 6);
    const { standardError, bias, acceleration } = jackknife(15, correlation)!;
    expect(standardError).toBeCloseTo(0.142519, 6);
    expect(bias).toBeCloseTo(-0.006474, 6);
    expect(acceleration).toBeCloseTo(-0.075672, 6);
  });

  /** The book's figures and their recomputation with 200,000 draws; 20,000 are a hundredth off at the ends. */
  it("percentile: .459 to .962, standard error .134; bias-corrected and accelerated: .331 to .942", () => {
    const plain = percentileBootstrap(15, correlation, { seed: 7, draws: 20_000 })!;
    expect(Math.abs(plain.standardError - 0.134)).toBeLessThan(0.003);
    expect(Math.abs(plain.low - 0.459)).toBeLessThan(0.01);
    expect(Math.abs(plain.high - 0.962)).toBeLessThan(0.003);
    const corrected = bcaBootstrap(15, correlation, { seed: 7, draws: 20_000 })!;
    expect(Math.abs(corrected.low - 0.331)).toBeLessThan(0.02);
    expect(Math.abs(corrected.high - 0.942)).toBeLessThan(0.004);
  });
});

describe("draws", () => {
  it("are the same for the same seed, others for another, and narrower at a lower level", () => {
    const at = (seed: number, level: number) => percentileBootstrap(15, correlation, { seed, draws: 500, level })!;
    expect(at(3, 0.95)).toEqual(at(3, 0.95));
    expect(at(3, 0.95)).not.toEqual(at(4, 0.95));
    expect(at(3, 0.5).high - at(3, 0.5).low).toBeLessThan(at(3, 0.95).high - at(3, 0.95).low);
  });

  it("without a value are left out and counted", () => {
    const onlyWithFirst = (cases: Int32Array) => (cases.includes(0) ? cases.length : null);
    const { draws } = percentileBootstrap(5, onlyWithFirst, { seed: 1, draws: 4000 })!;
    // 1 - (4/5)^5 of the draws hold the first case.
    expect(draws / 4000).toBeCloseTo(1 - 0.8 ** 5, 1);
    expect(percentileBootstrap(5, () => null, { seed: 1, draws: 100 })).toBeNull();
    expect(bcaBootstrap(5, onlyWithFirst, { seed: 1, draws: 100 })).toBeNull();
  });
});
