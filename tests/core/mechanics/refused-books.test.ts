import { describe, expect, it } from "vitest";
import { parseBook } from "#core/mechanics/book-shape";
import { resolveBook } from "#core/mechanics/resolve-book";
import { shippedFile } from "#core/mechanics/shipped-books";
import flagBook from "../../../src-core/mechanics/books/flag-crew-of-four.json" with { type: "json" };
import tackleFive from "../../../src-core/mechanics/books/tackle-crew-of-five.json" with { type: "json" };

type Holder = Record<string, unknown>;

/** A copy of a file with values put at paths, as "keys[0].order"; undefined leaves the file as it is. */
function withValues(file: object, values: Readonly<Record<string, unknown>>): object {
  const copy = structuredClone(file);
  for (const [path, value] of Object.entries(values)) {
    const keys = path.replaceAll("[", ".").replaceAll("]", "").split(".");
    let holder = copy as Holder;
    for (const key of keys.slice(0, -1)) holder = holder[key] as Holder;
    holder[keys.at(-1)!] = value;
  }
  return copy;
}

/** The path at which a file is refused, or "accepted". */
function refusedAt(file: object): string {
  const result = resolveBook(file, shippedFile);
  return result.ok ? "accepted" : result.fault.path;
}

const nothing = Object.fromEntries(Object.keys(flagBook.grading.weights).map((key) => [key, 0]));
const rest = flagBook.zones.findIndex(({ id }) => id === "ZN-BJ");

describe("a rule that says nothing or too much is refused where it stands", () => {
  const cases: readonly (readonly [what: string, values: Readonly<Record<string, unknown>>, path: string])[] = [
    ["an earlier format", { formatVersion: 1 }, "formatVersion"],
    ["an id of another kind", { "keys[0].id": "ST-R-PASSER" }, "keys[0].id"],
    ["an id used in two lists", { "facings[0].id": "ST-R-PRE" }, "facings[0].id"],
    ["a position nobody has", { "counts[1].position": "QQ" }, "counts[1].position"],
    ["a position listed twice", { "positions[1].id": "R" }, "positions[1].id"],
    ["an anchor that is none", { "stations[0].depth.anchor": "moon" }, "stations[0].depth.anchor"],
    ["a range that ends first", { "zones[1].width.yards.to": -50 }, "zones[1].width.yards"],
    ["no downs", { "keys[0].when": { downs: [] } }, "keys[0].when.downs"],
    ["a down twice", { "keys[0].when": { downs: [3, 3] } }, "keys[0].when.downs"],
    ["a down that is none", { "keys[0].when": { downs: [5] } }, "keys[0].when.downs[0]"],
    [
      "a line to gain that nobody has",
      { "keys[0].when": { lineToGainYards: { from: -9, to: 0 } } },
      "keys[0].when.lineToGainYards",
    ],
    [
      "a line to gain beyond the goal line",
      { "keys[0].when": { lineToGainYards: { from: 20, to: 30 }, goalLineYards: { from: 0, to: 10 } } },
      "keys[0].when.lineToGainYards",
    ],
    [
      "a snap beyond the goal line",
      { "zones[0].when": { goalLineYards: { from: -20, to: -1 } } },
      "zones[0].when.goalLineYards",
    ],
    [
      "half a receiver",
      { "keys[0].when": { receiversOwnSide: { from: 1.2, to: 1.8 } } },
      "keys[0].when.receiversOwnSide",
    ],
    ["a condition nobody knows", { "keys[0].when": { wind: 3 } }, "keys[0].when"],
    ["a key of no time", { "keys[0].forSec": 0 }, "keys[0].forSec"],
    ["two keys in one place of the order", { "keys[1].order": 1 }, "keys[1].order"],
    ["a zone without bounds that is not the rest", { "zones[0].depth": null }, "zones[0]"],
    ["the rest of the field with bounds", { "zones[0].rest": true }, "zones[0].rest"],
    ["two who have the rest", { "zones[0].rest": true, "zones[0].depth": null }, `zones[${rest}].rest`],
    ["a zone before the snap", { "zones[0].phases": ["zone", "pre-snap"] }, "zones[0].phases"],
    ["a phase twice", { "zones[0].phases": ["zone", "zone"] }, "zones[0].phases"],
    ["a second reason", { "handoffs[1].reason": "key-time-over" }, "handoffs[1].reason"],
    ["two rules for looks", { "looks[1]": { ...flagBook.looks[0], id: "LK-MORE" } }, "looks[1]"],
    ["an angle that fades the wrong way", { "looks[0].angleDegrees.none": 40 }, "looks[0].angleDegrees"],
    ["a band that does not ascend", { "looks[0].rangeYards.to": 3 }, "looks[0].rangeYards"],
    ["attention that widens", { "looks[0].attentionDegrees.none": 20 }, "looks[0].attentionDegrees"],
    ["a count said twice", { "counts[1].position": "R" }, "counts[1].counts"],
    ["nothing that weighs", { "grading.weights": nothing }, "grading.weights"],
    ["a weight below nothing", { "grading.weights.look": -1 }, "grading.weights.look"],
    [
      "a bound before the range",
      { "stations[0].depth.atMost": { anchor: "deepest-back", yards: -9 } },
      "stations[0].depth.atMost",
    ],
    [
      "bounds with nothing between",
      {
        "stations[0].depth.atLeast": { anchor: "goal-line", yards: { from: 3, to: 4 } },
        "stations[0].depth.atMost": { anchor: "goal-line", yards: 1 },
      },
      "stations[0].depth.atMost",
    ],
    [
      "a sideline for one who works the middle",
      { "positions[1].side": "middle" },
      "stations[1].when.receiverNearSidelineYards",
    ],
    ["a lopsided width from the middle", { "positions[0].side": "middle" }, "stations[0].width.yards"],
    ["a rule like one before it", { "stations[3].when": {} }, "stations[4].when"],
  ];
  it.each(cases)("%s", (_, values, path) => expect(refusedAt(withValues(flagBook, values))).toBe(path));

  it("and the same book unchanged is not", () => expect(refusedAt(withValues(flagBook, {}))).toBe("accepted"));
});

