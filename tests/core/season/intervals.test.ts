import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  clopperPearsonInterval,
  normalInterval,
  wilsonInterval,
  wilsonIntervalCorrected,
} from "#core/season/intervals";

/** The first four rows: Newcombe 1998, Statistics in Medicine 17:857-872, table I; the others by the same formulas. */
const published = [
  [81, 263, [0.2553, 0.3662], [0.2535, 0.3682], [0.2527, 0.3676]],
  [15, 148, [0.0624, 0.1605], [0.0598, 0.1644], [0.0578, 0.1617]],
  [0, 20, [0, 0.1611], [0, 0.2005], [0, 0.1684]],
  [1, 29, [0.0061, 0.1718], [0.0018, 0.1963], [0.0009, 0.1776]],
  [29, 30, [0.8333, 0.9941], [0.8095, 0.9983], [0.8278, 0.9992]],
  [10, 10, [0.7225, 1], [0.6555, 1], [0.6915, 1]],
] as const;

describe("intervals of a share", () => {
  it.each(published)("%d of %d, to the four places printed", (count, of, wilson, corrected, exact) => {
    for (const [ours, theirs] of [
      [wilsonInterval(count, of), wilson],
      [wilsonIntervalCorrected(count, of), corrected],
      [clopperPearsonInterval(count, of), exact],
    ] as const)
      expect([ours!.low.toFixed(4), ours!.high.toFixed(4)]).toEqual(theirs.map((end) => end.toFixed(4)));
  });

  it("have no value where there was nothing to count", () => {
    expect([wilsonInterval(0, 0), wilsonIntervalCorrected(0, 0), clopperPearsonInterval(0, 0)]).toEqual([
      null,
      null,
      null,
    ]);
  });

  it("hold the share, mirror with it, and the corrected one holds the plain one", () => {
    const counts = fc
      .integer({ min: 1, max: 400 })
      .chain((of) => fc.tuple(fc.integer({ min: 0, max: of }), fc.constant(of)));
    fc.assert(
      fc.property(counts, ([count, of]) => {
        for (const interval of [wilsonInterval, wilsonIntervalCorrected, clopperPearsonInterval]) {
          const { low, high } = interval(count, of)!;
          const other = interval(of - count, of)!;
          expect(low).toBeLessThanOrEqual(count / of);
          expect(high).toBeGreaterThanOrEqual(count / of);
          expect(other.low).toBeCloseTo(1 - high, 12);
        }
        expect(wilsonIntervalCorrected(count, of)!.low).toBeLessThanOrEqual(wilsonInterval(count, of)!.low + 1e-15);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("of an estimate: 1.96 standard errors either way, 1.64 at nine in ten", () => {
    expect(normalInterval(3, 0.5).low).toBeCloseTo(3 - 0.5 * 1.959964, 6);
    expect(normalInterval(3, 0.5, 0.9).high).toBeCloseTo(3 + 0.5 * 1.644854, 6);
  });
});
