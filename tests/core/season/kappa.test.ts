import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fleissKappa } from "#core/season/fleiss-kappa";
import { cohenKappa, linearWeights, percentAgreement, quadraticWeights } from "#core/season/kappa";

/** Cohen 1960, Educ. Psychol. Meas. 20:37-46, and 1968, Psychol. Bull. 70:213-220, as printed; more digits recomputed. */
const cohen = [
  [88, 14, 18],
  [10, 40, 10],
  [2, 6, 12],
];

describe("Cohen's kappa", () => {
  it("of 200 cases is .491525, with the standard errors of 1969", () => {
    const found = cohenKappa(cohen)!;
    expect(found.cases).toBe(200);
    expect(found.observed).toBeCloseTo(0.7, 12);
    expect(found.expected).toBeCloseTo(0.41, 12);
    expect(found.kappa).toBeCloseTo(0.491525, 6);
    expect(found.standardError).toBeCloseTo(0.051002, 6);
    expect(found.standardErrorNull).toBeCloseTo(0.051979, 6);
    expect(found.interval.high - found.kappa).toBeCloseTo(1.959964 * 0.051002, 5);
  });

  it.each([
    [
      "symmetric",
      [
        [0, 1, 3],
        [1, 0, 6],
        [3, 6, 0],
      ],
      0.347826,
    ],
    [
      "asymmetric",
      [
        [0, 1, 4],
        [1, 0, 6],
        [2, 2, 0],
      ],
      0.353383,
    ],
    ["quadratic", quadraticWeights(3), 0.454545],
    ["linear", linearWeights(3), 0.473684],
  ] as const)("weighted, %s", (_, weights, kappa) => {
    expect(cohenKappa(cohen, weights)!.kappa).toBeCloseTo(kappa, 6);
  });

  it("falls with a skew of classes while agreement stays: .700 and .318 at 85 in a hundred", () => {
    for (const [table, kappa] of [
      [
        [
          [40, 9],
          [6, 45],
        ],
        0.7,
      ],
      [
        [
          [80, 10],
          [5, 5],
        ],
        0.318,
      ],
    ] as const) {
      expect(percentAgreement(table)).toBeCloseTo(0.85, 12);
      expect(cohenKappa(table)!.kappa).toBeCloseTo(kappa, 3);
    }
  });

  it("has no value without cases, or where both always gave one category", () => {
    expect(
      cohenKappa([
        [0, 0],
        [0, 0],
      ]),
    ).toBeNull();
    expect(
      cohenKappa([
        [9, 0],
        [0, 0],
      ]),
    ).toBeNull();
    expect(
      percentAgreement([
        [0, 0],
        [0, 0],
      ]),
    ).toBeNull();
  });

  it("does not mind which observer comes first, nor the unit of weights", () => {
    const table = fc.array(fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 4, maxLength: 4 }), {
      minLength: 4,
      maxLength: 4,
    });
    fc.assert(
      fc.property(table, (counts) => {
        const turned = counts.map((_, i) => counts.map((row) => row[i]!));
        const plain = cohenKappa(counts, quadraticWeights(4))!;
        const other = cohenKappa(
          turned,
          quadraticWeights(4).map((row) => row.map((weight) => 7 * weight)),
        )!;
        expect(other.kappa).toBeCloseTo(plain.kappa, 12);
        expect(other.standardError).toBeCloseTo(plain.standardError, 12);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});

describe("Fleiss' kappa", () => {
  /** Fleiss 1971, Psychol. Bull. 76:378-382, table 1: 30 patients, 6 psychiatrists, 5 diagnoses; a digit a diagnosis. */
  const fleiss = (
    "444444 222555 233335 555555 222444 113333 333355 113334 114444 555555 144444 124444 222333 144444 224445 " +
    "333335 111455 111112 224444 133555 555555 244444 224555 114444 144445 222224 111155 224444 133333 555555"
  )
    .split(" ")
    .map((codes) => [1, 2, 3, 4, 5].map((code) => codes.split("").filter((one) => Number(one) === code).length));

  it("of 30 subjects and 6 raters is .430245, z 17.65183", () => {
    const found = fleissKappa(fleiss)!;
    expect([found.subjects, found.raters]).toEqual([30, 6]);
    expect(found.observed).toBeCloseTo(0.555556, 6);
    expect(found.expected).toBeCloseTo(0.219938, 6);
    expect(found.kappa).toBeCloseTo(0.430245, 6);
    expect(found.standardErrorNull).toBeCloseTo(0.024374, 6);
    expect(found.z).toBeCloseTo(17.65183, 5);
    const perCategory = [0.244755, 0.244755, 0.52, 0.471127, 0.566118];
    for (const [category, kappa] of perCategory.entries()) expect(found.perCategory[category]).toBeCloseTo(kappa, 6);
  });

  it("has no value where ratings differ in number, are single, or never vary", () => {
    expect(
      fleissKappa([
        [2, 1],
        [1, 1],
      ]),
    ).toBeNull();
    expect(
      fleissKappa([
        [1, 0],
        [0, 1],
      ]),
    ).toBeNull();
    expect(
      fleissKappa([
        [3, 0],
        [3, 0],
      ]),
    ).toBeNull();
    expect(fleissKappa([])).toBeNull();
    expect(
      fleissKappa([
        [2, 1, 0],
        [1, 2, 0],
      ])!.perCategory[2],
    ).toBeNull();
  });
});
