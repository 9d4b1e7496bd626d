import { describe, expect, it } from "vitest";
import { bookText } from "#core/mechanics/book-text";
import { rulePath, ruleValue, withRuleValue } from "#core/mechanics/edit-rule";
import { resolveBook } from "#core/mechanics/resolve-book";
import { shippedFile, shippedFiles } from "#core/mechanics/shipped-books";
import { shipped } from "./laid-out.ts";

const flag = shipped("flag-crew-of-four");
const flagText = bookText(shippedFiles[0]!);
const five = shipped("tackle-crew-of-five");
const fiveText = bookText(shippedFile(five.id) as object);

describe("one value of one rule in the text of a book", () => {
  it("is changed, and nothing else is", () => {
    const text = withRuleValue(flagText, flag, "ST-BJ-PRE", "depth.yards.to", 23);
    expect(JSON.parse(text!)).toEqual({
      ...flag,
      stations: flag.stations.map((rule) =>
        rule.id === "ST-BJ-PRE" ? { ...rule, depth: { ...rule.depth, yards: { from: 19, to: 23 } } } : rule,
      ),
    });
    expect(ruleValue(text!, "ST-BJ-PRE", "depth.yards.to")).toBe(23);
    const differing = text!.split("\n").filter((line, index) => line !== flagText.split("\n")[index]);
    expect(differing).toHaveLength(1);
  });

  it("of a rule that the file takes from its base is written into the file, and read over the base's", () => {
    expect(ruleValue(fiveText, "ST-LJ-PRE", "toleranceYards")).toBeUndefined();
    expect(rulePath(fiveText, "ST-LJ-PRE")).toBeNull();
    const text = withRuleValue(fiveText, five, "ST-LJ-PRE", "toleranceYards", 2)!;
    const read = resolveBook(JSON.parse(text), shippedFile);
    expect(read.ok && read.book.stations.find(({ id }) => id === "ST-LJ-PRE")?.toleranceYards).toBe(2);
    expect(read.ok && read.book.stations.map(({ id }) => id)).toEqual(five.stations.map(({ id }) => id));
    expect(rulePath(text, "ST-LJ-PRE")).toMatch(/^stations\[\d+\]$/u);
    expect((JSON.parse(text) as { extends: string }).extends).toBe("tackle-crew-of-four");
  });

  it("of another kind is written as it is, for the reading of the book to refuse at its path", () => {
    const text = withRuleValue(flagText, flag, "KEY-R-BACKS", "forSec", "long")!;
    const read = resolveBook(JSON.parse(text), shippedFile);
    expect(!read.ok && read.fault.path).toBe(`${rulePath(text, "KEY-R-BACKS")}.forSec`);
  });

  it("is not changed where there is none, or the text is no book's", () => {
    expect(withRuleValue("{ not json", flag, "ST-BJ-PRE", "toleranceYards", 1)).toBeNull();
    expect(withRuleValue(flagText, flag, "ST-NOWHERE", "toleranceYards", 1)).toBeNull();
    expect(withRuleValue(flagText, flag, "ZN-BJ", "depth.yards.from", 1)).toBeNull();
  });
});
