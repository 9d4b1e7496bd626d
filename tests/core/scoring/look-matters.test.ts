import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { Down, PlayerRole, Side } from "#core/game/records";
import { mattersOf, matterWeights } from "#core/scoring/matters";
import { matterName, stepWords } from "#core/scoring/look-words";
import { flagField, inPlace, judge, type StagedPlay } from "./staged-play.ts";

type Person = readonly [id: string, side: Side, role: PlayerRole, x: number, y: number];

/** Who is a matter with whom, and what each weighs. Common practice: opponents close together first; no source. */
function matters(people: readonly Person[], situation: Partial<StagedPlay["situation"]> = {}, within = 2.5) {
  const play: StagedPlay = {
    ...inPlace,
    situation: { ...inPlace.situation, ...situation },
    people: Object.fromEntries(
      people.map(([id, side, role, x, y]) => [id, { subject: { kind: "player", side, role }, at: fieldPoint(x, y) }]),
    ),
  };
  const { placed } = judge(play);
  return mattersOf(placed, { layout: flagField, situation: play.situation }, within);
}
const named = (found: ReturnType<typeof matters>) => found.map(({ id, kind }) => `${kind} ${id}`);

describe("the matters of a moment", () => {
  it("are each of A with the nearest of B within reach, by role, and the ball carriers who are alone", () => {
    const found = matters([
      ["wide", "A", "receiver", 40, 5],
      ["near", "B", "defender", 41, 5],
      ["nearer", "B", "defender", 40, 5.8],
      ["slot", "A", "receiver", 40, 30],
      ["passer", "A", "passer", 28, 20],
      ["rush", "B", "rusher", 29.5, 20],
      ["snapper", "A", "snapper", 34, 20],
      ["nose", "B", "defender", 35, 20],
      ["guard", "A", "blocker", 34, 12],
    ]);
    expect(named(found)).toEqual(["passer passer+rush", "alone slot", "line snapper+nose", "matchup wide+nearer"]);
  });

  it("hold a rusher who is blocked by somebody other than the one he is nearest among A's own pairs", () => {
    const found = matters([
      ["block", "A", "blocker", 32, 20],
      ["one", "B", "rusher", 33, 20],
      ["two", "B", "rusher", 32, 21.4],
      ["back", "A", "back", 28, 20],
    ]);
    expect(named(found)).toEqual(["alone back", "line block+one", "line block+two"]);
  });

  it("weigh most in contact, half of that at the edge of reach, and little when alone", () => {
    const weight = (apart: number) =>
      matters([
        ["a", "A", "receiver", 40, 20],
        ["b", "B", "defender", 40 + apart, 20],
      ])[0]!.weight;
    expect(weight(0.6)).toBeCloseTo(1, 6);
    expect(weight(1)).toBeCloseTo(1, 4);
    expect(weight(1.75)).toBeCloseTo(0.75, 4);
    expect(weight(2.499)).toBeCloseTo(0.5, 2);
    expect(weight(3)).toBe(matterWeights.alone);
    expect(matterWeights.alone).toBeLessThan(matterWeights.apart);
  });

  it("weigh more near B's goal line, and near the line to gain on third and fourth down only, going either way", () => {
    const pair = (x: number): Person[] => [
      ["a", "A", "receiver", x, 20],
      ["b", "B", "defender", x, 20.8],
    ];
    const { rightGoalXYards: right, leftGoalXYards: left } = flagField;
    const at = (x: number, situation: Parameters<typeof matters>[1]) =>
      Number(matters(pair(x), situation)[0]!.weight.toFixed(6));
    const none = { direction: "right", down: 3, lineToGainXYards: null } as const;
    expect([at(right - 6, none), at(right - 4, none), at(right + 3, none)]).toEqual([1, 1.5, 1.5]);
    expect([at(left + 4, none), at(left + 4, { ...none, direction: "left" })]).toEqual([1, 1.5]);
    const short = (down: Down | null, x: number) => at(x, { direction: "right", down, lineToGainXYards: 44 });
    expect([1, 2, 3, 4, null].map((down) => short(down as Down | null, 42))).toEqual([1, 1, 1.5, 1.5, 1]);
    expect([short(3, 50), short(3, 47)]).toEqual([1, 1.5]);
  });

  it("are called by who they are and where, from the line and by the third of the field", () => {
    const found = matters([
      ["a", "A", "receiver", 40, 5],
      ["b", "B", "defender", 41, 5],
      ["c", "A", "passer", 28, 20],
      ["d", "A", "receiver", 34.2, 35],
    ]);
    const scene = { layout: flagField, situation: inPlace.situation };
    expect(found.map((matter) => matterName(matter, scene))).toEqual([
      "the receiver and the defender 7 yd downfield on the near side",
      "the passer, alone, 6 yd behind the line in the middle of the field",
      "the receiver, alone, at the line on the far side",
    ]);
  });
});

describe("a step", () => {
  it("is called by the axis it lies along, or by both", () => {
    const step = (downfieldYards: number, outwardYards: number) =>
      stepWords({
        to: fieldPoint(0, 0),
        yards: Math.hypot(downfieldYards, outwardYards),
        downfieldYards,
        outwardYards,
        quality: 1,
      });
    expect(step(0, 2)).toBe("a step of 2 yd toward the sideline");
    expect(step(-1.5, 0.2)).toBe("a step of 1.5 yd upfield");
    expect(step(Math.SQRT2, -Math.SQRT2)).toBe("a step of 2 yd downfield and toward the middle");
  });
});
