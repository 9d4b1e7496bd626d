/**
 * "__proto__", "constructor" and "prototype" at every door that takes JSON: OWASP Prototype Pollution Prevention Cheat Sheet
 * (https://cheatsheetseries.owasp.org/cheatsheets/Prototype_Pollution_Prevention_Cheat_Sheet.html), CWE-1321. Packets are in
 * exchange/refusals.test.ts. After each the prototype of all objects is as it was.
 */
import { copyFileSync } from "node:fs";
import { join } from "node:path";
import { MessageChannel } from "node:worker_threads";
import Database from "better-sqlite3";
import { afterEach, expect, test } from "vitest";
import { readVttList } from "#core/cutlist/vtt-list";
import { shippedFiles } from "#core/mechanics/shipped-books";
import { createSettings } from "../../../src-main/service/settings.ts";
import { createService } from "../../../src-main/service/create-service.ts";
import { createPortService } from "../../../src-main/shells/serve-calls.ts";
import { mainPortOver } from "../shells/main-port.ts";
import { aWholeGame } from "../store/build-game.ts";
import { mustOpen, openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { aService } from "./a-service.ts";
import { contentFilmTools } from "./content-film-tools.ts";
import { serviceParts } from "./service-parts.ts";

const before = Object.getOwnPropertyNames(Object.prototype).toSorted();
afterEach(() => {
  expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
  expect(Object.getOwnPropertyNames(Object.prototype).toSorted()).toEqual(before);
});

/** As JSON text: written in a program, the first would set the prototype of the object itself. */
const payloads = [
  `"__proto__":{"polluted":true}`,
  `"constructor":{"prototype":{"polluted":true}}`,
  `"\\u005f_proto__":{"polluted":true}`,
  `"prototype":{"polluted":true}`,
];
/** Such a text put behind every opening brace of another, one at a time. */
const spoilt = (json: string): string[] =>
  payloads.flatMap((payload) =>
    [...json.matchAll(/\{/gu)].map(({ index }) => {
      const rest = json.slice(index + 1);
      return `${json.slice(0, index + 1)}${payload}${rest.startsWith("}") ? "" : ","}${rest}`;
    }),
  );

test("messages of the contract, as bytes on the line", async () => {
  const library = await openTemporary();
  library.addGame(aWholeGame());
  const { parts, logged } = serviceParts(library);
  const router = createService({
    ...parts,
    filmTools: contentFilmTools,
    shell: { pickFilm: null, showFolder: null, homeFolder: "/" },
    reportWriters: () => Promise.reject(new Error("no report is written here")),
  });
  const { game } = library.openGame("game-1");
  const after = { ...game, title: "Changed" };
  const commit = { gameId: "game-1", label: "x", changes: [{ family: "game", id: game.id, before: game, after }] };
  const calls: [string, unknown][] = [
    ["games/commit", commit],
    ["games/open", { gameId: "game-1" }],
    ["library/set", { observerName: "x", season: createSettings(library).get().season }],
  ];
  let sent = 0;
  for (const [path, input] of calls)
    for (const message of spoilt(JSON.stringify({ i: "1", p: { u: `http://orpc/${path}`, b: { json: input } } }))) {
      const { port1, port2 } = new MessageChannel();
      const source = { router: () => router, onReplaced: () => {} };
      createPortService(source, (error) => void logged.push({ message: "line", error }))(mainPortOver(port2));
      const answered = new Promise<string>((settle) => {
        port1.on("message", (data: unknown) =>
          settle(typeof data === "string" ? data : Buffer.from(data as Uint8Array).toString()),
        );
        port1.on("close", () => settle("closed"));
      });
      port1.postMessage(message);
      const said = await answered;
      port1.close();
      expect(said, message).not.toContain("INTERNAL");
      expect(logged, message).toEqual([]);
      sent += 1;
    }
  expect(sent).toBeGreaterThan(50);
  // What came through is what the same message says without it.
  expect(["Changed", game.title]).toContain(library.openGame("game-1").game.title);
  expect(library.openGame("game-1").game).not.toHaveProperty("polluted");
});

test("the text of a book", async () => {
  const { client, logged } = aService(await openTemporary());
  const text = JSON.stringify(shippedFiles[0]);
  // Each payload at each twentieth brace or so.
  const texts = spoilt(text).filter((_, index) => index % 19 === 0);
  expect(texts.length).toBeGreaterThan(50);
  for (const one of texts) {
    const read = await client.books.check({ text: one });
    if (read.ok) expect(JSON.stringify(read.book)).not.toContain("polluted");
    else expect(read.fault.message).not.toBe("");
  }
  expect(logged).toEqual([]);
});

test("the settings' note", async () => {
  const library = await openTemporary();
  const sound = JSON.stringify(createSettings(library).get());
  for (const one of spoilt(sound)) {
    library.setNote("settings", one);
    let said: unknown = "refused";
    try {
      said = createSettings(library).get();
    } catch (error) {
      expect(error).toMatchObject({ code: "LIBRARY_FAILED" });
    }
    expect(JSON.stringify(said)).not.toContain("polluted");
  }
});

test("the JSON of a cue", () => {
  const cue = (json: string) => `WEBVTT\n\n00:01.000 --> 00:09.000\nPlay 1\n${json}\n`;
  for (const one of spoilt(`{"film":"First half","snap_s":3.1,"x":{}}`)) {
    const read = readVttList(cue(one));
    expect(read.ok && read.plays).toMatchObject([{ film: "First half", snapSec: 3.1 }]);
    expect(read.ok && Object.keys(read.plays[0]!)).not.toContain("polluted");
  }
});

test("JSON in the columns of a library that somebody else wrote", async () => {
  const library = await openTemporary();
  library.addGame(aWholeGame());
  const { path } = library;
  library.close();
  const db = new Database(path);
  const tables = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").all() as { name: string }[];
  const cells: { table: string; column: string; json: string }[] = [];
  for (const { name: table } of tables)
    for (const row of db.prepare(`SELECT * FROM "${table}"`).all() as Record<string, unknown>[])
      for (const [column, value] of Object.entries(row))
        if (typeof value === "string" && value.startsWith("{")) cells.push({ table, column, json: value });
  db.close();
  expect(cells.length).toBeGreaterThan(2);
  for (const { table, column, json } of cells)
    for (const one of spoilt(json).filter((_, index) => index % 3 === 0)) {
      const copy = join(temporaryFolder(), "copy.crewglass");
      copyFileSync(path, copy);
      const writing = new Database(copy);
      writing.prepare(`UPDATE "${table}" SET "${column}" = ?`).run(one);
      writing.close();
      const opened = await mustOpen(copy);
      try {
        expect(JSON.stringify(opened.openGame("game-1"))).not.toContain("polluted");
      } catch (error) {
        expect(error, `${table}.${column}`).toMatchObject({ code: "LIBRARY_FAILED" });
      }
      opened.close();
    }
});
