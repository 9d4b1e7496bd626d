import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { normalPairs, seededRandom } from "#core/field/random";
import type { Book } from "#core/mechanics/book";
import { measuredFrom, verdictOf } from "#core/scoring/finding";
import { credit, outsideRange } from "#core/scoring/station";
import { stationHelp } from "#core/scoring/station-words";
import { findingOf, flagCrewBook, inPlace, judge, moved, stationMeasure } from "./staged-play.ts";

/** The field judge alone, allowed anywhere up to ten yards downfield at any width, with no tolerance: one edge only. */
const oneEdge: Book = {
  ...flagCrewBook,
  stations: [
    {
      ...flagCrewBook.stations.find((rule) => rule.id === "ST-FJ-PRE")!,
      depth: { anchor: "neutral-zone", yards: { from: -100, to: 10 } },
      width: { anchor: "own-sideline", yards: { from: -100, to: 100 } },
      toleranceYards: 0,
    },
  ],
};

describe("probabilities", () => {
  const away = (sigmas: number) => {
    const sd = judge(inPlace).placed.find((mark) => mark.markId === "FJ")!.measured.sdAlongX;
    return findingOf(moved(inPlace, "FJ", sigmas * sd, 0), "ST-FJ-PRE", { book: oneEdge });
  };

  it("are those of the normal curve so many standard deviations from an edge", () => {
    // Source: table of the standard normal distribution, Φ(0) = 0.5, Φ(0.5) = 0.6915, Φ(1) = 0.8413, Φ(2) = 0.9772.
    for (const [sigmas, inside] of [
      [-2, 0.9772],
      [-1, 0.8413],
      [-0.5, 0.6915],
      [0, 0.5],
      [0.5, 0.3085],
      [1, 0.1587],
    ] as const) {
      // Four standard errors of a share of 1500 samples.
      const slack = 4 * Math.sqrt((inside * (1 - inside)) / 1500);
      expect(Math.abs(stationMeasure(away(sigmas)).probabilityInside - inside)).toBeLessThan(slack);
    }
  });

  it("turn into verdicts at four and at one in five", () => {
    // Source: the same table, Φ(0.8416) = 0.8.
    expect([-1.05, -0.65, 0.65, 1.05].map((sigmas) => away(sigmas).verdict)).toEqual([
      "met",
      "cannot tell",
      "cannot tell",
      "missed",
    ]);
    const grading = { metFrom: 0.8, missedTo: 0.2 };
    expect([1, 0.8, 0.79, 0.21, 0.2, 0].map((p) => verdictOf(p, grading))).toEqual([
      "met",
      "met",
      "cannot tell",
      "cannot tell",
      "missed",
      "missed",
    ]);
  });

  it("come with the interval that holds 95 of 100", () => {
    // Source: the same table, 97.5 % point 1.960.
    const { value, low, high } = measuredFrom(normalPairs(seededRandom(8), 50_000).map((z) => 5 + 2 * z));
    expect([value, low, high].map((x) => Math.round(x * 10) / 10)).toEqual([5, 1.1, 8.9]);
  });
});

describe("credit", () => {
  it("is whole inside, half at half the grace, nothing past it, and never rises on the way out", () => {
    expect([-1, 0, 1.5, 3, 9].map((yards) => Number(credit(yards, 3).toFixed(9)))).toEqual([1, 1, 0.5, 0, 0]);
    const yards = fc.double({ min: 0, max: 10, noNaN: true });
    fc.assert(fc.property(yards, yards, (a, b) => credit(Math.min(a, b), 3) >= credit(Math.max(a, b), 3)));
  });

  it("counts from the nearer end of a range, with its sign", () => {
    expect([-3, -1, 0, 2, 2.5].map((value) => outsideRange(value, { from: -1, to: 2 }))).toEqual([-2, 0, 0, 0, 0.5]);
  });
});

it("sends a person to the survey or to the click, whichever holds more of the error", () => {
  expect(stationHelp({ uu: 5, uv: 0, vv: 5 }, 2)).toMatch(/from the click/u);
  expect(stationHelp({ uu: 50, uv: 0, vv: 50 }, 2)).toMatch(/from the survey/u);
});
