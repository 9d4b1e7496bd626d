/**
 * Words in texts. What counts as the same letter is held to ICU's collation of the running Node (ECMA-402, sensitivity "base"; UTS #10),
 * which is another implementation than Unicode normalization, on letters whose accents Unicode composes.
 */
import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import { excerptOf, folded, holdsWords, placesOf, wordsOf } from "#core/search/find-words";

const shown = (text: string, words: readonly string[]) =>
  placesOf(text, words).map(([from, to]) => text.slice(from, to));

describe("words that were typed", () => {
  it("are parted by white space, folded, and once each; between quotes they stay together", () => {
    expect(wordsOf("  Late\tFLAG late ")).toEqual(["late", "flag"]);
    expect(wordsOf('"pass  interference" Élodie')).toEqual(["pass  interference", "elodie"]);
    expect(wordsOf('holding "still open')).toEqual(["holding", "still open"]);
    expect(wordsOf(' "" " " ')).toEqual([]);
    expect(wordsOf(Array.from({ length: 40 }, (_, index) => `w${index}`).join(" "))).toHaveLength(12);
  });

  it("must each be in the text or beside it, and one of them in the text", () => {
    expect(holdsWords("holding on the edge", "herons lj", ["hold", "herons"])).toBe(true);
    expect(holdsWords("holding on the edge", "herons lj", ["hold", "lanterns"])).toBe(false);
    expect(holdsWords("holding on the edge", "herons lj", ["herons"])).toBe(false);
  });
});

const letters = Array.from(
  "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖÙÚÛÜÝàáâãäåçèéêëìíîïñòóôõöùúûüýÿĀāĂăĄąĆćĈĉĊċČčĎďĒēĔĕĖėĘęĚěĜĝĞğĠġĢģĤĥĨĩĪīĬĭĮįİĴĵĶķĹĺĻļĽľŃńŅņŇňŌōŎŏŐőŔŕŖŗŘřŚśŜŝŞşŠšŢţŤťŨũŪūŬŭŮůŰűŲųŴŵŶŷŸŹźŻżŽž",
);

describe("a letter", () => {
  const { compare } = new Intl.Collator("und", { sensitivity: "base", usage: "search" });

  test.each(letters)(
    "%s is found by its plain letter and the other way round, and ICU has the two for the same",
    (letter) => {
      const plain = folded(letter);
      expect(plain).toMatch(/^[a-z]$/u);
      expect(compare(letter, plain)).toBe(0);
      expect(shown(`(${letter})`, [plain])).toEqual([letter]);
      expect(shown(`(${plain})`, [folded(letter)])).toEqual([plain]);
    },
  );

  it("that ICU holds for another is not found by it", () => {
    for (const [a, b] of [
      ["a", "b"],
      ["c", "d"],
      ["o", "e"],
    ] as const) {
      expect(compare(a, b)).not.toBe(0);
      expect(shown(`(${a})`, [b])).toEqual([]);
    }
  });

  it("is found with the marks that stand on it, composed or not", () => {
    expect(shown("E\u0301lodie and \u00c9lodie", ["elo"])).toEqual(["E\u0301lo", "\u00c9lo"]);
    expect(shown("a\u0301\u0302bc", ["a"])).toEqual(["a\u0301\u0302"]);
    // A letter that folds into two is shown whole, whichever of the two was asked for.
    expect(shown("the \ufb01rst flag", ["fir"])).toEqual(["\ufb01r"]);
    expect(shown("the \ufb01rst flag", ["ir"])).toEqual(["\ufb01r"]);
  });
});

describe("places", () => {
  it("are in order and none over another, where words overlap", () => {
    expect(placesOf("banana", ["ana", "nan"])).toEqual([[1, 5]]);
    expect(placesOf("late, late, LATE", ["late"])).toEqual([
      [0, 4],
      [6, 10],
      [12, 16],
    ]);
    expect(placesOf("nothing here", ["flag"])).toEqual([]);
  });

  it("hold, in any text, what folds into the words, and every word that is in the text", () => {
    const texts = fc.oneof(fc.string({ unit: "grapheme" }), fc.string({ unit: "binary" }), fc.lorem());
    fc.assert(
      fc.property(texts, fc.nat(), fc.integer({ min: 1, max: 5 }), (text, at, length) => {
        const plain = Array.from(folded(text));
        const from = plain.length === 0 ? 0 : at % plain.length;
        const word = plain
          .slice(from, from + length)
          .join("")
          .trim();
        fc.pre(word !== "");
        const places = placesOf(text, [word]);
        let last = 0;
        for (const [start, end] of places) {
          expect(start).toBeGreaterThanOrEqual(last);
          expect(end).toBeGreaterThan(start);
          expect(end).toBeLessThanOrEqual(text.length);
          last = end;
        }
        // Folding a text whole may reorder its marks, which are gone then: letter by letter it is the same.
        if (folded(text).includes(word)) expect(places.length).toBeGreaterThan(0);
        for (const [start, end] of places) expect(folded(text.slice(start, end))).toContain(word);
      }),
      { numRuns: 2000, seed: 20261126 },
    );
  });
});

describe("an excerpt", () => {
  const long = `${"word ".repeat(80)}the flag came late ${"after ".repeat(80)}`;

  it("is a short text as it is", () => {
    expect(excerptOf("the flag came late", ["late"])).toEqual({ text: "the flag came late", places: [[14, 18]] });
  });

  it("of a long one has what was found, is marked there, and says where it was cut", () => {
    const { text, places } = excerptOf(long, ["flag", "late"]);
    expect(text.length).toBeLessThan(170);
    expect(text).toMatch(/^… word/u);
    expect(text).toMatch(/after …$/u);
    expect(places.map(([from, to]) => text.slice(from, to))).toEqual(["flag", "late"]);
  });

  it("of any text shows a first place that folds into a word, and cuts no character in two", () => {
    const texts = fc.array(fc.oneof(fc.lorem({ maxCount: 6 }), fc.string({ unit: "grapheme", maxLength: 12 })), {
      minLength: 1,
      maxLength: 60,
    });
    fc.assert(
      fc.property(texts, texts, (before, after) => {
        const text = `${before.join(" ")} flag ${after.join(" ")}`;
        const cut = excerptOf(text, ["flag"]);
        expect(cut.text.length).toBeLessThanOrEqual(170);
        expect(cut.text.isWellFormed()).toBe(true);
        const [first] = cut.places;
        expect(folded(cut.text.slice(...(first ?? [0, 0])))).toBe("flag");
      }),
      { numRuns: 1000, seed: 7 },
    );
  });
});
