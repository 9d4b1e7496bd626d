import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gather, gatheredIntervals, halfWidth, unionLength } from "#core/scoring/angular-intervals";

function covered(low: number, high: number, discs: readonly (readonly [centre: number, half: number])[]): number {
  const into = gatheredIntervals(discs.length);
  for (const [centre, half] of discs) gather(into, low, high, centre, half);
  return unionLength(into);
}

describe("half of the angle a disc is seen under", () => {
  it("is the angle of the tangent: 30° at twice the radius, a quarter turn at the rim, everything from inside", () => {
    // Euclid III.18: radius and tangent meet at a right angle, so its sine is radius over distance.
    expect(halfWidth(2, 1)).toBeCloseTo(Math.PI / 6, 12);
    expect(halfWidth(1.000_000_1, 1)).toBeCloseTo(Math.PI / 2, 3);
    expect([halfWidth(1, 1), halfWidth(0.2, 1)]).toEqual([Math.PI, Math.PI]);
  });
});

describe("the union of intervals", () => {
  it("counts what overlaps once and leaves out what lies outside the span", () => {
    expect(covered(0, 1, [])).toBe(0);
    // 0.1–0.3 and 0.2–0.4 together 0.3, and 0.9–1 of 0.9–1.1.
    const discs = [
      [0.3, 0.1],
      [0.2, 0.1],
      [1, 0.1],
      [2, 0.5],
    ] as const;
    expect(covered(0, 1, discs)).toBeCloseTo(0.4, 12);
    expect(covered(0, 1, discs.toReversed())).toBeCloseTo(0.4, 12);
    expect(covered(0, 1, [...discs, [0.5, 9]])).toBe(1);
  });

  it("knows an interval again that lies a turn further on", () => {
    expect(covered(3, 3.4, [[-3.1, 0.1]])).toBeCloseTo(0.2, 12);
    // Half a turn to each hand of the back, in a span that goes nearly all the way round.
    expect(covered(-3, 3, [[Math.PI, 1]])).toBeCloseTo(2 * (1 - (Math.PI - 3)), 12);
  });

  it("is what counting on a fine grid gives", () => {
    const disc = fc.tuple(
      fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
      fc.double({ min: 0, max: 1.5, noNaN: true }),
    );
    const span = fc.tuple(fc.double({ min: -3, max: 0, noNaN: true }), fc.double({ min: 0.1, max: 3, noNaN: true }));
    fc.assert(
      fc.property(span, fc.array(disc, { maxLength: 8 }), ([low, width], discs) => {
        const cells = 4000;
        let hit = 0;
        for (let i = 0; i < cells; i++) {
          const at = low + (width * (i + 0.5)) / cells;
          // Cosine of the difference does not know of turns.
          if (discs.some(([centre, half]) => Math.cos(at - centre) > Math.cos(half))) hit++;
        }
        // Each end of each interval is off by at most half a cell.
        expect(Math.abs(covered(low, low + width, discs) - (hit * width) / cells)).toBeLessThan((width * 24) / cells);
      }),
      { seed: 5, numRuns: 300 },
    );
  });
});
