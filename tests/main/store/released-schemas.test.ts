/** Whoever kept games with an earlier program opens them with this one, and nothing is lost. */
import { basename, dirname, join } from "node:path";
import { describe, expect, test } from "vitest";
import { fieldOf } from "#core/field/template";
import { put } from "#core/game/changes";
import { emptyGame, type GameRecords, type Grade } from "#core/game/records";
import { seedDemo } from "../../../src-main/demo/seed-demo.ts";
import { createFilmTools } from "../../../src-main/film/film-tools.ts";
import { createBooks } from "../../../src-main/service/books.ts";
import { createSettings } from "../../../src-main/service/settings.ts";
import { migrations } from "../../../src-main/store/migrations/list.ts";
import type { Version } from "../../../src-main/store/versions.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { packetOf, recordsOf, reread, take } from "../exchange/a-packet.ts";
import { aService } from "../service/a-service.ts";
import { aGrade, aNote } from "./build-game.ts";
import {
  copyReleased,
  type Lists,
  listsOf,
  rawContent,
  releasedContent,
  releasedSchemas,
  statesOf,
  upgraded,
} from "./released-libraries.ts";
import { mustOpen, openTemporary, temporaryFolder } from "./temporary-library.ts";

const newest = migrations.at(-1)?.number ?? 0;
/** Of a library whose families were fewer: the others are there, and empty. */
const noLists: Lists = emptyGame;

/** What of a game travels in a packet, in an order of its own: not where films lie, notes, and how officials are known. */
function travelling(records: GameRecords): Lists {
  const films = records.films.map((film) => ({ ...film, path: "" }));
  const lists: Lists = { ...records, films, notes: [], game: [{ ...records.game, crew: [] }] };
  return Object.fromEntries(
    Object.entries(lists).map(([list, rows]) => [list, rows.toSorted((a, b) => (a.id < b.id ? -1 : 1))]),
  );
}

function expectLists(actual: Lists, expected: Lists): void {
  for (const [list, records] of Object.entries({ ...noLists, ...expected })) {
    expect(
      actual[list]!.map(({ id }) => id),
      list,
    ).toEqual(records.map(({ id }) => id));
    expect(actual[list], list).toMatchObject(records);
  }
}

/** Before versions were kept, what stood at the upgrade is the first of each grade. */
function firstVersions(grades: readonly Grade[]): Version[] {
  return grades
    .toSorted((a, b) => (a.gradedAt < b.gradedAt ? -1 : 1))
    .map(({ id, points, reason, authorId, gradedAt }) => ({
      recordId: id,
      family: "grade",
      act: "given",
      said: points?.toFixed(1) ?? "cannot judge",
      reason,
      authorId,
      at: gradedAt,
    }));
}

