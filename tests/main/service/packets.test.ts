/** Packets as the window asks for them. */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { put } from "#core/game/changes";
import type { Library } from "../../../src-main/store/library.ts";
import { aGrade, aNote, aWholeGame } from "../store/build-game.ts";
import { openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { everything } from "../../core/exchange/build-packet.ts";
import { repacked } from "../exchange/repack.ts";
import { aService, answerTo } from "./a-service.ts";

const game = aWholeGame();
const gameId = game.game.id;

async function aSender() {
  const library = await openTemporary();
  library.addGame(game);
  const { client } = aService(library);
  await client.library.set({ observerName: "Wendeline Askew" });
  return { library, client };
}

async function sent(sender: Awaited<ReturnType<typeof aSender>>, options = everything): Promise<string> {
  const { folder, files } = await sender.client.packets.write({ gameId, folder: temporaryFolder(), options });
  return join(folder, files[0]!);
}

const conflicting = (library: Library, points: number) => {
  const [before] = library.openGame(gameId).grades;
  library.commit(gameId, "Grade", [
    put("grade", before!, { ...before!, points, gradedAt: `2026-09-22T0${points}:00:00.000Z` }),
  ]);
};

test("a packet is told of before it leaves, written whole into a folder of its own, and can be shown there", async () => {
  const sender = await aSender();
  const before = await sender.client.packets.preview({ gameId, options: { ...everything, crewNames: false } });
  expect(before.holds).toEqual(expect.arrayContaining(["Your name: Wendeline Askew.", "No private notes."]));
  const folder = temporaryFolder();
  const written = await sender.client.packets.write({ gameId, folder, options: everything });
  expect(written.folder).toBe(join(folder, "Herons v Lanterns 2026-09-19"));
  expect(written.files).toEqual(["Herons v Lanterns 2026-09-19.crewpacket"]);
  expect(readdirSync(folder)).toEqual(["Herons v Lanterns 2026-09-19"]);
  // A folder shows its packets where they are asked for, and films otherwise.
  writeFileSync(join(written.folder, "film.mp4"), "");
  const listed = await sender.client.files.browse({ folder: written.folder, of: "packet" });
  expect(listed.entries).toMatchObject([{ kind: "packet", name: written.files[0] }]);
  expect((await sender.client.files.browse({ folder: written.folder })).entries).toMatchObject([{ name: "film.mp4" }]);
  const { sizeBytes } = await sender.client.packets.preview({ gameId, options: everything });
  // The time it was made is another, and may pack by a few bytes more or less.
  expect(Math.abs(readFileSync(join(written.folder, written.files[0]!)).length - sizeBytes)).toBeLessThan(20);
  expect(await answerTo(sender.client.exports.show({ exportId: written.exportId }))).toMatchObject({
    code: "NOT_HERE",
  });
  expect(await answerTo(sender.client.packets.preview({ gameId: "none", options: everything }))).toMatchObject({
    code: "NOT_FOUND",
  });
});

test("a game that no library would take in is not sent", async () => {
  const sender = await aSender();
  const odd = aGrade(game.plays[0]!, "odd", { criterion: "look", points: 99 });
  sender.library.commit(gameId, "Grade", [put("grade", null, odd)]);
  const folder = temporaryFolder();
  expect(await answerTo(sender.client.packets.write({ gameId, folder, options: everything }))).toMatchObject({
    code: "INVALID",
    message: expect.stringMatching(/odd is no point of its scale/u),
  });
  const lost = aGrade(game.plays[0]!, "lost", { criterion: "key", scaleId: "gone" });
  sender.library.commit(gameId, "Grade", [put("grade", null, lost)]);
  expect(await answerTo(sender.client.packets.preview({ gameId, options: everything }))).toMatchObject({
    message: expect.stringMatching(/scale that is not in this library \(gone\)/u),
  });
  expect(readdirSync(folder)).toEqual([]);
});

test("a name that is left off but stands in a comment is told of", async () => {
  const sender = await aSender();
  const told = aGrade(game.plays[0]!, "told", { criterion: "look", comment: "Tamsin Orrelby looked away" });
  sender.library.commit(gameId, "Grade", [put("grade", null, told)]);
  const { holds } = await sender.client.packets.preview({ gameId, options: { ...everything, crewNames: false } });
  expect(holds.at(-1)).toMatch(/“Tamsin Orrelby” is left off, but still stands in 2 texts/u);
});

test("a file is looked at without a trace, then imported, listed, and imported again without one", async () => {
  const path = await sent(await aSender());
  const library = await openTemporary();
  const { client } = aService(library);
  const look = await client.packets.look({ path });
  expect(look).toMatchObject({ title: "Herons v Lanterns", observerName: "Wendeline Askew", isNewGame: true });
  expect(look.would[0]).toBe("The game “Herons v Lanterns” is added whole.");
  expect(await client.games.list()).toEqual([]);
  const done = await client.packets.import({ path });
  expect(done).toMatchObject({
    packetId: look.packetId,
    gameId,
    isNewGame: true,
    did: look.would,
    counts: look.counts,
  });
  const opened = await client.games.open({ gameId });
  expect(opened).toMatchObject({ notes: [], filmStates: [{ state: "missing" }, { state: "missing" }] });
  expect(await client.packets.list()).toMatchObject([{ packetId: look.packetId, observerId: look.observerId }]);
  expect((await client.packets.look({ path })).would).toEqual([
    "All of it is in this library already: nothing would change.",
  ]);
  await client.packets.import({ path });
  expect(await client.packets.list()).toHaveLength(1);
});

test("whoever has the game open sees what an import brings; a conflict is listed, and settled for them too", async () => {
  const sender = await aSender();
  const library = await openTemporary();
  const { client } = aService(library);
  await client.packets.import({ path: await sent(sender) });
  conflicting(sender.library, 3);
  conflicting(library, 4);
  const stop = new AbortController();
  const edits = (await client.games.watch({ gameId }, { signal: stop.signal }))[Symbol.asyncIterator]();
  const other = aGrade(game.plays[0]!, "other", { criterion: "look" });
  sender.library.commit(gameId, "Grade", [put("grade", null, other)]);
  const { did } = await client.packets.import({ path: await sent(sender) });
  expect(did.join(" ")).toMatch(/both are kept and shown until you choose: 1 grade/u);
  expect((await edits.next()).value).toMatchObject({ changes: [put("grade", null, other)] });
  const [conflict] = await client.packets.conflicts();
  expect(conflict).toMatchObject({ family: "grade", sides: [{ said: "4.0", isStanding: true }, { said: "3.0" }] });
  const { family, subject, sides } = conflict!;
  const choice = { gameId, family, subject, versionId: sides[1]!.versionId };
  expect(await client.packets.settle(choice)).toEqual({ conflicts: [] });
  expect((await edits.next()).value).toMatchObject({ changes: [{ after: { points: 3 } }] });
  expect(await answerTo(client.packets.settle(choice))).toMatchObject({ code: "NOT_FOUND" });
  expect((await client.games.versions({ gameId })).at(-1)).toMatchObject({ authorId: library.note("observer-id") });
  stop.abort();
});

test("notes of the library that takes a packet in stay where they are", async () => {
  const sender = await aSender();
  const library = await openTemporary();
  library.addGame({ ...game, notes: [aNote(game.plays[0]!, "mine")] });
  const { client } = aService(library);
  conflicting(sender.library, 3);
  await client.packets.import({ path: await sent(sender) });
  expect(library.openGame(gameId).notes.map(({ id }) => id)).toEqual(["mine"]);
});

test("what cannot be imported is refused with what to do, and nothing is changed", async () => {
  const path = await sent(await aSender());
  const library = await openTemporary();
  const { client, logged } = aService(library);
  const folder = temporaryFolder();
  const newer = join(folder, "newer");
  writeFileSync(
    newer,
    repacked(
      readFileSync(path),
      () => {},
      (manifest) => (manifest["formatVersion"] = 9),
    ),
  );
  const cut = join(folder, "cut");
  writeFileSync(cut, readFileSync(path).subarray(0, 900));
  const stop = new AbortController();
  stop.abort();
  for (const ask of [client.packets.look, client.packets.import]) {
    expect(await answerTo(ask({ path: newer }))).toMatchObject({
      code: "INVALID",
      message: expect.stringMatching(/newer.*format 9/u),
    });
    expect(await answerTo(ask({ path: cut }))).toMatchObject({
      code: "INVALID",
      message: expect.stringMatching(/damaged.*again/u),
    });
    expect(await answerTo(ask({ path: join(folder, "none") }))).toMatchObject({ code: "FILE_MISSING" });
    await expect(ask({ path }, { signal: stop.signal })).rejects.toThrow();
  }
  expect(await client.games.list()).toEqual([]);
  expect(await client.packets.list()).toEqual([]);
  expect(logged.filter(({ error }) => !(error instanceof DOMException))).toEqual([]);
});
