import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import { applyChanges, invert, removePlay } from "#core/game/changes";
import { downRulesOf } from "#core/game/next-situation";
import type { GameRecords } from "#core/game/records";
import { splitPlay } from "#core/game/split-join";
import { noteEdit, noteOn } from "#core/grading/notes";
import {
  proposedSeers,
  rulingEdit,
  rulingFault,
  type RulingSaid,
  rulingWords,
  spotDifference,
  takeRulingBack,
} from "#core/grading/rulings";
import { isAmended, sealEdit } from "#core/grading/seal";
import { gradeEdit, takeGradeBack } from "#core/grading/grades";
import { pointsOf, scaleById, scaleFault, scales, scalesToChoose } from "#core/grading/scales";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { demoGame, demoLayout, demoSurveys } from "../scoring/demo-records.ts";

const play = demoGame.plays.find(({ number }) => number === 2)!;
let made = 0;
const at = (hour: number) => ({
  authorId: "observer-1",
  now: new Date(Date.UTC(2026, 8, 20, hour)),
  newId: () => `id-${++made}`,
});
const said: RulingSaid = {
  playId: play.id,
  kind: "no-call",
  class: "incorrect",
  foul: "Flag guarding",
  position: "LJ",
  seers: ["LJ"],
  momentId: null,
  spotGivenXYards: null,
  comment: "",
};

describe("a ruling", () => {
  it("is kept with author and time, said anew it is the same one, and can be taken back", () => {
    const first = rulingEdit(demoGame, null, said, at(18));
    if (!first.ok) throw new Error(first.sentence);
    const records = applyChanges(demoGame, first.changes);
    const [ruling] = records.rulings;
    expect(ruling).toMatchObject({ ...said, authorId: "observer-1", ruledAt: "2026-09-20T18:00:00.000Z" });
    const again = rulingEdit(records, ruling!, { ...said, class: "marginal" }, at(19));
    const changed = again.ok ? applyChanges(records, again.changes) : records;
    expect(changed.rulings).toMatchObject([{ id: ruling!.id, class: "marginal" }]);
    const back = takeRulingBack(changed, changed.rulings[0]!);
    expect(back.ok && applyChanges(changed, back.changes).rulings).toEqual([]);
    expect(applyChanges(records, invert(first.changes)).rulings).toEqual([]);
  });

  it("asks for a foul, and goes with its play, which is neither cut nor joined under it", () => {
    expect(rulingFault({ ...said, foul: "  " })).toMatch(/which foul/u);
    const edit = rulingEdit(demoGame, null, said, at(18));
    const records = edit.ok ? applyChanges(demoGame, edit.changes) : demoGame;
    expect(applyChanges(records, removePlay(records, play.id)).rulings).toEqual([]);
    const middle = (play.startSec + play.endSec) / 2;
    expect(splitPlay(records, play, middle, () => "x", downRulesOf(demoLayout), demoLayout)).toMatchObject({
      ok: false,
    });
  });

  it.each([
    ["flag", "correct", "correct call"],
    ["no-call", "correct", "correct no-call"],
    ["flag", "incorrect", "incorrect call"],
    ["no-call", "incorrect", "incorrect no-call"],
    ["no-call", "marginal", "marginal no-call"],
    ["flag", "cannot judge", "call, cannot judge"],
  ] as const)("of a %s judged %s is spoken of as “%s”", (kind, judged, words) => {
    expect(rulingWords({ kind, class: judged })).toBe(words);
  });

  it("proposes who should have seen it from the looks: whom the book gave a matter, then who saw one", () => {
    const book = shippedBooks().find(({ id }) => id === demoGame.game.bookId)!;
    // Play 5 is the straight-lined look of the demo film's own script.
    const all = demoGame.plays.map((one) =>
      judgePlayRecords(demoGame, one, { surveysOf: () => demoSurveys, layout: demoLayout, book }),
    );
    const judged = all.find(({ moments }) =>
      moments.some((one) => one.judged.looks?.matters.some((m) => m.isAssigned)),
    )!;
    const moment = judged.moments.find((one) => one.judged.looks?.matters.some((m) => m.isAssigned))!;
    const seers = proposedSeers(judged, moment.moment.id);
    const owners = new Set(
      moment.judged.looks!.matters.flatMap(({ isAssigned, looks }) =>
        isAssigned ? looks.filter(({ isWatcher }) => isWatcher).map(({ position }) => position) : [],
      ),
    );
    expect(new Set(seers.filter(({ isAssigned }) => isAssigned).map(({ position }) => position))).toEqual(owners);
    expect(owners.size).toBeGreaterThan(0);
    for (const { isAssigned, quality } of seers)
      if (!isAssigned) expect(quality).toBeGreaterThanOrEqual(moment.judged.looks!.rule.seenFrom);
    expect(proposedSeers(judged, null)).toEqual([]);
    expect(proposedSeers(undefined, moment.moment.id)).toEqual([]);
  });

  it("holds the spot given to the one measured, ahead or short in the way of the play, with 1.96 standard deviations", () => {
    const measured = { spot: fieldPoint(40, 20), sdAlongX: 0.5, sdAlongY: 0.3, momentId: "m" };
    expect(spotDifference(41, measured, "right")).toEqual({ yards: 1, low: 1 - 0.98, high: 1 + 0.98 });
    expect(spotDifference(41, measured, "left").yards).toBe(-1);
  });
});

