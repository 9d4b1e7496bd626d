import jstat from "jstat";
import { describe, expect, it } from "vitest";
import {
  betaQuantile,
  fCdf,
  fQuantile,
  fUpperTail,
  logGamma,
  normalCdf,
  normalQuantile,
  regularisedBeta,
  studentCdf,
  studentQuantile,
} from "#core/season/distributions";

const shares = [1e-6, 0.001, 0.025, 0.2, 0.5, 0.8, 0.975, 0.999];

/** Relative error. The second number is the outside one. */
function expectNear(ours: number, theirs: number, within: number): void {
  expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(within * Math.abs(theirs));
}

/** Printed by R 4.2.2 with 16 digits: lgamma, pnorm, qnorm, pt, qt, pbeta, qbeta, pf, qf. */
describe("against R's own distributions", () => {
  it.each([
    ["log gamma of 1/2", logGamma(0.5), 0.5723649429247001],
    ["log gamma of 3.7", logGamma(3.7), 1.4280723266653881],
    ["log gamma of 1000.5", logGamma(1000.5), 5908.6741758486778053],
    ["normal, far below", normalCdf(-8), 6.220960574271785e-16],
    ["normal, below", normalCdf(-1.96), 2.499789514822043e-2],
    ["normal, near 0", normalCdf(-0.5), 3.085375387259869e-1],
    ["normal, above", normalCdf(3), 0.9986501019683699],
    ["normal quantile, far below", normalQuantile(1e-6), -4.753424308822899],
    ["normal quantile", normalQuantile(0.975), 1.959963984540054],
    ["t", studentCdf(-2.3, 4.5), 0.03780383823785539],
    ["t quantile, 1 degree", studentQuantile(0.025, 1), -12.706204736174707],
    ["t quantile, 7 degrees", studentQuantile(0.975, 7), 2.364624251592784],
    ["t quantile, 400 degrees", studentQuantile(0.999, 400), 3.110731273816421],
    ["beta", regularisedBeta(0.3, 2.5, 7), 0.6412224629717211],
    ["beta quantile", betaQuantile(0.025, 81, 183), 2.527367455852711e-1],
    ["beta quantile, above", betaQuantile(0.975, 82, 182), 3.676219226013514e-1],
    ["beta quantile, near 0", betaQuantile(1e-6, 0.5, 0.5), 2.46740110027031e-12],
    ["F, upper tail", fUpperTail(11.027248, 5, 15), 0.0001345665134932206],
    ["F quantile", fQuantile(0.975, 5, 18), 3.381967805875243],
    ["F quantile, broken degrees", fQuantile(0.975, 5, 4.785144), 7.498627350902269],
    ["F quantile, many degrees", fQuantile(0.975, 100, 60), 1.599036985921727],
  ])("%s", (_, ours, theirs) => {
    expectNear(ours, theirs, 1e-12);
  });
});

/** jstat stops its continued fraction at 3e-7 and its quantiles at 1e-8: hence the tolerance. */
describe("against a library", () => {
  it.each([1, 2.5, 7, 30, 400])("Student's t with %d degrees", (degrees) => {
    for (const share of shares) {
      if (share !== 0.5) expectNear(studentQuantile(share, degrees), jstat.studentt.inv(share, degrees), 1e-6);
      expectNear(studentCdf(6 * share - 3.1, degrees), jstat.studentt.cdf(6 * share - 3.1, degrees), 1e-6);
    }
  });

  it.each([
    [0.5, 0.5],
    [2, 9],
    [30, 40.5],
    [400, 3],
  ])("beta %d, %d", (a, b) => {
    for (const share of shares) {
      expectNear(betaQuantile(share, a, b), jstat.beta.inv(share, a, b), 1e-6);
      if (share > 1e-3 && a < 400) expectNear(regularisedBeta(share, a, b), jstat.beta.cdf(share, a, b), 1e-6);
    }
  });

  it.each([
    [1, 5],
    [5, 15],
    [4.79, 5],
    [100, 60],
  ])("F %d, %d", (above, below) => {
    for (const share of shares) {
      expectNear(fQuantile(share, above, below), jstat.centralF.inv(share, above, below), 1e-6);
      if (share > 0.1) expectNear(fCdf(5 * share, above, below), jstat.centralF.cdf(5 * share, above, below), 1e-6);
    }
  });
});

describe("there and back", () => {
  it("a quantile's probability is the share it was asked for, and tails add up to one", () => {
    for (const share of shares) {
      expectNear(normalCdf(normalQuantile(share)), share, 1e-13);
      expectNear(studentCdf(studentQuantile(share, 3), 3), share, 1e-12);
      expectNear(fCdf(fQuantile(share, 4, 9), 4, 9), share, 1e-12);
      expect(fCdf(share, 4, 9) + fUpperTail(share, 4, 9)).toBeCloseTo(1, 14);
    }
    expect([normalQuantile(0), normalQuantile(1), studentQuantile(0.5, 3)]).toEqual([-Infinity, Infinity, 0]);
    expect([regularisedBeta(0, 2, 3), regularisedBeta(1, 2, 3), fCdf(0, 2, 3), fUpperTail(0, 2, 3)]).toEqual([
      0, 1, 0, 1,
    ]);
  });
});
