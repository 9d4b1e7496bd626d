/** Packets whose parts do not fit each other, though each has its shape. */
import { expect, test } from "vitest";
import type { Packet } from "#core/exchange/packet";
import { packetFault } from "#core/exchange/packet-faults";
import { type KeptVersion, type SaidVersion, stamped, versionId } from "#core/exchange/said-versions";
import { scales } from "#core/grading/scales";
import { aSeal, aWholeGame } from "../../main/store/build-game.ts";
import { aPacket, changed, given, sha256, takenBack } from "./build-packet.ts";

const game = aWholeGame();
const sound = aPacket();
const grade = game.grades[0]!;
const fault = (with_: Partial<Packet>) => packetFault({ ...sound, ...with_ }, sha256);
const head = (with_: Partial<Packet["head"]>): Partial<Packet> => ({ head: { ...sound.head, ...with_ } });

/** A version that follows whatever it is told to, with the id that stands for that. */
function version(kept: KeptVersion, after: readonly string[]): SaidVersion {
  return { ...kept, after, id: versionId(kept, after, sha256) };
}

/** The packet of the game with other versions of its grade, and that of its ruling. */
function withVersions(...versions: readonly SaidVersion[]): Partial<Packet> {
  return { versions: [...versions, ...stamped(game.rulings.map(given), sha256)] };
}

test("a sound packet has none, nor one of several versions", () => {
  expect(fault({})).toBe(null);
  const versions = stamped(
    [given({ ...grade, points: 3 }), takenBack(grade, "2026-09-21T08:00:00.000Z"), given(grade)],
    sha256,
  );
  expect(fault(withVersions(...versions))).toBe(null);
});

test("what the manifest names is what is there", () => {
  expect(fault(head({ gameId: "else" }))).toMatch(/game-1 is not the one that the manifest names/u);
  expect(fault(head({ bookId: "else" }))).toMatch(/book .* is not the one/u);
  expect(fault(head({ scaleIds: [] }))).toMatch(/others than the grades/u);
  expect(fault(head({ scaleIds: ["five-points", "x"] }))).toMatch(/others than the grades/u);
});

test("nothing is without its owner", () => {
  const angle = sound.angles[0]!;
  expect(fault({ angles: [{ ...angle, filmId: "none" }] })).toMatch(/angles: .* without its film/u);
  expect(fault({ angles: [{ ...angle, playId: "none" }] })).toMatch(/angles: .* without its play/u);
  const moment = sound.moments[0]!;
  expect(fault({ moments: [{ ...moment, filmId: "none" }] })).toMatch(/moments: .* without its film/u);
  expect(fault({ moments: [{ ...moment, playId: "none" }] })).toMatch(/moments: .* without its play/u);
  for (const list of ["stakes", "carries", "marks"] as const)
    expect(fault({ [list]: sound[list].map((one) => ({ ...one, momentId: "none" })) })).toMatch(/without its moment/u);
  expect(fault({ rulings: [{ ...sound.rulings[0]!, playId: "none" }] })).toMatch(/rulings: .* without its play/u);
  expect(fault({ moments: [] })).toMatch(/without its moment/u);
});

test("an author has one seal", () => {
  expect(fault({ seals: [aSeal("game-1"), { ...aSeal("game-1"), id: "second" }] })).toMatch(/observer-1 has two/u);
  expect(fault({ seals: [aSeal("game-1"), aSeal("game-1", "observer-2")] })).toBe(null);
});

test("scales are the sender's own, and used", () => {
  expect(fault({ scales: [scales[0]] })).toMatch(/five-points is a scale that comes with the program/u);
  expect(fault({ scales: [{ ...scales[0], id: "own" }] })).toMatch(/no grade is of own/u);
});

test("versions say what their ids stand for, and follow versions of the same", () => {
  const [first] = stamped([given(grade)], sha256) as [SaidVersion];
  expect(fault(withVersions({ ...first, reason: "else" }))).toMatch(/something else than its id/u);
  const next = changed({ ...grade, points: 3 });
  const early = version(next, [first.id]);
  expect(fault(withVersions(early, first))).toMatch(/comes before a version it follows/u);
  expect(fault(withVersions(first, version(next, [first.id, first.id])))).toMatch(/follows one version twice/u);
  const cell = given({ ...grade, id: "other", criterion: "look" });
  expect(fault(withVersions(first, version(cell, [first.id])))).toMatch(/follows a version of something else/u);
  expect(fault(withVersions(first, version({ ...next, subject: "x/y" }, [])))).toMatch(/holds another record/u);
  expect(fault(withVersions(first, version({ ...next, recordId: "x" }, [])))).toMatch(/holds another record/u);
  const back = { ...takenBack(grade, "2026-09-21T08:00:00.000Z"), record: grade } as KeptVersion;
  expect(fault(withVersions(first, version(back, [first.id])))).toMatch(/taken back and there/u);
});

test("what stands by the versions is what the grades and rulings say, all of it", () => {
  expect(fault({ grades: [] })).toMatch(/grades: some that the versions say are missing/u);
  expect(fault({ grades: [{ ...grade, comment: "else" }] })).toMatch(/game-1-grade is not what its versions say/u);
  expect(fault({ versions: stamped([given(grade)], sha256) })).toMatch(/rulings: .* is not what its versions say/u);
  const versions = stamped([given(grade), takenBack(grade, "2026-09-21T08:00:00.000Z")], sha256);
  expect(fault(withVersions(...versions))).toMatch(/is not what its versions say/u);
});

test("what was left out is not there, and a book is the one that its file says", () => {
  const options = sound.head.options;
  expect(fault(head({ options: { ...options, measurements: false } }))).toMatch(/stakes: .* left out/u);
  expect(fault(head({ options: { ...options, crewNames: false } }))).toMatch(/names of the crew: .* left out/u);
  expect(fault({ books: [{ id: "b", file: `{"id":"c"}` }] })).toMatch(/b is not the book/u);
  expect(fault({ books: [{ id: "b", file: "no JSON" }] })).toMatch(/b is not the book/u);
  expect(fault({ books: [{ id: "b", file: `{"id":"b"}` }] })).toBe(null);
});
