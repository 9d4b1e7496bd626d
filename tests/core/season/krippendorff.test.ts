import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { coincidences, krippendorffAlpha, type Measurement, type RatedUnits } from "#core/season/krippendorff";

/** Krippendorff 2011, Computing Krippendorff's alpha-reliability, section C: four observers, twelve units. */
const observers = ["123321412...", "1233224125..", ".33323422513", "12332441251."];
const canonical: RatedUnits = observers[0]!
  .split("")
  .map((_, unit) => observers.map((row) => (row[unit] === "." ? null : Number(row[unit]))));
const draws = { seed: 11, draws: 400 };
const levels: readonly Measurement[] = ["nominal", "ordinal", "interval", "ratio"];

describe("Krippendorff's alpha of the canonical data", () => {
  it.each([
    ["nominal", 0.743421],
    ["ordinal", 0.815388],
    ["interval", 0.849107],
    ["ratio", 0.797403],
  ] as const)("%s: %d", (measurement, alpha) => {
    const found = krippendorffAlpha(canonical, measurement, draws)!;
    expect(found.alpha).toBeCloseTo(alpha, 6);
    expect([found.units, found.pairable]).toEqual([11, 40]);
    expect(found.interval!.low).toBeLessThan(alpha);
    expect(found.interval!.high).toBeGreaterThan(alpha);
  });

  it("has the published coincidences: the lone value of unit 12 is in none", () => {
    const { values, matrix, marginals, pairable } = coincidences(canonical);
    expect(values).toEqual([1, 2, 3, 4, 5]);
    expect(pairable).toBe(40);
    const printed = [
      [7, 4 / 3, 1 / 3, 1 / 3, 0],
      [4 / 3, 10, 4 / 3, 1 / 3, 0],
      [1 / 3, 4 / 3, 8, 1 / 3, 0],
      [1 / 3, 1 / 3, 1 / 3, 4, 0],
      [0, 0, 0, 0, 3],
    ];
    for (const [i, row] of printed.entries()) {
      expect(marginals[i]).toBeCloseTo([9, 13, 10, 5, 3][i]!, 12);
      for (const [j, count] of row.entries()) expect(matrix[i]![j]).toBeCloseTo(count, 12);
    }
  });
});

describe("Krippendorff's alpha of anything", () => {
  const rated = fc.array(fc.array(fc.option(fc.integer({ min: 1, max: 5 })), { minLength: 3, maxLength: 3 }), {
    minLength: 3,
    maxLength: 15,
  });

  it("does not mind the order of observers or of units", () => {
    fc.assert(
      fc.property(rated, fc.constantFrom(...levels), (units, measurement) => {
        const turned = units.toReversed().map((unit) => unit.toReversed());
        const [one, other] = [
          krippendorffAlpha(units, measurement, draws),
          krippendorffAlpha(turned, measurement, draws),
        ];
        if (one === null) expect(other).toBeNull();
        else expect(other!.alpha).toBeCloseTo(one.alpha, 10);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("is 1 when all agree, whatever the level; and 1 in every draw that has a value", () => {
    const agreed = fc.uniqueArray(fc.integer({ min: 1, max: 9 }), { minLength: 2, maxLength: 9 });
    fc.assert(
      fc.property(agreed, fc.constantFrom(...levels), (values, measurement) => {
        const found = krippendorffAlpha(
          values.map((value) => [value, null, value]),
          measurement,
          draws,
        )!;
        expect(found.alpha).toBe(1);
        expect([found.interval!.low, found.interval!.high]).toEqual([1, 1]);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("is less certain of units that come in clusters: each unit four times over tells as much as once", () => {
    const four = canonical.flatMap((unit) => [unit, unit, unit, unit]);
    const width = ({ low, high }: { low: number; high: number }) => high - low;
    const many = { seed: 3, draws: 2000 };
    const apart = krippendorffAlpha(four, "interval", many)!.interval!;
    const together = krippendorffAlpha(four, "interval", many, (unit) => Math.floor(unit / 4))!.interval!;
    // Four times the units halve the width, unless they are drawn together.
    expect(width(apart) / width(together)).toBeLessThan(0.65);
    expect(width(together)).toBeCloseTo(width(krippendorffAlpha(canonical, "interval", many)!.interval!), 1);
  });

  it("has no value without a pair, or without variation", () => {
    expect(
      krippendorffAlpha(
        [
          [1, null],
          [null, 2],
        ],
        "nominal",
        draws,
      ),
    ).toBeNull();
    expect(
      krippendorffAlpha(
        [
          [4, 4],
          [4, 4],
        ],
        "interval",
        draws,
      ),
    ).toBeNull();
  });
});
