import fc from "fast-check";
import { expect, test } from "vitest";
import { type PlayFrame, fromPlay, toPlay } from "#core/field/frames";
import { fieldPoint } from "#core/field/units";

const yards = fc.double({ min: -200, max: 200, noNaN: true });
const frame = fc.record({
  ball: fc.tuple(yards, yards).map(([x, y]) => fieldPoint(x, y)),
  direction: fc.constantFrom("right" as const, "left" as const),
});

test("an offence going right has downfield along x and its left across the field, away from the near side", () => {
  const play: PlayFrame = { ball: fieldPoint(40, 20), direction: "right" };
  expect(toPlay(play, fieldPoint(50, 25))).toEqual({ downfieldYards: 10, lateralYards: 5 });
});

test("going left, the near side is on its left", () => {
  const play: PlayFrame = { ball: fieldPoint(40, 20), direction: "left" };
  expect(toPlay(play, fieldPoint(30, 15))).toEqual({ downfieldYards: 10, lateralYards: 5 });
});

test("there and back", () => {
  fc.assert(
    fc.property(frame, yards, yards, (play, x, y) => {
      const back = fromPlay(play, toPlay(play, fieldPoint(x, y)));
      expect(back.xYards).toBeCloseTo(x, 9);
      expect(back.yYards).toBeCloseTo(y, 9);
    }),
    { seed: 1 },
  );
});

test("never a mirror: a left turn on the field is a left turn in the play, either way", () => {
  fc.assert(
    fc.property(frame, fc.tuple(yards, yards), fc.tuple(yards, yards), fc.tuple(yards, yards), (play, a, b, c) => {
      const turn = (p: readonly number[], q: readonly number[], r: readonly number[]) =>
        (q[0]! - p[0]!) * (r[1]! - p[1]!) - (q[1]! - p[1]!) * (r[0]! - p[0]!);
      const moved = [a, b, c].map(([x, y]) => {
        const { downfieldYards, lateralYards } = toPlay(play, fieldPoint(x, y));
        return [downfieldYards, lateralYards];
      });
      expect(turn(moved[0]!, moved[1]!, moved[2]!)).toBeCloseTo(turn(a, b, c), 6);
    }),
    { seed: 2 },
  );
});
