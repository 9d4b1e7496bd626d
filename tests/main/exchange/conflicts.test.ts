/** What two libraries say otherwise of one thing: both are kept, shown, and settled by a person. */
import BetterSqlite3 from "better-sqlite3";
import { describe, expect, test } from "vitest";
import { stamped } from "#core/exchange/said-versions";
import { put, remove } from "#core/game/changes";
import type { Library } from "../../../src-main/store/library.ts";
import { given, sha256 } from "../../core/exchange/build-packet.ts";
import { aGrade, aRuling, aSeal, aWholeGame } from "../store/build-game.ts";
import { openTemporary } from "../store/temporary-library.ts";
import { dump, packetOf, recordsOf, take } from "./a-packet.ts";

const game = aWholeGame();
const { id } = game.game;
const grade = game.grades[0]!;
const subject = "game-1-play/LJ/station/observer-1";

function say(library: Library, points: number, reason: string, gradedAt: string): void {
  const [before] = recordsOf(library, id).grades;
  library.commit(id, "Grade", [put("grade", before!, { ...before!, points, reason, gradedAt })]);
}

/** Two libraries that begin with the same game. */
async function twoOf(): Promise<readonly [Library, Library]> {
  const one = await openTemporary();
  one.addGame(game);
  const other = await openTemporary();
  take(other, packetOf(one));
  return [one, other];
}

describe("a grade said otherwise on two sides", () => {
  async function inConflict(): Promise<readonly [Library, Library]> {
    const [one, other] = await twoOf();
    say(one, 3, "late", "2026-09-21T08:00:00.000Z");
    say(other, 4, "on time", "2026-09-21T09:00:00.000Z");
    take(one, packetOf(other));
    return [one, other];
  }

  test("is kept twice, the later standing until a person has chosen, and every version is there", async () => {
    const [one] = await inConflict();
    expect(recordsOf(one, id).grades).toMatchObject([{ id: grade.id, points: 4, reason: "on time" }]);
    const [conflict, ...more] = one.packets.conflicts();
    expect(more).toEqual([]);
    expect(conflict).toMatchObject({
      gameId: id,
      family: "grade",
      subject,
      sides: [
        { isStanding: true, said: "4.0", reason: "on time" },
        { isStanding: false, said: "3.0", reason: "late" },
      ],
    });
    expect(JSON.parse(conflict!.sides[1]!.record!)).toMatchObject({ id: grade.id, points: 3, comment: "" });
    const said = one.versions(id).filter(({ family }) => family === "grade");
    expect(said.map((version) => version.said)).toEqual(["2.0", "3.0", "4.0"]);
  });

  test("once settled is one again, with what was chosen as a version by whoever chose", async () => {
    const [one, other] = await inConflict();
    // A conflict travels as it is.
    const third = await openTemporary();
    take(third, packetOf(one));
    const [conflict] = one.packets.conflicts();
    expect(third.packets.conflicts()).toEqual([conflict]);
    one.packets.settle({ ...conflict!, versionId: conflict!.sides[1]!.versionId }, "assigner");
    expect(one.packets.conflicts()).toEqual([]);
    expect(recordsOf(one, id).grades).toMatchObject([{ points: 3, reason: "late", authorId: "observer-1" }]);
    expect(one.versions(id).at(-1)).toMatchObject({ act: "changed", said: "3.0", authorId: "assigner" });
    expect(() => one.packets.settle({ ...conflict!, versionId: conflict!.sides[0]!.versionId }, "assigner")).toThrow(
      /settled/u,
    );

    // The packet that made it does not bring it back, and the choice travels on.
    const settled = dump(one);
    take(one, packetOf(other));
    expect(dump(one)).toBe(settled);
    take(other, packetOf(one));
    take(third, packetOf(one));
    for (const library of [one, other, third]) {
      expect(recordsOf(library, id).grades).toMatchObject([{ points: 3 }]);
      expect(library.packets.conflicts()).toEqual([]);
      library.close();
      const db = new BetterSqlite3(library.path);
      expect(db.prepare("SELECT count(*) FROM conflict").pluck().get()).toBe(0);
      db.close();
    }
  });

  test("settled as it stands is settled all the same", async () => {
    const [one] = await inConflict();
    const [conflict] = one.packets.conflicts();
    one.packets.settle({ ...conflict!, versionId: conflict!.sides[0]!.versionId }, "assigner");
    expect(one.packets.conflicts()).toEqual([]);
    expect(recordsOf(one, id).grades).toMatchObject([{ points: 4 }]);
  });

  test("and taken back on the other can be settled either way", async () => {
    for (const back of [true, false]) {
      const [one, other] = await twoOf();
      say(one, 3, "late", "2026-09-21T08:00:00.000Z");
      other.commit(id, "Back", [remove("grade", grade)]);
      take(one, packetOf(other));
      const [conflict] = one.packets.conflicts();
      const side = conflict!.sides.find(({ act }) => (act === "taken back") === back);
      one.packets.settle({ ...conflict!, versionId: side!.versionId }, "assigner");
      expect(recordsOf(one, id).grades).toHaveLength(back ? 0 : 1);
      expect(one.packets.conflicts()).toEqual([]);
    }
  });

  test("is none any more once it is taken back on both", async () => {
    const [one, other] = await twoOf();
    say(one, 3, "late", "2999-01-01T00:00:00.000Z");
    other.commit(id, "Back", [remove("grade", grade)]);
    take(one, packetOf(other));
    expect(one.packets.conflicts()).toHaveLength(1);
    one.commit(id, "Back", [remove("grade", recordsOf(one, id).grades[0]!)]);
    expect(one.packets.conflicts()).toEqual([]);
  });

  test("goes on while its author says more, who has seen one side alone", async () => {
    const [one] = await inConflict();
    say(one, 2, "on time, but facing away", "2026-09-22T08:00:00.000Z");
    expect(recordsOf(one, id).grades).toMatchObject([{ points: 2 }]);
    expect(one.packets.conflicts()).toMatchObject([{ sides: [{ said: "2.0", isStanding: true }, { said: "3.0" }] }]);
  });
});

