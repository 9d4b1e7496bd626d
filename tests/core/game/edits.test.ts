import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { asTheTemplate } from "#core/field/field-choices";
import { changeShape } from "#core/contract/shapes";
import { imagePoint } from "#core/field/units";
import { applyChanges, put } from "#core/game/changes";
import { playAt } from "#core/game/angles";
import { ensureMoment, momentAt, newStake, placeMark, planPlay, sameSubject, stakedEnough } from "#core/game/edits";
import {
  type Film,
  type GameRecords,
  type LineStake,
  type Mark,
  type MarkSubject,
  type Moment,
  nothingSaid,
  type Play,
  type PointStake,
  type Situation,
} from "#core/game/records";

const situation: Situation = {
  offence: "away",
  direction: "left",
  down: 3,
  scrimmageXYards: 44,
  lineToGainXYards: 30,
  ballYYards: 13,
};
const filmOf = (id: string, durationSec: number): Film => ({
  id,
  gameId: "g",
  order: 1,
  label: `film ${id}`,
  path: `/${id}.mp4`,
  sizeBytes: 1,
  fingerprint: "0".repeat(64),
  widthPx: 1280,
  heightPx: 720,
  durationSec,
  codec: "H.264",
  lens: null,
});
const playOf = (number: number, filmId: string, startSec: number, endSec: number): Play => ({
  id: `p${number}`,
  gameId: "g",
  filmId,
  number,
  startSec,
  endSec,
  ...nothingSaid,
  situation,
});
const recordsWith = (films: readonly Film[], plays: readonly Play[]): GameRecords => ({
  game: {
    id: "g",
    title: "Kiln Street Herons at Port Ansel Lanterns",
    playedOn: null,
    level: "",
    homeName: "Port Ansel Lanterns",
    awayName: "Kiln Street Herons",
    playersPerSide: 7,
    templateId: "flag-100x40",
    fieldChoices: asTheTemplate,
    bookId: "flag-crew-of-four",
    lineJudgeSide: "near",
    crew: [],
  },
  films,
  plays,
  angles: [],
  moments: [],
  stakes: [],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
});
const ids = () => {
  let next = 0;
  return () => `id${next++}`;
};
const film = filmOf("f", 60);

describe("the play at an instant", () => {
  const records = recordsWith(
    [film, filmOf("other", 60)],
    [playOf(1, "f", 2, 8), playOf(2, "f", 8, 12), playOf(3, "other", 0, 60)],
  );
  it("runs from its start up to, and not including, its end, on its own film", () => {
    const at = (timeSec: number) => playAt(records, "f", timeSec)?.number ?? null;
    expect([1.9, 2, 7.99, 8, 12, 30].map(at)).toEqual([null, 1, 1, 2, null, null]);
    expect(playAt(records, "other", 30)?.number).toBe(3);
  });
});

describe("a new play", () => {
  // Cuts of a film of 60 s: every other stretch between two of them is a play already.
  const instant = fc.integer({ min: 0, max: 6000 }).map((hundredths) => hundredths / 100);
  const cuts = fc.uniqueArray(instant, { maxLength: 12 });

  it("holds the instant it was made for, overlaps no other and stays on the film", () => {
    let made = 0;
    fc.assert(
      fc.property(cuts, instant, (times, timeSec) => {
        const sorted = times.toSorted((a, b) => a - b);
        const plays: Play[] = [];
        for (let i = 0; i + 1 < sorted.length; i += 2) plays.push(playOf(i + 1, "f", sorted[i]!, sorted[i + 1]!));
        const records = recordsWith([film], plays);
        if (playAt(records, "f", timeSec)) return;
        made++;
        const play = planPlay(records, { film, frameIndex: 0, timeSec }, situation, ids());
        expect(play.startSec).toBeLessThanOrEqual(timeSec);
        expect(play.endSec).toBeGreaterThan(timeSec);
        expect(play.startSec).toBeGreaterThanOrEqual(0);
        expect(play.endSec).toBeLessThanOrEqual(60.1);
        for (const other of plays) {
          expect(play.endSec <= other.startSec || play.startSec >= other.endSec).toBe(true);
          expect(play.number).toBeGreaterThan(other.number);
        }
      }),
      { seed: 12, numRuns: 500 },
    );
    expect(made).toBeGreaterThan(150);
  });

  it("leaves other films' plays alone but counts on from their numbers", () => {
    const records = recordsWith([film, filmOf("other", 60)], [playOf(7, "other", 0, 60)]);
    const play = planPlay(records, { film, frameIndex: 0, timeSec: 20 }, situation, ids());
    expect([play.number, play.startSec, play.endSec, play.snapSec]).toEqual([8, 17, 27, null]);
    expect(play.situation).toEqual(situation);
  });
});

