import { expect, test } from "vitest";
import { fitLine } from "./line-fit.ts";

// The first data set of F. J. Anscombe, “Graphs in Statistical Analysis”, The American Statistician 27 (1973), 17–21, with the
// regression that the paper prints for it: y = 3 + 0.5 x, standard error of the slope 0.118.
const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
const y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];

test("slope, intercept and error of the slope are those that were published", () => {
  const fit = fitLine(x.map((one, index) => ({ x: one, y: y[index]! })));
  expect(fit.slope).toBeCloseTo(0.5, 2);
  expect(fit.intercept).toBeCloseTo(3, 2);
  expect(fit.plainError).toBeCloseTo(0.118, 3);
});

test("samples that follow each other leave a wider interval than the same scatter in turns; too few leave none", () => {
  const along = (residuals: readonly number[]) =>
    fitLine(residuals.map((residual, index) => ({ x: index, y: 2 * index + residual })));
  const turns = along(Array.from({ length: 40 }, (_, index) => (index % 2 === 0 ? 1 : -1)));
  const waves = along(Array.from({ length: 40 }, (_, index) => (Math.floor(index / 5) % 2 === 0 ? 1 : -1)));
  expect(waves.halfWidth).toBeGreaterThan(1.5 * turns.halfWidth);
  expect(Math.abs(waves.slope - 2)).toBeLessThan(waves.halfWidth);
  expect(along([0, 1, 0]).halfWidth).toBe(Infinity);
});