test("a correction is a later version and no conflict, on whichever side it was made", async () => {
  const [one, other] = await twoOf();
  const before = packetOf(one);
  say(one, 3, "seen again", "2026-09-21T08:00:00.000Z");
  const { plan } = take(other, packetOf(one));
  expect(plan.counts.find(({ part }) => part === "grades")).toMatchObject({ newerThere: 1, conflicts: 0 });
  expect(recordsOf(other, id).grades).toMatchObject([{ points: 3 }]);
  const late = take(other, before);
  expect(late.plan.counts.find(({ part }) => part === "grades")).toMatchObject({ newerHere: 1, newerThere: 0 });
  expect(recordsOf(other, id).grades).toMatchObject([{ points: 3 }]);
  expect(other.packets.conflicts()).toEqual([]);
});

test("a grade taken back and given anew under another id is the same cell", async () => {
  const [one, other] = await twoOf();
  one.commit(id, "Back", [remove("grade", grade)]);
  one.commit(id, "Anew", [put("grade", null, { ...grade, id: "anew", points: 4 })]);
  take(other, packetOf(one));
  expect(recordsOf(other, id).grades).toMatchObject([{ id: "anew", points: 4 }]);
  expect(other.packets.conflicts()).toEqual([]);
});

describe("an import into a game that is here", () => {
  test("is in no undo stack, and what was edited before it stays as it is", async () => {
    const [one, other] = await twoOf();
    const play = game.plays[0]!;
    one.commit(id, "Ruling", [put("ruling", null, aRuling(play, "theirs", { authorId: "observer-2" }))]);
    other.commit(id, "Rename", [put("game", other.openGame(id).game, { ...other.openGame(id).game, title: "Mine" })]);
    expect(other.openGame(id).history.undo).toBe("Rename");
    const { edited } = take(other, packetOf(one));
    expect(edited).toMatchObject({ sequence: 2, history: { undo: null, redo: null } });
    expect(() => other.undo(id)).toThrow(/nothing to undo/u);
    expect(recordsOf(other, id).rulings.map((one_) => one_.id)).toEqual(["game-1-ruling", "theirs"]);
    other.commit(id, "After", [put("game", other.openGame(id).game, { ...other.openGame(id).game, title: "After" })]);
    other.undo(id);
    expect(other.openGame(id).game.title).toBe("Mine");
    expect(other.openGame(id).history).toEqual({ undo: null, redo: "After" });
  });

  test("comes into a game that another author has finalised, and brings its own seal", async () => {
    const [one, other] = await twoOf();
    const play = game.plays[0]!;
    other.commit(id, "Seal", [put("seal", null, aSeal(id, "observer-1"))]);
    one.commit(id, "Theirs", [put("grade", null, aGrade(play, "theirs", { authorId: "observer-2", reason: "" }))]);
    one.commit(id, "Seal", [put("seal", null, aSeal(id, "observer-2"))]);
    take(other, packetOf(one));
    expect(
      recordsOf(other, id)
        .grades.map((one_) => one_.authorId)
        .toSorted(),
    ).toEqual(["observer-1", "observer-2"]);
    expect(recordsOf(other, id).seals.map((seal) => seal.authorId)).toEqual(["observer-1", "observer-2"]);
    expect(() => other.commit(id, "Back", [remove("grade", recordsOf(other, id).grades[1]!)])).toThrow(/finalised/u);
  });

  test("that fails half way leaves nothing behind", async () => {
    const [one, other] = await twoOf();
    say(one, 3, "late", "2026-09-21T08:00:00.000Z");
    const sent = packetOf(one);
    // A ruling on no play: found only while it is written, after the grade is.
    const lost = aRuling(game.plays[0]!, "lost", { playId: "none" });
    const spoilt = { ...sent, versions: [...sent.versions, ...stamped([given(lost)], sha256)] };
    const before = dump(other);
    expect(() => take(other, spoilt)).toThrow(/without what it belongs to/u);
    expect(dump(other)).toBe(before);
    expect(other.packets.list()).toHaveLength(1);
    expect(other.openGame(id).sequence).toBe(0);
    // And the next goes through as if it had not been.
    take(other, sent);
    expect(recordsOf(other, id).grades).toMatchObject([{ points: 3 }]);
    expect(other.openGame(id).sequence).toBe(1);
  });
});

