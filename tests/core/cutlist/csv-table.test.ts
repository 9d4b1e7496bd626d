import { parse as parseCsv } from "csv-parse/sync";
import fc from "fast-check";
import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { defused, readCsv, separators, undefused, writeCsvRows } from "#core/cutlist/csv-table";

const read = (text: string) => {
  const table = readCsv(text);
  if (!table.ok) throw new Error(`${table.line}: ${table.reason}`);
  return [table.headings, ...table.rows.map(({ cells }) => cells)];
};

/** The rules are those of RFC 4180, section 2, by their numbers. */
describe("CSV by RFC 4180", () => {
  it("1 and 2: each row on its line, the last with or without a line end", () => {
    expect(read("down,kind\r\n1,run\r\n2,pass\r\n")).toEqual(read("down,kind\r\n1,run\r\n2,pass"));
  });

  it("4: blanks belong to a cell", () => {
    expect(read("down,kind\r\n 1 , run")[1]).toEqual([" 1 ", " run"]);
  });

  it("5, 6 and 7: quotes about a cell keep separators, line ends and doubled quotes in it", () => {
    expect(read('a,b\r\n"1","x,\r\n""y"""')[1]).toEqual(["1", 'x,\r\n"y"']);
  });

  it("takes what is common beside it: a byte order mark, LF or CR alone, short rows, empty lines", () => {
    expect(read("\uFEFFa,b\n1\n\n,\n2,3")).toEqual([["a", "b"], ["1"], ["2", "3"]]);
    expect(read("a,b\r1,2\r3,4")).toEqual([
      ["a", "b"],
      ["1", "2"],
      ["3", "4"],
    ]);
    expect(read('a,b\n5" of rain,2')[1]).toEqual(['5" of rain', "2"]);
  });

  it("counts the lines of the file, within quotes and over empty lines", () => {
    const table = readCsv('\n\na,b\r\n"1\r\n1\n1",2\r\n\r\n3,4\r\n');
    expect(table.ok && table.rows.map(({ line }) => line)).toEqual([4, 8]);
  });

  it.each([
    ["", 1, /headings/u],
    [" \r\n,,\r\n", 1, /headings/u],
    ['a,b\r\n1,"two\r\nthree', 2, /does not end/u],
    ['a,"b\r\nc', 1, /does not end/u],
    ['a,b\r\n"1\r\n1"x,2', 3, /follows the closing quote/u],
    ["a,b\n1,2\n\0", 3, /plain text/u],
  ] as const)("refuses %j at line %d", (text, line, reason) => {
    expect(readCsv(text)).toMatchObject({ ok: false, line, reason: expect.stringMatching(reason) });
  });

  it("finds the separator out by the rows that have as many cells as the headings", () => {
    const of = (text: string) => {
      const table = readCsv(text);
      return table.ok ? table.separator : null;
    };
    expect(of("a;b\n0:05,2;1,5\n0:06,3;2,5")).toBe(";");
    expect(of("a, and more\tb\n1\t2\n3\t4,5")).toBe("\t");
    expect(of('a,b\n"x;y;z",2')).toBe(",");
    expect(of("only one\n1\n2")).toBe(",");
    const told = readCsv("a;b,c\n1;2,3", ";");
    expect(told.ok && told.headings).toEqual(["a", "b,c"]);
  });
});

/** papaparse and csv-parse are readers of their own, which agree with ours on all that RFC 4180 allows. */
describe("against independent readers", () => {
  const cell = fc.string({
    maxLength: 8,
    unit: fc.constantFrom("a", "7", " ", ",", ";", "\t", '"', "\r\n", "\n", "é", "="),
  });
  const rows = fc
    .integer({ min: 2, max: 5 })
    .chain((width) => fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 6 }))
    .map((list) => list.map((row, index) => [`r${index}`, ...row]));

  it("what is written is read alike by all three, for 1,000 tables", () => {
    fc.assert(
      fc.property(rows, (table) => {
        const text = writeCsvRows(table);
        const bare = text.replace(/^\uFEFF/u, "");
        const [first, ...rest] = table;
        expect(read(text)).toEqual([first!.map((one) => one.trim()), ...rest]);
        expect(parseCsv(bare)).toEqual(table);
        expect(Papa.parse(bare, { delimiter: ",", newline: "\r\n" }).data.slice(0, -1)).toEqual(table);
      }),
      { numRuns: 1000, seed: 41 },
    );
  });

  it("a byte order mark stands where a spreadsheet could take the letters for others, and nowhere else", () => {
    expect(writeCsvRows([["é", "b"]])).toBe("\uFEFFé,b\r\n");
    expect(writeCsvRows([["e", "b"]])).toBe("e,b\r\n");
  });

  it("what another writes is read as it was, whatever its separator and line ends", () => {
    fc.assert(
      fc.property(rows, fc.constantFrom(...separators), fc.constantFrom("\r\n", "\n"), (table, delimiter, newline) => {
        const [first, ...rest] = table;
        const plain = [first!.map((_, index) => `h${index}`), ...rest];
        const found = readCsv(Papa.unparse(plain, { delimiter, newline }), delimiter);
        expect(found.ok && [found.headings, ...found.rows.map(({ cells }) => cells)]).toEqual(plain);
      }),
      { numRuns: 1000, seed: 42 },
    );
  });
});

/** What a spreadsheet takes for a formula: OWASP, CSV Injection (https://owasp.org/www-community/attacks/CSV_Injection). */
describe("cells that look like formulas", () => {
  it.each(["=1+1", "+1", "-1+cmd", "@sum", "\tx", "\rx"])("%j begins with an apostrophe instead", (word) => {
    expect(defused(word)).toBe(`'${word}`);
    expect(undefused(defused(word))).toBe(word);
  });

  it("plain numbers stay numbers, and every word comes back as it was", () => {
    expect(["-12.5", "7", "it's", "'tis"].map(defused)).toEqual(["-12.5", "7", "it's", "'tis"]);
    const word = fc.string({ unit: fc.constantFrom("'", "=", "-", "+", "@", "1", ".", "a", "\t"), maxLength: 6 });
    fc.assert(
      fc.property(word, (one) => {
        expect(undefused(defused(one))).toBe(one);
        expect(/^[=+@\t\r]/u.test(defused(one))).toBe(false);
      }),
      { numRuns: 1000, seed: 43 },
    );
  });
});
