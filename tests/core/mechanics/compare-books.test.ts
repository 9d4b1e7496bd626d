import { describe, expect, it } from "vitest";
import { compareBooks } from "#core/mechanics/compare-books";
import { ruleLists } from "#core/mechanics/book";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { shipped } from "./laid-out.ts";

const four = shipped("tackle-crew-of-four");
const five = shipped("tackle-crew-of-five");

describe("two books rule by rule", () => {
  it("say of a book and itself that every rule is the same", () => {
    for (const book of shippedBooks()) {
      const rules = ruleLists.reduce((sum, list) => sum + book[list].length, 0);
      expect(compareBooks(book, book)).toEqual({ differences: [], same: rules + book.positions.length + 1 });
    }
  });

  it("name what four and five print otherwise: U at 5 to 10 or 5 to 7 yards, and the back judge", () => {
    const { differences } = compareBooks(four, five);
    const umpire = differences.find(({ id }) => id === "ST-U-PRE");
    expect(umpire?.kind).toBe("changed");
    expect(umpire?.values).toContainEqual({ path: "depth.yards.to", left: "10", right: "7" });
    expect(umpire?.values.some(({ path }) => path === "depth.yards.from")).toBe(false);
    expect(differences).toContainEqual({ list: "positions", id: "BJ", kind: "right-only", values: [] });
    expect(differences).toContainEqual({ list: "counts", id: "CT-U-B", kind: "left-only", values: [] });
  });

  it("turned about, say the same with left for right", () => {
    const turned = compareBooks(five, four).differences.map(({ id, list, kind, values }) => ({
      id,
      list,
      kind: kind === "left-only" ? "right-only" : kind === "right-only" ? "left-only" : kind,
      values: values.map(({ path, left, right }) => ({ path, left: right, right: left })),
    }));
    const bySide = (rows: readonly { list: string; id: string; values: readonly { path: string }[] }[]) =>
      rows
        .map((row) =>
          JSON.stringify(
            { ...row, values: row.values.toSorted((a, b) => (a.path < b.path ? -1 : 1)) },
            Object.keys({ list: 0, id: 0, kind: 0, values: 0, path: 0, left: 0, right: 0 }),
          ),
        )
        .toSorted();
    expect(bySide(turned)).toEqual(bySide(compareBooks(four, five).differences));
  });

  it("take what is null for what is left out, and see a value that only one has", () => {
    const [first, ...rest] = four.stations;
    const said = { ...four, stations: [{ ...first!, when: { ...first!.when, downs: null } }, ...rest] };
    expect(compareBooks(four, said).differences).toEqual([]);
    const third = { ...four, stations: [{ ...first!, when: { ...first!.when, downs: [3 as const] } }, ...rest] };
    expect(compareBooks(four, third).differences).toEqual([
      { list: "stations", id: first!.id, kind: "changed", values: [{ path: "when.downs", left: null, right: "3" }] },
    ]);
  });
});