describe("what was broken down otherwise", () => {
  const play = game.plays[0]!;

  test("stays as it is here where it is this library's own; the other is kept and can be chosen", async () => {
    const [one, other] = await twoOf();
    other.commit(id, "Retime", [put("play", play, { ...play, deadSec: 8 })]);
    take(one, packetOf(other));
    expect(recordsOf(one, id).plays).toMatchObject([{ deadSec: 7.2 }]);
    const [conflict] = one.packets.conflicts();
    expect(conflict).toMatchObject({ gameId: id, family: "play", subject: play.id, sides: [{ isStanding: true }, {}] });
    const edited = one.packets.settle({ ...conflict!, versionId: conflict!.sides[1]!.versionId }, "assigner");
    expect(edited).toMatchObject({ history: { undo: null, redo: null } });
    expect(recordsOf(one, id).plays).toMatchObject([{ deadSec: 8 }]);
    expect(one.packets.conflicts()).toEqual([]);
    take(one, packetOf(other));
    expect(one.packets.conflicts()).toEqual([]);
    // It is this library's own now: no packet replaces it, whatever its hash.
    for (let deadSec = 8.25; deadSec < 12; deadSec += 0.25) {
      const [before] = recordsOf(other, id).plays;
      other.commit(id, "Retime", [put("play", before!, { ...before!, deadSec })]);
      take(one, packetOf(other));
      expect(recordsOf(one, id).plays).toMatchObject([{ deadSec: 8 }]);
    }
    expect(one.packets.conflicts()).toMatchObject([{ sides: { length: 16 } }]);
  });

  test("does not come back from an old packet once it is corrected here", async () => {
    const [one, other] = await twoOf();
    const old = packetOf(one);
    other.commit(id, "Retime", [put("play", play, { ...play, deadSec: 8 })]);
    take(other, old);
    expect(recordsOf(other, id).plays).toMatchObject([{ deadSec: 8 }]);
    expect(other.packets.conflicts()).toEqual([]);
  });

  test("of the game keeps the names of its crew, whichever is chosen", async () => {
    const [one, other] = await twoOf();
    const theirs = other.openGame(id).game;
    other.commit(id, "Rename", [put("game", theirs, { ...theirs, title: "Cup final" })]);
    take(one, packetOf(other, id, { options: { crewNames: false } }));
    const [conflict] = one.packets.conflicts();
    expect(conflict).toMatchObject({ family: "game", sides: [{ isStanding: true }, {}] });
    one.packets.settle({ ...conflict!, versionId: conflict!.sides[1]!.versionId }, "assigner");
    expect(one.openGame(id).game).toMatchObject({
      title: "Cup final",
      crew: [{ position: "R", name: "Tamsin Orrelby" }],
    });
  });

  test("of a film never moves its file, and where it lies is no difference", async () => {
    const [one, other] = await twoOf();
    const film = recordsOf(other, id).films[0]!;
    other.commit(id, "Find", [put("film", film, { ...film, path: "/elsewhere/first.mp4" })]);
    take(other, packetOf(one));
    take(one, packetOf(other));
    expect(recordsOf(other, id).films[0]).toMatchObject({ path: "/elsewhere/first.mp4" });
    expect(recordsOf(one, id).films[0]).toMatchObject({ path: "/films/first-half.mp4" });
    one.commit(id, "Label", [put("film", game.films[0]!, { ...game.films[0]!, label: "Press box" })]);
    take(other, packetOf(one));
    const [conflict] = other.packets.conflicts();
    const [standing, chosen] = conflict!.sides;
    const label = (side: typeof standing) => (JSON.parse(side!.record!) as { label: string }).label;
    other.packets.settle({ ...conflict!, versionId: chosen!.versionId }, "assigner");
    expect(recordsOf(other, id).films[0]).toMatchObject({ path: "/elsewhere/first.mp4", label: label(chosen) });
    expect(label(chosen)).not.toBe(label(standing));
  });
});