describe("a book that extends another", () => {
  const extension = (part: object) => ({
    format: "crewglass-book",
    formatVersion: 2,
    id: "ours",
    name: "Ours",
    edition: "1",
    caution: "Our own",
    extends: "flag-crew-of-four",
    ...part,
  });
  const read = (part: object) => resolveBook(extension(part), shippedFile);
  const station = structuredClone(flagBook.stations[0]!);

  it("is the base under another name when it says nothing else", () => {
    const result = read({});
    const base = parseBook(flagBook);
    expect(result.ok && base.ok && result.book).toEqual(
      base.ok && { ...base.book, id: "ours", name: "Ours", edition: "1", caution: "Our own" },
    );
  });

  it("replaces what has the same id where it stands, and puts what is new before the base's, to be tried first", () => {
    const deeper = { ...station, toleranceYards: 3 };
    const third = { ...station, id: "ST-R-THIRD", when: { downs: [3] } };
    const result = read({ stations: [deeper, third], without: ["DT-R-SNAP"] });
    expect(result.ok && result.book.stations.slice(0, 2)).toEqual([third, deeper]);
    expect(result.ok && result.book.stations).toHaveLength(flagBook.stations.length + 1);
    expect(result.ok && result.book.duties.map(({ id }) => id)).not.toContain("DT-R-SNAP");
  });

  it.each([
    ["a base that is not there", { extends: "nowhere" }, "extends"],
    ["itself as its base", { extends: "ours" }, "extends"],
    ["a rule taken out that the base has not", { without: ["DT-R-SNAP", "ST-NO"] }, "without[1]"],
    ["a rule of its own twice", { stations: [station, { ...station }] }, "stations[1].id"],
    ["a position that it has not", { stations: [{ ...station, position: "QQ" }] }, "stations[0].position"],
    ["a crew without a position that the base's rules have", { positions: [flagBook.positions[0]] }, "extends"],
    ["something unknown beside", { colour: "green" }, "(the whole file)"],
    ["a base that is no text", { extends: 7 }, "extends"],
  ])("is refused for %s", (_, part, path) => {
    const result = read(part);
    expect(result.ok ? "accepted" : result.fault.path).toBe(path);
  });

  it("is refused in a ring, with the ring in words", () => {
    const files: Record<string, object> = {
      one: extension({ id: "one", extends: "two" }),
      two: extension({ id: "two", extends: "three" }),
      three: extension({ id: "three", extends: "one" }),
    };
    const result = resolveBook(files["one"], (id) => files[id]);
    const message = result.ok ? "" : result.fault.message;
    expect(message).toMatch(/a ring of books: one extends two extends three extends one$/u);
  });

  it("leaves its base as it was", () => {
    const before = structuredClone(tackleFive);
    expect(refusedAt(tackleFive)).toBe("accepted");
    expect(tackleFive).toEqual(before);
  });
});
