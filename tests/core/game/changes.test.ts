import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { asTheTemplate } from "#core/field/field-choices";
import { imagePoint } from "#core/field/units";
import { applyChanges, type Change, inWriteOrder, invert, put, remove, removePlay, squash } from "#core/game/changes";
import { ensureMoment, likelyPhase, placeMark } from "#core/game/edits";
import {
  families,
  type GameRecords,
  type Mark,
  nothingSaid,
  type Play,
  type Situation,
  type Stake,
} from "#core/game/records";

const situation: Situation = {
  offence: "home",
  direction: "right",
  down: 1,
  scrimmageXYards: 34,
  lineToGainXYards: 50,
  ballYYards: 20,
};
const film = {
  id: "f",
  gameId: "g",
  order: 1,
  label: "film",
  path: "/film.mp4",
  sizeBytes: 1,
  fingerprint: "0".repeat(64),
  widthPx: 1280,
  heightPx: 720,
  durationSec: 60,
  codec: "H.264",
  lens: null,
};
const play: Play = {
  id: "p",
  gameId: "g",
  filmId: "f",
  number: 1,
  startSec: 0,
  endSec: 6,
  ...nothingSaid,
  snapSec: 2,
  situation,
};
const empty: GameRecords = {
  game: {
    id: "g",
    title: "Gull Lane v Reed Bank",
    playedOn: null,
    level: "",
    homeName: "Gull Lane",
    awayName: "Reed Bank",
    playersPerSide: 7,
    templateId: "flag-100x40",
    fieldChoices: asTheTemplate,
    bookId: "flag-crew-of-four",
    lineJudgeSide: "far",
    crew: [],
  },
  films: [film],
  plays: [play],
  angles: [],
  moments: [],
  stakes: [],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
};
const mark = (id: string, uPx: number): Mark => ({
  id,
  gameId: "g",
  momentId: "m",
  subject: { kind: "ball" },
  click: imagePoint(uPx, 10),
  sigmaPx: 2,
  facing: null,
});

/** Any run of edits of five marks: each change's `before` is what stood there. */
const runs = fc
  .array(fc.tuple(fc.integer({ min: 0, max: 4 }), fc.option(fc.integer({ min: 0, max: 1000 }), { nil: null })), {
    maxLength: 30,
  })
  .map((steps) => {
    const standing = new Map<string, Mark>();
    const changes: Change[] = [];
    for (const [which, at] of steps) {
      const id = `k${which}`;
      const before = standing.get(id) ?? null;
      if (at !== null) {
        const after = mark(id, at);
        changes.push(put("mark", before, after));
        standing.set(id, after);
      } else if (before) {
        changes.push(remove("mark", before));
        standing.delete(id);
      }
    }
    return changes;
  });

const marksOf = (records: GameRecords) => records.marks.toSorted((a, b) => a.id.localeCompare(b.id));

describe("changes", () => {
  it("an inverted run takes back what the run did", () => {
    fc.assert(
      fc.property(runs, (changes) => {
        const after = applyChanges(empty, changes);
        expect(marksOf(applyChanges(after, invert(changes)))).toEqual(marksOf(empty));
      }),
    );
  });

  it("a squashed run does the same with at most one change a record", () => {
    fc.assert(
      fc.property(runs, (changes) => {
        const squashed = squash(changes);
        expect(new Set(squashed.map((change) => change.id)).size).toBe(squashed.length);
        expect(marksOf(applyChanges(empty, squashed))).toEqual(marksOf(applyChanges(empty, changes)));
      }),
    );
  });

  it("rows are written owner first and removed owner last", () => {
    const all = families.map((family) => ({ family, id: family, before: null, after: {} }) as unknown as Change);
    expect(inWriteOrder(all.toReversed()).map((change) => change.family)).toEqual([...families]);
    const gone = all.map((change) => ({ ...change, before: change.after, after: null }) as unknown as Change);
    expect(inWriteOrder(gone).map((change) => change.family)).toEqual(families.toReversed());
  });
});

describe("a person's edits", () => {
  let next = 0;
  const newId = () => `id${next++}`;
  const here = { film, frameIndex: 54, timeSec: 1.8 };

  it("the first click on a frame makes its moment, and the play too where there is none", () => {
    const { moment, changes } = ensureMoment(empty, here, situation, newId);
    expect(changes.map((change) => change.family)).toEqual(["moment"]);
    expect(moment).toMatchObject({ playId: "p", phase: "pre-snap", frameIndex: 54 });
    const late = ensureMoment(empty, { film, frameIndex: 600, timeSec: 20 }, situation, newId);
    expect(late.changes.map((change) => change.family)).toEqual(["play", "moment"]);
    const again = applyChanges(empty, changes);
    expect(ensureMoment(again, here, situation, newId).changes).toEqual([]);
  });

  it("guesses the phase from the snap", () => {
    expect([1, 2, 3, 4.5, 5.8].map((timeSec) => likelyPhase(play, timeSec))).toEqual([
      "pre-snap",
      "pre-snap",
      "keys",
      "zone",
      "dead-ball",
    ]);
  });

  it("there is one of each official, and as many receivers as are clicked", () => {
    const { moment, changes } = ensureMoment(empty, here, situation, newId);
    let records = applyChanges(empty, changes);
    const click = (subject: Mark["subject"], uPx: number) => {
      records = applyChanges(records, [placeMark(records, moment, subject, imagePoint(uPx, 5), newId).change]);
    };
    click({ kind: "official", position: "FJ" }, 1);
    click({ kind: "official", position: "FJ" }, 2);
    click({ kind: "official", position: "LJ" }, 3);
    click({ kind: "player", side: "A", role: "receiver" }, 4);
    click({ kind: "player", side: "A", role: "receiver" }, 5);
    expect(records.marks.map((one) => one.click.uPx)).toEqual([2, 3, 4, 5]);
  });

  it("removing a play takes its moments, stakes and marks, and undoing it brings all back", () => {
    const { moment, changes } = ensureMoment(empty, here, situation, newId);
    const stake: Stake = {
      id: "s",
      gameId: "g",
      momentId: moment.id,
      kind: "point",
      landmarkId: "x",
      click: imagePoint(1, 1),
      raw: null,
      sigmaPx: 1,
    };
    const full = applyChanges(empty, [
      ...changes,
      put("stake", null, stake),
      put("mark", null, { ...mark("k", 1), momentId: moment.id }),
    ]);
    const removal = removePlay(full, "p");
    const left = applyChanges(full, removal);
    expect([left.plays, left.moments, left.stakes, left.marks]).toEqual([[], [], [], []]);
    expect(applyChanges(left, invert(removal))).toEqual(full);
    expect(removePlay(full, "nobody")).toEqual([]);
  });
});
