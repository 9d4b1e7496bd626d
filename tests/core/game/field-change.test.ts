import { describe, expect, test } from "vitest";
import { asTheTemplate } from "#core/field/field-choices";
import { fieldOf } from "#core/field/template";
import { applyChanges, invert } from "#core/game/changes";
import { planFieldChange } from "#core/game/field-change";
import { type GameRecords, type LineStake, nothingSaid, type Play, type PointStake } from "#core/game/records";

const onPoint = (landmarkId: string, momentId = "m1"): PointStake => ({
  id: `${momentId} ${landmarkId}`,
  gameId: "g",
  momentId,
  kind: "point",
  landmarkId,
  click: { uPx: 1, vPx: 2 },
  raw: null,
  sigmaPx: 1.5,
});
const onLine = (lineId: string): LineStake => ({
  id: `m1 line ${lineId}`,
  gameId: "g",
  momentId: "m1",
  kind: "line",
  lineId,
  clicks: [{ at: { uPx: 1, vPx: 2 }, raw: null }],
  sigmaPx: 1.5,
});
const playWith = (number: number, scrimmageXYards: number, ballYYards: number): Play => ({
  id: `p${number}`,
  gameId: "g",
  filmId: "f",
  number,
  startSec: 10 * number,
  endSec: 10 * number + 9,
  ...nothingSaid,
  situation: { offence: "home", direction: "right", down: 1, scrimmageXYards, lineToGainXYards: null, ballYYards },
});

const records: GameRecords = {
  game: {
    id: "g",
    title: "Herons v Lanterns",
    playedOn: null,
    level: "",
    homeName: "Kiln Street Herons",
    awayName: "Port Ansel Lanterns",
    playersPerSide: 7,
    templateId: "ncaa",
    fieldChoices: asTheTemplate,
    bookId: "flag-crew-of-four",
    lineJudgeSide: "far",
    crew: [],
  },
  films: [],
  plays: [playWith(1, 40, 20), playWith(2, 95, 20), playWith(3, 40, 52)],
  angles: [],
  moments: [],
  stakes: [
    onPoint("near-sideline/L20"),
    onPoint("near-hash/L20"),
    onPoint("far-sideline/L45"),
    onPoint("far-sideline/L45", "m2"),
    onLine("near-hash"),
    onLine("L35"),
  ],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
};
const ids = (stakes: readonly { readonly id: string }[]) => stakes.map(({ id }) => id);

describe("another field under a game", () => {
  test("changes nothing when it is the same one", () => {
    const plan = planFieldChange(records, { templateId: "ncaa", fieldChoices: { ...asTheTemplate } });
    expect([plan.changes, plan.lost, plan.moved]).toEqual([[], [], []]);
  });

  test("with other hash marks keeps every stake, and says which stand elsewhere", () => {
    const field = { templateId: "ncaa", fieldChoices: { ...asTheTemplate, hashSet: "nfhs" as const } };
    const plan = planFieldChange(records, field);
    expect(plan.lost).toEqual([]);
    expect(ids(plan.moved)).toEqual(["m1 near-hash/L20", "m1 line near-hash"]);
    expect(plan.playsOff).toEqual([]);
    const after = applyChanges(records, plan.changes);
    expect(after.game).toEqual({ ...records.game, ...field });
    expect(after.stakes).toEqual(records.stakes);
  });

  test("drops what it has no place for, names it once, and brings it back when it is taken back", () => {
    // 80 × 40 yd with a line each 20: no 45 and no line at the 35, but a row of marks at the 20.
    const plan = planFieldChange(records, { templateId: "flag-100x40", fieldChoices: asTheTemplate });
    expect(ids(plan.lost)).toEqual(["m1 far-sideline/L45", "m2 far-sideline/L45", "m1 line L35"]);
    expect(plan.lostNames).toEqual(["left 35", "far sideline at left 45"]);
    expect(ids(plan.moved)).toEqual(["m1 near-hash/L20", "m1 line near-hash"]);
    const after = applyChanges(records, plan.changes);
    expect(after.stakes).toHaveLength(3);
    const known = new Set(fieldOf(after.game).landmarks.map(({ id }) => id));
    for (const stake of after.stakes) if (stake.kind === "point") expect(known).toContain(stake.landmarkId);
    const back = applyChanges(after, invert(plan.changes));
    expect(back.game).toEqual(records.game);
    expect(ids(back.stakes).toSorted()).toEqual(ids(records.stakes).toSorted());
  });

  test("names the plays whose spots would lie beside it", () => {
    const plan = planFieldChange(records, { templateId: "ifaf-5v5", fieldChoices: asTheTemplate });
    // 70 × 25 yd: the second play's spot is past its end, the third's past its far sideline.
    expect(plan.playsOff).toEqual([2, 3]);
  });
});