describe("the moment of a frame", () => {
  it("is found by film and frame, and made once", () => {
    const empty = recordsWith([film], []);
    const here = { film, frameIndex: 90, timeSec: 3 };
    const { moment, changes } = ensureMoment(empty, here, situation, ids());
    const records = applyChanges(empty, changes);
    expect(momentAt(records, "f", 90)).toEqual(moment);
    expect([momentAt(records, "f", 91), momentAt(records, "other", 90)]).toEqual([null, null]);
    expect(ensureMoment(records, here, situation, ids())).toEqual({ moment, changes: [] });
    expect(moment.playId).toBe(records.plays[0]!.id);
  });
});

const moment: Moment = { id: "m", gameId: "g", playId: "p", filmId: "f", phase: "keys", frameIndex: 9, timeSec: 0.3 };
const subjects: readonly MarkSubject[] = [
  { kind: "official", position: "R" },
  { kind: "official", position: "LJ" },
  { kind: "player", side: "A", role: "snapper" },
  { kind: "player", side: "B", role: "snapper" },
  { kind: "player", side: "A", role: "passer" },
  { kind: "player", side: "A", role: "receiver" },
  { kind: "ball" },
];

describe("marks", () => {
  it("are of the same subject only as themselves", () => {
    for (const [i, a] of subjects.entries()) {
      for (const [j, b] of subjects.entries()) expect(sameSubject(a, structuredClone(b))).toBe(i === j);
    }
  });

  it.each(subjects)("%o: clicked twice moves, and keeps its facing and sigma, unless there may be many", (subject) => {
    const records = recordsWith([film], []);
    const first = placeMark(records, moment, subject, imagePoint(10, 20), ids());
    const turned: Mark = { ...first.mark, facing: imagePoint(1, 2), sigmaPx: 5 };
    const once = applyChanges(records, [first.change, put("mark", first.mark, turned)]);
    const again = placeMark(once, moment, subject, imagePoint(30, 40), () => "second");
    const twice = applyChanges(once, [again.change]);
    const many = subject.kind === "player" && subject.role === "receiver";
    expect(twice.marks).toEqual(
      many
        ? [turned, { ...first.mark, id: "second", click: imagePoint(30, 40) }]
        : [{ ...turned, click: imagePoint(30, 40) }],
    );
    const elsewhere = placeMark(once, { ...moment, id: "m2" }, subject, imagePoint(5, 5), () => "third");
    expect([elsewhere.mark.id, elsewhere.mark.momentId, elsewhere.change.before]).toEqual(["third", "m2", null]);
  });
});

describe("what an edit hands to the write door", () => {
  const edits = () => {
    const records = recordsWith([film], []);
    const newId = ids();
    const made = ensureMoment(records, { film, frameIndex: 90, timeSec: 3 }, situation, newId);
    const stake = newStake(made.moment, "near-hash/L20", { at: imagePoint(640, 360), raw: null }, newId);
    const { change } = placeMark(records, made.moment, subjects[0]!, imagePoint(1, 2), newId);
    return [...made.changes, put("stake", null, stake), change];
  };

  it("has the shape that the door asks for, to the last property", () => {
    for (const change of edits()) expect(changeShape.parse(change)).toEqual(change);
    expect(edits().map((change) => change.family)).toEqual(["play", "moment", "stake", "mark"]);
  });

  it("is refused with its path when a number is not one, or a property is one too many", () => {
    const pathOf = (value: unknown) => changeShape.safeParse(value).error?.issues[0]?.path.join(".") ?? "accepted";
    const stake = edits()[2]!;
    const click = (uPx: number) => ({ ...stake, after: { ...stake.after, click: { uPx, vPx: 1 } } });
    expect([Number.NaN, Infinity, -Infinity, 20_001].map((uPx) => pathOf(click(uPx)))).toEqual(
      Array.from({ length: 4 }, () => "after.click.uPx"),
    );
    expect(pathOf(click(640))).toBe("accepted");
    expect(pathOf({ ...stake, after: { ...stake.after, colour: "red" } })).toBe("after");
    expect(pathOf({ ...stake, family: "whistle" })).toBe("family");
    expect(pathOf({ ...stake, id: "../up" })).toBe("id");
  });
});

describe("stakes enough for a survey", () => {
  const point = (momentId: string, id: string) => ({ id, momentId, kind: "point" }) as unknown as PointStake;
  const line = (momentId: string, clicks: number) =>
    ({ id: `${momentId}-l`, momentId, kind: "line", clicks: Array.from({ length: clicks }) }) as unknown as LineStake;
  const points = (momentId: string, count: number) =>
    Array.from({ length: count }, (_, at) => point(momentId, `${momentId}${at}`));

  it("are four points, or as much in lines of which no more than two clicks count", () => {
    expect([...stakedEnough([...points("a", 4), ...points("b", 3), line("b", 1)])]).toEqual(["a"]);
    expect([...stakedEnough([...points("b", 3), line("b", 5)])]).toEqual(["b"]);
  });

  it("are half of that once two frames have told where the camera stands", () => {
    expect([...stakedEnough([...points("a", 4), ...points("c", 2)])]).toEqual(["a"]);
    expect([...stakedEnough([...points("a", 4), ...points("b", 4), ...points("c", 2), ...points("d", 1)])]).toEqual([
      "a",
      "b",
      "c",
    ]);
  });
});
