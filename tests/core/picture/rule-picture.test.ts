import { describe, expect, it } from "vitest";
import { layOut, templateById } from "#core/field/template";
import { fieldPoint } from "#core/field/units";
import { ruleLists } from "#core/mechanics/book";
import { exampleScene, formationOn, movedTo, startingSituation } from "#core/mechanics/example-play";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { rulePicture } from "#core/picture/rule-picture";
import type { PicturePoint } from "#core/picture/shape";

const flagField = layOut(templateById("flag-100x40")!);
const tackleField = layOut(templateById("nfhs")!);
const books = shippedBooks();
const flag = books.find(({ id }) => id === "flag-crew-of-four")!;
const doubles = formationOn(flagField, "doubles");
/** A's own 30, going right: the line at x = 40, the ball on the middle, y = 20; deepest back 6 yd behind, 2.5 to the left. */
const scene = exampleScene(flagField, startingSituation, doubles);
const pathsOf = (ruleId: string, ink: string, here = scene) =>
  rulePicture(flag, ruleId, here).shapes.flatMap((shape) =>
    shape.kind === "path" && shape.ink === ink ? [shape.points] : [],
  );
const box = (points: readonly PicturePoint[]) => {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)].map(
    (value) => Math.round(value * 10) / 10,
  );
};

describe("the picture of a rule", () => {
  it("draws the referee's target 7 yd behind and wide of the back, away from the line judge", () => {
    // 34 - 7.5 to 34 - 6.5 along; the back at y = 22.5, outward is down to 15 to 16; y is turned over on the plan.
    expect(pathsOf("ST-R-PRE", "target").map(box)).toEqual([[26.5, 27.5, 24, 25]]);
  });

  it("moves the target with the player it hangs on", () => {
    const players = movedTo(doubles, "back", fieldPoint(32, 20), scene);
    const there = exampleScene(flagField, startingSituation, players);
    expect(there.players.find(({ markId }) => markId === "back")?.at).toEqual(fieldPoint(32, 20));
    expect(pathsOf("ST-R-PRE", "target", there).map(box)).toEqual([[24.5, 25.5, 26.5, 27.5]]);
  });

  it("turns with the play, formation and all", () => {
    const left = exampleScene(flagField, { ...startingSituation, direction: "left", lineJudgeSide: "near" }, doubles);
    expect(pathsOf("ST-R-PRE", "target", left).map(box)).toEqual([[72.5, 73.5, 15, 16]]);
  });

  it("draws a movement as an arrow from where the official stood before the snap", () => {
    const arrows = rulePicture(flag, "ST-LJ-ZONE", scene).shapes.filter(({ kind }) => kind === "arrow");
    // From the sideline, a yard outside it, to 4 yd downfield and half a yard outside, short of the letters there.
    expect(arrows).toMatchObject([{ ink: "step", from: [40, -1] }]);
    const [arrow] = arrows;
    const [x = 0, y = 0] = arrow?.kind === "arrow" ? arrow.to : [];
    expect(Math.hypot(x - 44, y - -0.5)).toBeCloseTo(2, 6);
    expect((y - -1) / (x - 40)).toBeCloseTo(0.5 / 4, 6);
  });

  it("says that a rule does not apply, and which comes before one that does", () => {
    expect(rulePicture(flag, "ST-FJ-PRE-GAIN", scene).caption).toMatch(/does not apply in this situation/u);
    const third = exampleScene(flagField, { ...startingSituation, down: 3, toGoYards: 6 }, doubles);
    expect(rulePicture(flag, "ST-FJ-PRE-GAIN", third).caption).toMatch(/^FJ at 46\.0 yd from the left end line/u);
    expect(rulePicture(flag, "ST-FJ-PRE", third).caption).toMatch(/ST-FJ-PRE-GAIN comes before it/u);
  });

  it("hatches zones that cover the field once: what an earlier rule holds is no later one's", () => {
    const area = flag.zones
      .filter(({ phases }) => phases.includes("zone"))
      .flatMap(({ id }) => pathsOf(id, "zone"))
      .reduce((sum, points) => {
        const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
        return sum + (Math.max(...xs) - Math.min(...xs)) * (Math.max(...ys) - Math.min(...ys));
      }, 0);
    // The field is 100 yd by 40.
    expect(area).toBeCloseTo(4000, 6);
  });

  it("rings the key and draws a line to it, from where the official stands", () => {
    const { shapes, caption } = rulePicture(flag, "KEY-FJ-RECEIVERS", scene);
    expect(caption).toBe("FJ has receiver 3, receiver 2.");
    expect(shapes.filter(({ kind }) => kind === "ring")).toHaveLength(2);
  });

  it("rings who is counted: seven of each side at flag, eleven at tackle", () => {
    expect(rulePicture(flag, "CT-R", scene).caption).toBe("7 of A to count.");
    expect(rulePicture(flag, "CT-BJ", scene).caption).toBe("7 of B to count.");
    const tackle = books.find(({ id }) => id === "tackle-crew-of-five")!;
    for (const formation of ["doubles", "trips"] as const) {
      const there = exampleScene(tackleField, startingSituation, formationOn(tackleField, formation));
      expect(rulePicture(tackle, "CT-R", there).caption).toBe("11 of A to count.");
      expect(rulePicture(tackle, "CT-BJ", there).caption).toBe("11 of B to count.");
    }
  });

  it("has a caption for every rule of every shipped book, wherever the ball lies", () => {
    for (const book of books) {
      const field = book.id.startsWith("flag") ? flagField : tackleField;
      for (const fromOwnGoalYards of [1, 30, 79]) {
        for (const ballAt of ["near-hash", "middle", "far-hash"] as const) {
          const here = exampleScene(
            field,
            { ...startingSituation, fromOwnGoalYards, ballAt },
            formationOn(field, "trips"),
          );
          for (const list of ruleLists)
            for (const { id } of book[list]) {
              const { shapes, caption } = rulePicture(book, id, here);
              expect(caption, `${book.id} ${id}`).not.toBe("");
              expect(JSON.stringify(shapes), `${book.id} ${id}`).not.toMatch(/null|NaN/u);
            }
        }
      }
    }
  });
});
