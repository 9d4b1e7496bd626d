/** A packet out of one library, into an empty one, and back. */
import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { expect, test } from "vitest";
import { put, remove } from "#core/game/changes";
import { scales } from "#core/grading/scales";
import { packetBytes, writePacket } from "../../../src-main/exchange/packet-file.ts";
import { readPacket } from "../../../src-main/exchange/read-packet.ts";
import { createSettings } from "../../../src-main/service/settings.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { aGame, aGrade, aRuling, aSeal, aWholeGame } from "../store/build-game.ts";
import { openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { dump, packetOf, recordsOf, reread, take } from "./a-packet.ts";

const game = aWholeGame();
const secret = "ask about the crew's signal";

async function aSender(): Promise<Library> {
  const library = await openTemporary();
  library.addGame(game);
  const [grade] = game.grades;
  const changed = { ...grade!, points: 3, suggested: 0.1 + 0.2, reason: "seen again – später", momentIds: ["m-1"] };
  library.commit(game.game.id, "Grade", [put("grade", grade!, changed)]);
  library.commit(game.game.id, "Back", [remove("grade", changed)]);
  library.commit(game.game.id, "Anew", [put("grade", null, { ...changed, id: "anew" })]);
  library.commit(game.game.id, "Not seen", [
    put("grade", null, aGrade(game.plays[0]!, "blind", { criterion: "look", points: null, suggested: null })),
  ]);
  library.commit(game.game.id, "Seal", [put("seal", null, aSeal(game.game.id))]);
  return library;
}

test("a game comes out of an empty library as it went in, but for notes, paths and history, and back again changes nothing", async () => {
  const sender = await aSender();
  const packet = packetOf(sender);
  const receiver = await openTemporary();
  expect(take(receiver, await reread(packet)).plan.isNewGame).toBe(true);

  const sent = recordsOf(sender, game.game.id);
  const come = recordsOf(receiver, game.game.id);
  const crew = [{ position: "R", name: "Tamsin Orrelby", personId: expect.stringMatching(/^[0-9a-f]{32}$/u) }];
  expect(come).toEqual({
    ...sent,
    game: { ...sent.game, crew },
    films: sent.films.map((film) => ({ ...film, path: "" })),
    stakes: expect.arrayContaining([...sent.stakes]),
    grades: expect.arrayContaining([...sent.grades]),
    notes: [],
  });
  expect(come.stakes).toHaveLength(sent.stakes.length);
  expect(receiver.saidVersions(game.game.id)).toHaveLength(sender.saidVersions(game.game.id).length);
  expect(receiver.versions(game.game.id).map(({ act }) => act)).toEqual(
    expect.arrayContaining(["given", "changed", "taken back"]),
  );
  expect(receiver.openGame(game.game.id)).toMatchObject({ sequence: 0, history: { undo: null, redo: null } });

  // The same content has the same bytes wherever it lies.
  const options = { observerName: "Wendeline Askew" };
  const head = packet.head;
  const back = { ...packetOf(receiver, game.game.id, options), head };
  expect(Buffer.from(packetBytes(back)).equals(packetBytes(packet))).toBe(true);

  const before = dump(sender);
  expect(take(sender, await reread(back)).edited).toBe(null);
  expect(dump(sender)).toBe(before);
});

test("the same packet a second time changes nothing, and adds no edit and no line to the list", async () => {
  const packet = await reread(packetOf(await aSender()));
  const receiver = await openTemporary();
  take(receiver, packet);
  const before = dump(receiver);
  const list = receiver.packets.list();
  expect(list).toMatchObject([{ gameId: game.game.id, title: "Herons v Lanterns", observerName: "Wendeline Askew" }]);
  const again = take(receiver, packet);
  expect(again.edited).toBe(null);
  expect(again.plan.counts.filter((one) => one.new + one.newerThere + one.newerHere + one.conflicts > 0)).toEqual([]);
  expect(dump(receiver)).toBe(before);
  expect(receiver.packets.list()).toEqual(list);
  // Removed and imported again, it is there again.
  receiver.removeGame(game.game.id);
  take(receiver, packet);
  expect(dump(receiver)).toBe(before);
});

test("private notes, paths of films and the history of edits are nowhere in the bytes", async () => {
  const sender = await aSender();
  sender.commit(game.game.id, "A label of the history", [
    put("film", game.films[0]!, { ...game.films[0]!, path: "/films/secret-place.mp4" }),
  ]);
  const bytes = packetBytes(packetOf(sender));
  const inside = unzipSync(bytes);
  const all = Buffer.concat([bytes, ...Object.values(inside)]).toString("utf8");
  expect(all).toContain("seen again – später");
  for (const hidden of [secret, "/films/", "first-half.mp4", "secret-place", "A label of the history", "path"])
    expect(all, hidden).not.toContain(hidden);
  expect(Object.keys(inside)[0]).toBe("manifest.json");
});

test("names are withheld where they were to be: the crew goes by an id that is the same in each packet and says nothing", async () => {
  const sender = await aSender();
  sender.addGame({
    ...aWholeGame("game-2"),
    game: aGame("game-2", { crew: [{ position: "U", name: " tamsin  Orrelby" }] }),
  });
  const options = { observerName: false, crewNames: false };
  const packets = ["game-1", "game-2"].map((id) => packetOf(sender, id, { options }));
  for (const packet of packets) {
    const bytes = packetBytes(packet);
    const all = Buffer.concat([bytes, ...Object.values(unzipSync(bytes))]).toString("utf8");
    expect(all).not.toMatch(/orrelby|askew/iu);
    expect(packet.head.madeBy.name).toBe(null);
  }
  const ids = packets.map(({ game: { crew } }) => crew[0]?.personId);
  expect(ids[0]).toMatch(/^[0-9a-f]{32}$/u);
  expect(ids[1]).toBe(ids[0]);
  // Another library gives another id to the same name, so that nobody reads names out of ids.
  const other = await aSender();
  expect(packetOf(other).game.crew[0]?.personId).not.toBe(ids[0]);

  // The names come later and are filled in; they do not go again.
  const receiver = await openTemporary();
  take(receiver, await reread(packets[0]!));
  expect(receiver.openGame("game-1").game.crew).toEqual([{ position: "R", name: "", personId: ids[0] }]);
  take(receiver, await reread(packetOf(sender)));
  take(receiver, await reread(packets[0]!));
  expect(receiver.openGame("game-1").game.crew).toEqual([{ position: "R", name: "Tamsin Orrelby", personId: ids[0] }]);
  expect(receiver.packets.conflicts()).toEqual([]);
});

test("without measurements no stake, mark or carried survey goes along, and with them again they come", async () => {
  const sender = await aSender();
  const bare = packetOf(sender, "game-1", { options: { measurements: false } });
  expect([bare.stakes, bare.marks, bare.carries]).toEqual([[], [], []]);
  const receiver = await openTemporary();
  take(receiver, await reread(bare));
  take(receiver, await reread(packetOf(sender, "game-1", { options: { carries: false } })));
  const come = recordsOf(receiver, "game-1");
  expect([come.stakes.length, come.marks.length, come.carries.length]).toEqual([5, 3, 0]);
});

test("a scale and a book of the sender's own come along whole: the scale retired, the book under its id", async () => {
  const sender = await openTemporary();
  const scale = { ...scales[0], id: "own-scale", name: "Our own" };
  createSettings(sender).set({ scales: [{ scale, retired: false }] });
  const base = `{"format":"crewglass-mechanics","id":"our-base","extends":"flag-crew-of-four"}`;
  const book = `{"id":"our-book","extends":"our-base"}`;
  sender.books.put("our-base", base);
  sender.books.put("our-book", book);
  sender.addGame({
    ...game,
    game: { ...game.game, bookId: "our-book" },
    grades: [aGrade(game.plays[0]!, "g", { scaleId: "own-scale" })],
  });
  const receiver = await openTemporary();
  take(receiver, await reread(packetOf(sender)));
  expect(createSettings(receiver).get().scales).toEqual([{ scale, retired: true }]);
  expect(receiver.books.list()).toEqual([
    { id: "our-base", file: base },
    { id: "our-book", file: book },
  ]);
  // An id that is taken by another text: that of this library stays, and both are shown.
  const other = await openTemporary();
  other.books.put("our-book", `{"id":"our-book","name":"another"}`);
  take(other, await reread(packetOf(sender)));
  expect(other.books.get("our-book")).toContain("another");
  const [conflict] = other.packets.conflicts();
  expect(conflict).toMatchObject({ gameId: null, family: "book", subject: "our-book" });
  other.packets.settle({ ...conflict!, versionId: conflict!.sides[1]!.versionId }, "observer-9");
  expect(other.books.get("our-book")).toBe(book);
  expect(other.packets.conflicts()).toEqual([]);
  take(other, await reread(packetOf(sender)));
  expect(other.packets.conflicts()).toEqual([]);
  // A scale that means something else under the same id is refused before anything is written.
  const clash = await openTemporary();
  createSettings(clash).set({ scales: [{ scale: { ...scale, best: "least" }, retired: false }] });
  const packet = await reread(packetOf(sender));
  expect(() => take(clash, packet)).toThrow(/“Our own”.*same id.*Nothing was imported/u);
  expect(clash.listGames()).toEqual([]);
});

test("a packet is a file of its own, there only when it is whole", async () => {
  const folder = temporaryFolder();
  const packet = packetOf(await aSender());
  const path = join(folder, "evaluation.crewpacket");
  await writePacket(path, packet);
  expect(readdirSync(folder)).toEqual(["evaluation.crewpacket"]);
  expect(readFileSync(path).equals(packetBytes(packet))).toBe(true);
  const shares: number[] = [];
  const read = await readPacket(path, { onProgress: (share) => shares.push(share) });
  expect(read).toMatchObject({ ok: true, packet: JSON.parse(JSON.stringify(packet)) as object });
  expect(shares.at(-1)).toBe(1);
  await expect(writePacket(join(folder, "none", "x.crewpacket"), packet)).rejects.toMatchObject({ code: "ENOENT" });
  // A name that is taken by a folder: nothing is left beside it.
  mkdirSync(join(folder, "taken", "inside"), { recursive: true });
  await expect(writePacket(join(folder, "taken"), packet)).rejects.toThrow();
  expect(readdirSync(folder)).toEqual(["evaluation.crewpacket", "taken"]);
  const stop = new AbortController();
  stop.abort();
  await expect(readPacket(path, { signal: stop.signal })).rejects.toMatchObject({ name: "AbortError" });
});

test("ids that belong to another game here are refused, and nothing is written", async () => {
  const sender = await aSender();
  const receiver = await openTemporary();
  const taken = aWholeGame("game-9");
  receiver.addGame({ ...taken, rulings: [aRuling(taken.plays[0]!, "game-1-ruling")] });
  const before = dump(receiver);
  const packet = await reread(packetOf(sender));
  expect(() => take(receiver, packet)).toThrow(/ids that belong to something else.*Nothing was imported/u);
  expect(dump(receiver)).toBe(before);
  expect(receiver.packets.list()).toEqual([]);
  // Nor is the id of a grade here given to another cell.
  const other = await openTemporary();
  other.addGame({ ...game, grades: [{ ...game.grades[0]!, id: "anew", criterion: "count" }] });
  expect(() => take(other, packet)).toThrow(/ids that belong to something else/u);
});