describe.each(releasedSchemas())("a library of schema %i", (schema) => {
  const content = releasedContent(schema);
  const open = async () => mustOpen(copyReleased(schema, temporaryFolder()));

  test("is upgraded whole, to the schema of a new library, and its copy is what it was", async () => {
    const path = copyReleased(schema, temporaryFolder());
    const before = rawContent(path);
    expect(before.schema).toBe(schema);
    const library = await mustOpen(path);
    expect(library).toMatchObject({ schemaVersion: newest, isNew: false, readOnly: false });
    expect(library.faults()).toEqual([]);
    const games = library.listGames().map(({ id }) => library.openGame(id));
    library.close();
    const fresh = await openTemporary();
    fresh.close();
    const { parts, rows, ...head } = rawContent(path);
    expect(head).toEqual({ schema: newest, applicationId: before.applicationId });
    expect(parts).toEqual(rawContent(fresh.path).parts);

    const copy = library.copyBeforeUpgrade;
    if (schema === newest) {
      expect(copy).toBeNull();
      expect(rows).toEqual(before.rows);
      return;
    }
    expect(copy).toBe(join(dirname(path), `library (schema ${schema}).crewglass`));
    expect(rawContent(copy ?? "")).toEqual(before);
    // The way back is a way: the copy can be opened in its turn, and gives the same.
    const again = await mustOpen(copy ?? "");
    expect(basename(again.copyBeforeUpgrade ?? "")).toContain(`(schema ${schema}) (schema ${schema})`);
    expect(again.listGames().map(({ id }) => again.openGame(id))).toEqual(games);
  });

  test("has every record as it was, what was set up in it, and what can be taken back and made again", async () => {
    const library = await open();
    expect(library.listGames()).toMatchObject(content.games.map(({ summary }) => summary));
    for (const game of content.games) {
      const opened = library.openGame(game.summary.id);
      expect(opened).toMatchObject({ sequence: game.sequence, history: game.history });
      const lists = listsOf(opened);
      for (const [list, count] of Object.entries(game.counts)) expect(lists[list], list).toHaveLength(count);
      expectLists(lists, upgraded(game.records, game, schema));
      expect(library.versions(game.summary.id)).toEqual(game.versions ?? firstVersions(opened.grades));
      if (game.saidVersions) expect(library.saidVersions(game.summary.id)).toEqual(game.saidVersions);
    }
    for (const [name, value] of Object.entries(content.notes)) expect(library.note(name), name).toBe(value);
    const books = createBooks(library.books).list();
    expect(library.books.list()).toEqual((content.books ?? []).map(({ id, file }) => ({ id, file })));
    for (const { file: _, ...listed } of content.books ?? []) {
      // Sound then, and sound now.
      expect(listed.fault).toBeNull();
      expect(books).toContainEqual(listed);
    }
    if (content.settings) expect(createSettings(library).get()).toMatchObject(content.settings);
    expect(library.packets.list()).toEqual(content.packets ?? []);
    expect(library.packets.conflicts()).toEqual(content.conflicts ?? []);
  });

  test("goes all the way back and all the way forward again as it went then", async () => {
    const library = await open();
    for (const game of content.games) {
      const { id } = game.summary;
      const states = statesOf(game);
      const expectState = (at: number) => {
        const opened = library.openGame(id);
        expect(opened.history).toEqual(states[at]!.history);
        expectLists(listsOf(opened), upgraded(states[at]!.lists, game, schema));
      };
      while (library.openGame(id).history.redo !== null) library.redo(id);
      for (let at = states.length - 1; at > 0; at -= 1) {
        expectState(at);
        library.undo(id);
      }
      for (let at = 0; at < states.length - 1; at += 1) {
        expectState(at);
        library.redo(id);
      }
      expectState(states.length - 1);
    }
    expect(library.faults()).toEqual([]);
  });

  test("takes new edits, and keeps a version of what is said in them", async () => {
    const library = await open();
    for (const { summary } of content.games) {
      const { game, plays, seals, history } = library.openGame(summary.id);
      const play = plays[0]!;
      const note = aNote(play, `${play.id}-note`);
      library.commit(game.id, "Write a note", [put("note", null, note)]);
      expect(library.openGame(game.id).notes).toContainEqual(note);
      // In a finished game nothing is taken back, and only what others say is new.
      expect(library.openGame(game.id).history.undo).toBe(seals.length > 0 ? history.undo : "Write a note");
      const grade = aGrade(play, `${play.id}-grade`, { position: "BJ", authorId: "somebody-else" });
      library.commit(game.id, "Grade", [put("grade", null, grade)]);
      expect(library.saidVersions(game.id).at(-1)).toMatchObject({ act: "given", said: "2.0", record: grade });
    }
    const book = { id: "a-book", file: "text, to the letter\n" };
    library.books.put(book.id, book.file);
    expect(library.books.list()).toContainEqual(book);
    expect(library.faults()).toEqual([]);
  });

  test("says that its films are missing, and finds that of the demo again where the program still has it", async () => {
    const library = await open();
    const { client } = aService(library, { filmTools: createFilmTools() });
    for (const { summary, filmStates } of content.games) {
      const { filmStates: now } = await client.games.open({ gameId: summary.id });
      expect(now).toEqual(filmStates);
      // The one of the packet was never here.
      expect(now.map(({ state }) => state)).toEqual(now.map(() => "missing"));
    }
    const demo = join(projectRoot, "src-main", "demo");
    const [filmPath, clicksPath] = [join(demo, "film.mp4"), join(demo, "clicks.json")];
    const filmTools = createFilmTools();
    await seedDemo({ library, filmTools, filmPath, clicksPath });
    const { fingerprint } = await filmTools.fingerprint(filmPath);
    const { films } = library.openGame("demo-game");
    // The demo of schema 10 was of another film, which is no longer here.
    expect(films[0]!.fingerprint === fingerprint).toBe(schema > 10);
    expect((await client.films.states({ gameId: "demo-game" }))[0]!.state).toBe(schema > 10 ? "present" : "missing");
  });

  test("holds only points and lines that its fields still have, and each of its games goes elsewhere as a packet", async () => {
    const library = await open();
    for (const { summary } of content.games) {
      const { game, stakes } = library.openGame(summary.id);
      const field = fieldOf(game);
      const known = new Set([...field.landmarks, ...field.lines].map(({ id }) => id));
      const staked = stakes.map((stake) => (stake.kind === "point" ? stake.landmarkId : stake.lineId));
      expect(staked.filter((id) => !known.has(id))).toEqual([]);
      const receiver = await openTemporary();
      take(receiver, await reread(packetOf(library, game.id)));
      expect(travelling(recordsOf(receiver, game.id))).toEqual(travelling(recordsOf(library, game.id)));
    }
  });
});
