import { expect, test } from "vitest";
import { normalPairs, seededRandom } from "#core/field/random";

const count = 200_000;

test("the same seed gives the same numbers, another seed others", () => {
  const first = Array.from({ length: 50 }, seededRandom(1).uniform);
  expect(Array.from({ length: 50 }, seededRandom(1).uniform)).toEqual(first);
  expect(Array.from({ length: 50 }, seededRandom(2).uniform)).not.toEqual(first);
});

test("uniform numbers fill [0, 1) evenly: χ² over a hundred bins within its 99.9 % point", () => {
  const random = seededRandom(3);
  const bins = new Float64Array(100);
  for (let i = 0; i < count; i++) bins[Math.floor(random.uniform() * 100)]! += 1;
  const expected = count / 100;
  const square = bins.reduce((sum, n) => sum + (n - expected) ** 2 / expected, 0);
  // Source: χ² tables, 99 degrees of freedom: 0.001 points 61.14 and 148.23.
  expect(square).toBeGreaterThan(61.1);
  expect(square).toBeLessThan(148.2);
});

test("whole numbers stay below their bound and reach every one", () => {
  const random = seededRandom(4);
  const seen = new Set(Array.from({ length: 1000 }, () => random.below(7)));
  expect([...seen].toSorted((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6]);
});

test("normals have the moments and tails of the normal distribution, and do not run together", () => {
  const random = seededRandom(5);
  let [m1, m2, m4, tail, lag] = [0, 0, 0, 0, 0];
  let before = random.normal();
  for (let i = 0; i < count; i++) {
    const z = random.normal();
    m1 += z / count;
    m2 += (z * z) / count;
    m4 += z ** 4 / count;
    lag += (z * before) / count;
    // Source: normal table: 5 % lie beyond ±1.959964.
    if (Math.abs(z) > 1.959964) tail += 1 / count;
    before = z;
  }
  // Four standard deviations of each: 1/√n, √2/√n, √96/√n, √(0.05 · 0.95)/√n, 1/√n.
  const unit = 4 / Math.sqrt(count);
  expect(Math.abs(m1)).toBeLessThan(unit);
  expect(Math.abs(m2 - 1)).toBeLessThan(unit * Math.SQRT2);
  expect(Math.abs(m4 - 3)).toBeLessThan(unit * Math.sqrt(96));
  expect(Math.abs(tail - 0.05)).toBeLessThan(unit * Math.sqrt(0.0475));
  expect(Math.abs(lag)).toBeLessThan(unit);
});

test("normal pairs are a row of the generator's normals", () => {
  const random = seededRandom(6);
  expect(Array.from(normalPairs(seededRandom(6), 3))).toEqual(Array.from({ length: 6 }, random.normal));
});