describe("a private note", () => {
  it("is one to a play and official, rewritten in place, and gone when nothing is left of it", () => {
    const subject = { playId: play.id, position: "LJ" };
    const first = noteEdit(demoGame, subject, " look at his feet ", at(18));
    const records = first?.ok ? applyChanges(demoGame, first.changes) : demoGame;
    expect(noteOn(records.notes, subject, "observer-1")?.text).toBe("look at his feet");
    expect(noteOn(records.notes, subject, "observer-2")).toBeNull();
    expect(noteEdit(records, subject, "look at his feet", at(19))).toBeNull();
    const gone = noteEdit(records, subject, "", at(19));
    expect(gone?.ok && applyChanges(records, gone.changes).notes).toEqual([]);
    expect(applyChanges(records, removePlay(records, play.id)).notes).toEqual([]);
  });
});

describe("a finalised game", () => {
  const five = scaleById("five-points")!;
  const cell = { playId: null, position: "FJ", criterion: "station" } as const;
  const plain = { reason: "", comment: "", momentIds: [] };
  const graded = () => {
    const edit = gradeEdit(demoGame, cell, five, 3, { points: 3, ...plain }, at(18));
    if (!edit.ok) throw new Error(edit.sentence);
    return applyChanges(demoGame, edit.changes);
  };

  it("is sealed once, and not before anything was said of it", () => {
    expect(sealEdit(demoGame, at(18))).toMatchObject({ ok: false });
    const seal = sealEdit(graded(), at(19));
    const sealed = seal.ok ? applyChanges(graded(), seal.changes) : demoGame;
    expect(sealed.seals).toMatchObject([{ authorId: "observer-1", sealedAt: "2026-09-20T19:00:00.000Z" }]);
    expect(sealEdit(sealed, at(20))).toMatchObject({ ok: false });
  });

  it("takes a grade only with a reason, says that it was amended, and lets none be taken back", () => {
    const before = graded();
    const seal = sealEdit(before, at(19));
    const sealed = seal.ok ? applyChanges(before, seal.changes) : before;
    const refused = gradeEdit(sealed, cell, five, 4, { points: 4, ...plain }, at(20));
    expect(!refused.ok && refused.sentence).toMatch(/finalised: say why it is amended/u);
    const unjudged = gradeEdit(sealed, cell, five, 4, { points: null, ...plain }, at(20));
    expect(unjudged.ok).toBe(false);
    const amended = gradeEdit(sealed, cell, five, 4, { ...plain, points: 4, reason: "seen again" }, at(20));
    const after = amended.ok ? applyChanges(sealed, amended.changes) : sealed;
    const [grade] = after.grades;
    expect(amended.ok && amended.label).toBe("Amend the grade of FJ in station of the game");
    expect(isAmended(after, { authorId: "observer-1", at: grade!.gradedAt })).toBe(true);
    expect(isAmended(sealed, { authorId: "observer-1", at: sealed.grades[0]!.gradedAt })).toBe(false);
    expect(takeGradeBack(after, grade!)).toMatchObject({ ok: false });
  });

  it("says the same of what came before and after the seal when the clock is put back at any step", () => {
    const saying = (records: GameRecords, hour: number, points: number) => {
      const edit = gradeEdit(records, cell, five, 3, { ...plain, points, reason: "as seen" }, at(hour));
      return edit.ok ? applyChanges(records, edit.changes) : records;
    };
    const first = saying(demoGame, 20, 3);
    const second = saying(first, 15, 4);
    const seal = sealEdit(second, at(10));
    const sealed = seal.ok ? applyChanges(second, seal.changes) : second;
    const amended = saying(sealed, 9, 2);
    const isLate = ({ grades: [grade] }: GameRecords) =>
      isAmended(amended, { authorId: "observer-1", at: grade!.gradedAt });
    expect([first, second, amended].map(isLate)).toEqual([false, false, true]);
    expect(amended.grades[0]!.points).toBe(2);
    const about = { playId: play.id, kind: "flag", class: "correct", foul: "holding", comment: "seen again" } as const;
    const ruling = rulingEdit(
      sealed,
      null,
      { ...about, position: null, seers: [], momentId: null, spotGivenXYards: null },
      at(9),
    );
    const ruled = ruling.ok ? applyChanges(sealed, ruling.changes) : sealed;
    const { ruledAt } = ruled.rulings[0]!;
    expect(isAmended(sealed, { authorId: "observer-1", at: ruledAt })).toBe(true);
  });
});

describe("an own scale", () => {
  const tenths = {
    ...scales[0],
    id: "tenths",
    name: "Tenths",
    least: 0,
    most: 1,
    step: 0.1,
    words: [],
    reasonAt: [0, 1],
  };

  it("has the points its ends and step say, without the residue of binary sums", () => {
    expect(pointsOf(tenths)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]);
    expect(scaleFault(tenths)).toBeNull();
    for (const shipped of scales) expect(scaleFault(shipped)).toBeNull();
  });

  it.each([
    [{ name: " " }, /name/u],
    [{ least: 2 }, /above the least/u],
    [{ step: 0 }, /step is above 0/u],
    [{ step: 0.3 }, /does not come to 1/u],
    [{ step: 0.001 }, /at most 201/u],
    [{ step: 0.5 }, /at least four/u],
    [{ most: Number.NaN }, /numbers/u],
  ])("that cannot be graded by says what to do: %o", (part, sentence) => {
    expect(scaleFault({ ...tenths, ...part })).toMatch(sentence);
  });

  it("is found by its id when it has retired, and no longer offered", () => {
    const own = [{ scale: tenths, retired: true }];
    expect(scaleById("tenths", own)).toEqual(tenths);
    expect(scalesToChoose(own)).toEqual(scales);
    expect(scalesToChoose([{ scale: tenths, retired: false }])).toContainEqual(tenths);
  });
});
