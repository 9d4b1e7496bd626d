import { describe, expect, it } from "vitest";
import { bookText } from "#core/mechanics/book-text";
import { shippedFiles } from "#core/mechanics/shipped-books";
import { aWholeGame } from "../store/build-game.ts";
import { mustOpen, openTemporary } from "../store/temporary-library.ts";
import { answerTo, aService } from "./a-service.ts";

const flag = "flag-crew-of-four";
type File = { id: string; name: string; extends?: string; grading: { graceYards: number } };
const read = (text: string) => JSON.parse(text) as File;

describe("the books of a library", () => {
  it("are the shipped ones first, all sound", async () => {
    const { client } = aService(await openTemporary());
    const listed = await client.books.list();
    expect(listed.map(({ id, origin, fault }) => [id, origin, fault])).toEqual(
      shippedFiles.map(({ id }) => [id, "shipped", null]),
    );
    expect(listed.find(({ id }) => id === "tackle-crew-of-five")?.extends).toBe("tackle-crew-of-four");
  });

  it("hold a copy that says the same under another id, is edited, kept to the letter, and still there at the next start", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const { bookId } = await client.books.copy({ bookId: flag });
    expect(bookId).toBe(`${flag}-copy`);
    const { id: _, name: __, ...copied } = await client.books.open({ bookId });
    const { id: ___, name: ____, ...shipped } = await client.books.open({ bookId: flag });
    expect(copied).toEqual(shipped);
    const { text } = await client.books.file({ bookId });
    const edited = text.replace('"graceYards": 3', '"graceYards":   4');
    expect(await client.books.save({ text: edited, replaces: bookId })).toMatchObject({ ok: true });
    library.close();
    const again = aService(await mustOpen(library.path)).client;
    expect(await again.books.file({ bookId })).toEqual({ text: edited });
    expect((await again.books.open({ bookId })).grading.graceYards).toBe(4);
    expect((await again.books.copy({ bookId: flag })).bookId).toBe(`${flag}-copy-2`);
  });

  it("refuse a bad value with its path, keep nothing of it, and leave the shipped ones alone", async () => {
    const { client } = aService(await openTemporary());
    const { bookId } = await client.books.copy({ bookId: flag });
    const { text } = await client.books.file({ bookId });
    const bad = text.replace('"graceYards": 3', '"graceYards": -3');
    expect(await client.books.check({ text: bad })).toMatchObject({ ok: false, fault: { path: "grading.graceYards" } });
    expect(await client.books.save({ text: bad, replaces: bookId })).toMatchObject({ ok: false });
    expect(await client.books.file({ bookId })).toEqual({ text });
    for (const [changed, replaces] of [
      [text.replace(bookId, flag), null],
      [text.replace(bookId, flag), bookId],
      [text, null],
      [text.replace(bookId, "another"), bookId],
    ] as const)
      expect(await client.books.save({ text: changed, replaces })).toMatchObject({ ok: false, fault: { path: "id" } });
    expect(await answerTo(client.books.remove({ bookId: flag }))).toMatchObject({ code: "INVALID", known: true });
  });

  it("say the line on which a file stops being JSON", async () => {
    const { client } = aService(await openTemporary());
    const { text } = await client.books.file({ bookId: flag });
    const lines = text.split("\n");
    for (const [line, wrong] of [
      [3, '  "formatVersion": ,'],
      [8, '  "positions": [ [,'],
      [40, '      "when": {{},'],
      [lines.length - 1, "]"],
    ] as const) {
      const broken = lines.with(line - 1, wrong).join("\n");
      expect(await client.books.check({ text: broken })).toMatchObject({ ok: false, fault: { path: `line ${line}` } });
    }
    expect(await client.books.check({ text: "" })).toMatchObject({ ok: false, fault: { path: "(the whole file)" } });
  });

  it("take in what was given out, under the same id where it is free and the next one where it is not", async () => {
    const { client } = aService(await openTemporary());
    const { client: other } = aService(await openTemporary());
    const { bookId } = await client.books.copy({ bookId: "tackle-crew-of-seven" });
    const { text } = await client.books.file({ bookId });
    expect(await other.books.import({ text })).toMatchObject({ ok: true, book: { id: bookId } });
    expect(await other.books.file({ bookId })).toEqual({ text });
    expect(await other.books.open({ bookId })).toEqual(await client.books.open({ bookId }));
    expect(await other.books.import({ text })).toMatchObject({ ok: true, book: { id: `${bookId}-2` } });
    const shipped = await client.books.file({ bookId: "tackle-crew-of-five" });
    const taken = await other.books.import(shipped);
    expect(taken).toMatchObject({ ok: true, book: { id: "tackle-crew-of-five-2" } });
    expect(read((await other.books.file({ bookId: "tackle-crew-of-five-2" })).text).extends).toBe(
      "tackle-crew-of-four",
    );
    expect(await other.books.import({ text: "{}" })).toMatchObject({ ok: false, fault: { path: "format" } });
  });

  it("show a book whose base was taken away with its fault, and open it no more", async () => {
    const { client } = aService(await openTemporary());
    const { bookId: base } = await client.books.copy({ bookId: flag });
    const text = bookText({
      format: "crewglass-book",
      formatVersion: 2,
      id: "ours",
      name: "Ours",
      edition: "1",
      caution: "Our own",
      extends: base,
    });
    expect(await client.books.save({ text, replaces: null })).toMatchObject({ ok: true });
    expect(await client.books.remove({ bookId: base })).toEqual({ removed: true });
    expect((await client.books.list()).at(-1)).toMatchObject({ id: "ours", name: "Ours", fault: { path: "extends" } });
    const answer = await answerTo(client.books.open({ bookId: "ours" }));
    expect(answer).toMatchObject({ code: "INVALID", known: true });
    expect(answer.message).toContain(`there is no book ${base}`);
    expect(await answerTo(client.books.file({ bookId: base }))).toMatchObject({ code: "NOT_FOUND" });
  });

  it("stay while a game is judged by them", async () => {
    const library = await openTemporary();
    const { client } = aService(library);
    const { bookId } = await client.books.copy({ bookId: flag });
    const whole = aWholeGame();
    library.addGame({ ...whole, game: { ...whole.game, bookId } });
    expect((await answerTo(client.books.remove({ bookId }))).message).toMatch(/^A game is judged by this book/u);
    await client.games.remove({ gameId: whole.game.id });
    expect(await client.books.remove({ bookId })).toEqual({ removed: true });
    expect(await client.books.remove({ bookId })).toEqual({ removed: false });
  });
});
