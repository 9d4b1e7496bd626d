import { describe, expect, it } from "vitest";
import { isOnScale, pointsOf, type Scale, scales, suggestedPoints } from "#core/grading/scales";

/** A scale is data with a direction: design of the house. The arithmetic of its points is checked by hand. */
const [five, seven, hundred] = scales as unknown as [Scale, Scale, Scale];

describe("the points of a scale", () => {
  it("run from the least to the most by the step", () => {
    expect(pointsOf(five)).toEqual([1, 2, 3, 4, 5]);
    expect(pointsOf(hundred)).toHaveLength(21);
    expect(isOnScale(hundred, 35)).toBe(true);
    expect([0.5, 6, 0].map((points) => isOnScale(five, points))).toEqual([false, false, false]);
  });

  it.each(scales)("$id: words and ends that take a reason are points of it, and ids are one a scale", (scale) => {
    for (const { points } of scale.words) expect(pointsOf(scale)).toContain(points);
    expect(scale.reasonAt).toEqual([scale.least, scale.most]);
    expect(scales.filter(({ id }) => id === scale.id)).toHaveLength(1);
  });
});

describe("what is suggested", () => {
  it.each([
    [0, 2],
    [24, 2],
    [50, 3],
    [74, 3],
    [76, 4],
    [100, 4],
    [140, 4],
    [-3, 2],
  ])("of five points a score of %d suggests %d", (score, points) => {
    expect(suggestedPoints(five, score)).toBe(points);
  });

  it("runs the other way where the least is best, and never to an end that takes a reason", () => {
    expect([0, 50, 100].map((score) => suggestedPoints(seven, score))).toEqual([6, 4, 2]);
    for (const scale of scales)
      for (let score = 0; score <= 100; score++) expect(scale.reasonAt).not.toContain(suggestedPoints(scale, score));
  });

  it("a better score never suggests a worse point", () => {
    for (const scale of scales) {
      const sign = scale.best === "most" ? 1 : -1;
      for (let score = 1; score <= 100; score++)
        expect(sign * (suggestedPoints(scale, score)! - suggestedPoints(scale, score - 1)!)).toBeGreaterThanOrEqual(0);
    }
  });

  it("nothing where the score is withheld", () => expect(suggestedPoints(five, null)).toBeNull());
});
