import { describe, expect, it } from "vitest";
import type { Book, StationRule } from "#core/mechanics/book";
import { parseBook } from "#core/mechanics/book-shape";
import flagBook from "../../../src-core/mechanics/books/flag-crew-of-four.json" with { type: "json" };

const parsed = parseBook(flagBook);
if (!parsed.ok) throw new Error(`${parsed.fault.path}: ${parsed.fault.message}`);
const { book } = parsed;
const rule = (id: string): StationRule => book.stations.find((candidate) => candidate.id === id)!;
const middle = ({ from, to }: { from: number; to: number }) => (from + to) / 2;

/** Common practice of a flag crew of four; there is no source to cite. */
describe("the flag book for a crew of four", () => {
  it("ST-R-PRE: 7 yd behind and 7 yd wide of the deepest back, away from the line judge", () => {
    const { depth, width } = rule("ST-R-PRE");
    expect([depth.anchor, width.anchor]).toEqual(["deepest-back", "deepest-back"]);
    expect([middle(depth.yards), middle(width.yards)]).toEqual([-7, 7]);
    expect(book.positions.find((position) => position.id === "R")?.side).toBe("other-side");
  });

  it("ST-LJ-PRE and ST-LJ-PRE-SPLIT: in the neutral zone at the sideline, up to 2 yd outside with a receiver split near", () => {
    expect(middle(rule("ST-LJ-PRE").depth.yards)).toBe(0);
    expect(rule("ST-LJ-PRE").width.anchor).toBe("own-sideline");
    expect(rule("ST-LJ-PRE-SPLIT").width.yards.to).toBe(2);
    expect(rule("ST-LJ-PRE-SPLIT").when.receiverNearSidelineYards).not.toBeNull();
  });

  it("ST-FJ-PRE and ST-FJ-PRE-GAIN: 10 yd downfield; on the line to gain on 3rd and 4th with less than 10 to go", () => {
    expect(middle(rule("ST-FJ-PRE").depth.yards)).toBe(10);
    const gain = rule("ST-FJ-PRE-GAIN");
    expect(gain.when.downs).toEqual([3, 4]);
    expect(gain.when.lineToGainYards).toEqual({ from: 0, to: 10 });
    expect([gain.depth.anchor, middle(gain.depth.yards)]).toEqual(["line-to-gain", 0]);
  });

  it("ST-BJ-PRE: 20 yd downfield on the hash of the line judge's side", () => {
    const { depth, width } = rule("ST-BJ-PRE");
    expect([middle(depth.yards), width.anchor, middle(width.yards)]).toEqual([20, "own-hash", 0]);
    expect(book.positions.find((position) => position.id === "BJ")?.side).toBe("line-judge-side");
  });

  it("ST-R-FACE, ST-FJ-FACE, ST-R-UPFIELD turn R to the snapper and later upfield, and FJ to the ball", () => {
    expect(book.facings.map((facing) => [facing.id, facing.toward])).toEqual([
      ["ST-R-FACE", "snapper"],
      ["ST-FJ-FACE", "ball"],
      ["ST-R-UPFIELD", "downfield"],
    ]);
  });

  it("says that the association's own manual comes first, and marks every rule as common practice without a source", () => {
    expect(book.caution).toMatch(/manual and rules come first/u);
    for (const { source } of [...book.stations, ...book.facings]) {
      expect(source).toEqual({ kind: "common-practice", citation: null });
    }
  });
});

function changed(change: (copy: { -readonly [K in keyof Book]: Book[K] } & Record<string, unknown>) => void): unknown {
  const copy = structuredClone(flagBook) as never;
  change(copy);
  return copy;
}

function faultOf(json: unknown): string {
  const result = parseBook(json);
  return result.ok ? "accepted" : result.fault.path;
}

describe("a book that is refused", () => {
  it("names the path of the first fault", () => {
    expect(faultOf(null)).toBe("(the whole file)");
    expect(faultOf(changed((copy) => (copy["colour"] = "green")))).toBe("(the whole file)");
    expect(faultOf(changed((copy) => (copy.grading = { ...copy.grading, graceYards: Number.NaN })))).toBe(
      "grading.graceYards",
    );
    const station = (index: number, part: Partial<StationRule>) =>
      changed((copy) => (copy.stations = copy.stations.with(index, { ...copy.stations[index]!, ...part })));
    expect(faultOf(station(2, { id: "ST-R-PRE" }))).toBe("stations[2].id");
    expect(faultOf(station(1, { position: "QQ" }))).toBe("stations[1].position");
    expect(faultOf(station(3, { when: { ...rule("ST-FJ-PRE-GAIN").when, downs: [] } }))).toBe("stations[3].when.downs");
    expect(faultOf(station(0, { depth: { anchor: "deepest-back", yards: { from: 2, to: 1 } } }))).toBe(
      "stations[0].depth.yards",
    );
  });

  it("refuses a rule that can never apply because one before it always does", () => {
    const json = changed((copy) => {
      const [split, plain] = [copy.stations[1]!, copy.stations[2]!];
      copy.stations = copy.stations.with(1, plain).with(2, split);
    });
    expect(faultOf(json)).toBe("stations[2].when");
  });
});
