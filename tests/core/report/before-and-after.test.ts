import { describe, expect, it } from "vitest";
import { beforeAndAfter } from "#core/report/before-and-after";
import type { Shape } from "#core/picture/shape";
import { judgeShots, type Spot, shots } from "../scoring/staged-course.ts";
import { flagField, inPlace } from "../scoring/staged-play.ts";

/** The deepest back stands at (28, 24): 6.5 to 7.5 yd behind is x from 20.5 to 21.5, and as far wide is y from 16.5 to 17.5. */
function figureOf(referee: Spot, ruleId = "ST-R-PRE", sigmaPx = 0.02) {
  const { moments } = judgeShots(
    shots({ sec: -0.2, phase: "pre-snap", people: { R: referee } }, { sec: 0.6, phase: "keys" }),
    { sigmaPx },
  );
  const { judged } = moments[0]!;
  const finding = judged.findings.find((one) => one.ruleId === ruleId);
  if (!finding) throw new Error(`no finding of ${ruleId}`);
  const { situation } = inPlace;
  return { finding, figure: beforeAndAfter({ finding, placed: judged.placed, layout: flagField, situation }) };
}
const drawn = (referee: Spot) => {
  const { figure } = figureOf(referee);
  if (!figure) throw new Error("nothing was drawn");
  const { shapes, box } = figure.picture;
  const of = <K extends Shape["kind"]>(kind: K) =>
    shapes.flatMap((shape) => (shape.kind === kind ? [shape as Extract<Shape, { kind: K }>] : []));
  return { figure, box, shapes, of };
};
const near = (x: number, y: number) => [expect.closeTo(x, 1), expect.closeTo(y, 1)];

describe("where an official stood and where the book puts them", () => {
  it("points from the one to the nearest place of the other, with the distance and its error", () => {
    const { figure, of } = drawn([24.5, 17]);
    expect(of("arrow").filter(({ ink }) => ink === "step")).toEqual([
      { kind: "arrow", ink: "step", from: near(24.5, 23), to: near(21.5, 23) },
    ]);
    expect(of("cross").map(({ at }) => at)).toEqual([near(24.5, 23)]);
    const [target] = of("path").filter(({ ink }) => ink === "target");
    expect(target!.points.map(([x]) => x).toSorted((a, b) => a - b)).toEqual(
      [20.5, 20.5, 21.5, 21.5].map((x) => expect.closeTo(x, 1)),
    );
    expect(
      of("label")
        .filter(({ ink }) => ink === "step")
        .map(({ text }) => text),
    ).toEqual([expect.stringMatching(/^3\.0 yd \((2\.9|3\.0)–(3\.0|3\.1)\)$/u)]);
    expect(figure.alt).toContain("R stood 9.5 yd behind the line of scrimmage, 17.0 yd inside the near sideline");
    expect(figure.alt).toContain(
      "the book asks for is 12.5 yd behind the line of scrimmage, 17.0 yd inside the near sideline.",
    );
  });

  it("goes across a corner by the length that was measured", () => {
    // 3 yd too far downfield and 4 yd too far inside.
    const { of } = drawn([24.5, 21.5]);
    const [arrow] = of("arrow").filter(({ ink }) => ink === "step");
    expect(Math.hypot(arrow!.to[0] - arrow!.from[0], arrow!.to[1] - arrow!.from[1])).toBeCloseTo(5, 1);
    expect(of("label").find(({ ink }) => ink === "step")!.text).toMatch(/^5\.0 yd/u);
  });

  it("has the whole target and the cross in the picture, and its words clear of the official's letters", () => {
    for (const spot of [
      [24.5, 17],
      [21, 27],
      [15, 17],
      [21, 9],
      [36, 33],
    ] as const) {
      const { box, of, figure } = drawn(spot);
      const points = [
        ...of("path")
          .filter(({ ink }) => ink === "target")
          .flatMap(({ points: corners }) => corners),
        ...of("cross").map(({ at }) => at),
      ];
      for (const [x, y] of points) {
        expect(x).toBeGreaterThan(box.x);
        expect(x).toBeLessThan(box.x + box.width);
        expect(y).toBeGreaterThan(box.y);
        expect(y).toBeLessThan(box.y + box.height);
      }
      const unit = figure.picture.inkUnit;
      const words = of("label").find(({ ink }) => ink === "step")!.at;
      const letters = of("label").find(({ ink }) => ink === "official")!;
      const at = letters.at[1] + (letters.place === "above" ? -15 : 15) * unit;
      const apart = Math.abs(words[1] - at) > 15 * unit || Math.abs(words[0] - letters.at[0]) > 70 * unit;
      expect(apart).toBe(true);
    }
  });

  it("draws no way to go for who stood in the target", () => {
    const { figure, of } = drawn([21, 17]);
    expect(of("arrow")).toEqual([]);
    expect(figure.caption).toContain("R stood in the target.");
    expect(figure.alt).not.toContain("nearest place");
  });

  it("draws players and the one official, and no partner", () => {
    const { of } = drawn([24.5, 17]);
    const texts = of("label")
      .filter(({ ink }) => ink === "official" || ink === "offence" || ink === "defence")
      .map(({ text }) => text);
    expect(texts.filter((text) => text === "O")).toHaveLength(7);
    expect(texts.filter((text) => text !== "O" && text !== "X")).toEqual(["R"]);
  });

  it("is null for a finding that measured no station, and for an official whom nobody marked", () => {
    expect(figureOf([24.5, 17], "ST-R-FACE").figure).toBeNull();
    const { finding } = figureOf([24.5, 17]);
    const { situation } = inPlace;
    expect(beforeAndAfter({ finding, placed: [], layout: flagField, situation })).toBeNull();
    const unmeasured = { ...finding, measure: null };
    expect(beforeAndAfter({ finding: unmeasured, placed: [], layout: flagField, situation })).toBeNull();
  });
});
