import fc from "fast-check";
import { describe, expect, it } from "vitest";
import webvtt from "webvtt-parser";
import { textOfCue } from "#core/cutlist/cue-text";
import { readWebVtt, timestamp, writeWebVtt } from "#core/cutlist/web-vtt";

const cuesIn = (file: string) => {
  const read = readWebVtt(file);
  if (!read.ok) throw new Error(read.reason);
  return read.cues.map(({ id, startSec, endSec, text }) => [id, startSec, endSec, text]);
};
const times = "00:01.000 --> 00:02.000";

/** https://www.w3.org/TR/webvtt1/ — the forms of the examples of sections 1.1 to 1.7, in words of our own. */
describe("what the recommendation shows", () => {
  it("1.1: cues with times and more than one line", () => {
    expect(
      cuesIn(
        "WEBVTT\n\n00:11.000 --> 00:13.000\n<v Referee>Ready for play\n\n00:13.000 --> 00:16.000\nSet\nand snapped\n",
      ),
    ).toEqual([
      ["", 11, 13, "Ready for play"],
      ["", 13, 16, "Set\nand snapped"],
    ]);
  });

  it("1.2 and 1.4: a title, an id, settings", () => {
    const file =
      "WEBVTT – second half\n\nsnap 1\n00:00:00.000 --> 00:00:04.000 position:10%,line-left align:left size:35%\nFirst\n";
    expect(cuesIn(file)).toEqual([["snap 1", 0, 4, "First"]]);
  });

  it("1.3: comments of one line and of more, also between cues", () => {
    const file = `WEBVTT\n\nNOTE one line\n\nNOTE\nmore\nthan one\n\n${times}\nyes\n\nNOTE at the end\n`;
    expect(cuesIn(file)).toEqual([["", 1, 2, "yes"]]);
  });

  it("1.5 and 1.6: styles and regions", () => {
    const file = `WEBVTT\n\nSTYLE\n::cue(b) {\n  color: peachpuff;\n}\n\nREGION\nid:left\nwidth:40%\n\n${times} region:left\nyes\n`;
    expect(cuesIn(file)).toEqual([["", 1, 2, "yes"]]);
  });

  it("1.7: chapters and metadata: the payload stays as it stands", () => {
    const read = readWebVtt(`WEBVTT\n\n${times}\n{\n"a": "<b> & c"\n}\n`);
    expect(read.ok && read.cues[0]!.payload).toBe('{\n"a": "<b> & c"\n}');
  });
});

/** https://www.w3.org/TR/webvtt1/#file-parsing, by its steps. */
describe("the standard's parser (6.1)", () => {
  it.each(["WEBVTT", "\uFEFFWEBVTT", "WEBVTT\n", "WEBVTT\tx\n\n", "WEBVTT x\nKind: metadata\n"])(
    "takes %j for a file without cues",
    (file) => expect(cuesIn(file)).toEqual([]),
  );

  it.each(["", "WEBV", "WEBVTTX", "webvtt\n", " WEBVTT\n", "\nWEBVTT", "1\n00:01,000 --> 00:02,000\nno"])(
    "refuses %j for its first word",
    (file) => expect(readWebVtt(file)).toMatchObject({ ok: false, line: 1 }),
  );

  it("takes CRLF, LF and CR for line ends, and puts U+FFFD for NUL", () => {
    const file = (end: string) => ["WEBVTT", "", "a", times, "one", "two", "", times, "th\0ree"].join(end);
    const expected = [
      ["a", 1, 2, "one\ntwo"],
      ["", 1, 2, "th\uFFFDree"],
    ];
    for (const end of ["\r\n", "\n", "\r"]) expect(cuesIn(file(end))).toEqual(expected);
  });

  it("lets a cue begin in the header, or without an empty line after another", () => {
    expect(cuesIn(`WEBVTT\n${times}\na\n${times}\nb`).map(([, , , text]) => text)).toEqual(["a", "b"]);
    expect(cuesIn(`WEBVTT\n\n${times}\na\nnot an id\n${times}\nb`).map(([id, , , text]) => [id, text])).toEqual([
      ["", "a\nnot an id"],
      ["", "b"],
    ]);
  });

  it("takes a comment or a style with times on its second line for a cue of that id", () => {
    expect(cuesIn(`WEBVTT\n\nNOTE x\n${times}\na\n\nSTYLE\n${times}\nb`).map(([id]) => id)).toEqual([
      "NOTE x",
      "STYLE",
    ]);
  });

  it("passes over a block that is no cue up to an empty line or to times on its third line or later", () => {
    expect(cuesIn(`WEBVTT\n\none\ntwo\nthree\n${times}\na`)).toEqual([["", 1, 2, "a"]]);
  });

  it("names a cue whose times it cannot read, by its line, and goes on", () => {
    const read = readWebVtt(`WEBVTT\n\nid\n00:61.000 --> 00:02.000\nno\n\nNOTE not --> this\n\n${times}\nyes`);
    expect(read.ok && read.cues.map(({ text, line }) => [text, line])).toEqual([["yes", 9]]);
    expect(read.ok && read.leftOut).toEqual([{ line: 4, reason: "The times cannot be read: 00:61.000 --> 00:02.000" }]);
  });
});

/** https://www.w3.org/TR/webvtt1/#cue-timings-and-settings-parsing */
describe("timings (6.3)", () => {
  const spanOf = (line: string) => {
    const read = readWebVtt(`WEBVTT\n\n${line}\nx`);
    const [cue] = read.ok ? read.cues : [];
    return cue ? [cue.startSec, cue.endSec] : null;
  };

  it.each([
    ["00:01.000-->00:02.500", 1, 2.5],
    [" \t00:01.000\t-->\f00:02.500", 1, 2.5],
    ["0:00:01.000 --> 1:00:00.000", 1, 3600],
    ["123:00:00.000 --> 1000:00:00.001", 442_800, 3_600_000.001],
    ["00:01.000 --> 00:02.000align:start", 1, 2],
    ["00:01.000 --> 00:02.000 --> 00:03.000", 1, 2],
    ["00:59.999 --> 59:59.999", 59.999, 3599.999],
    ["00:05.000 --> 00:01.000", 5, 1],
  ] as const)("takes %j", (line, from, to) => expect(spanOf(line)).toEqual([from, to]));

  it.each([
    "00:01 --> 00:02",
    "0:01.000 --> 00:02.000",
    "60:00.000 --> 61:00.000",
    "00:60.000 --> 01:00.000",
    "00:60:00.000 --> 01:00:00.000",
    "00:01.00 --> 00:02.00",
    "00:01.0000 --> 00:02.000",
    "00:01.000 x --> 00:02.000",
    "00:01,000 --> 00:02,000",
    "-->",
    "00:01.000 -->",
    "00:01.000\u00A0--> 00:02.000",
    "٠٠:٠١.٠٠٠ --> 00:02.000",
  ])("does not take %j", (line) => expect(spanOf(line)).toBeNull());
});

/** https://www.w3.org/TR/webvtt1/#cue-text-parsing */
it("reads a payload as a person does: tags away, references as their letters", () => {
  expect(textOfCue("<v.loud Ref>&lt;<b>4</b>&gt; &amp;amp; &#52;&#x34; <00:02.000>&nbsp;&lrm;|&unknown; &")).toBe(
    "<4> &amp; 44 \u00A0\u200E|&unknown; &",
  );
  expect(textOfCue("a < b")).toBe("a ");
  expect(textOfCue("&#0;&#xD800;&#x110000;")).toBe("\uFFFD\uFFFD\uFFFD");
});

describe("what is written", () => {
  const cue = fc.record({
    id: fc
      .string({ maxLength: 20, unit: fc.constantFrom("a", "7", "<", "&", ";", "é", " ") })
      .filter((id) => id.trim() === id && id !== ""),
    startSec: fc.integer({ min: 0, max: 30_000_000 }).map((ms) => ms / 1000),
    lengthSec: fc.integer({ min: 0, max: 60_000 }).map((ms) => ms / 1000),
    text: fc
      .string({
        maxLength: 60,
        unit: fc.constantFrom("a", "&", "<", ">", "-", "\n", "{", '"', "&lt;", "-->", "\u2028"),
      })
      .map((text) => text.replaceAll(/\n+/gu, "\n").replaceAll(/^\n|\n$/gu, "")),
  });
  const list = fc.uniqueArray(cue, { maxLength: 8, selector: ({ id }) => id });

  /** webvtt-parser is a checker by an editor of the recommendation: it names all that is not as the standard demands. */
  it("is faultless to an independent checker, which reads the same of it", () => {
    fc.assert(
      fc.property(list, (many) => {
        const cues = many.map(({ lengthSec, ...rest }) => ({ ...rest, endSec: rest.startSec + lengthSec }));
        const file = writeWebVtt("a note --> of\ntwo lines", cues);
        const theirs = new webvtt.WebVTTParser().parse(file, "metadata");
        expect(theirs.errors).toEqual([]);
        const ours = readWebVtt(file);
        if (!ours.ok) throw new Error(ours.reason);
        const own = new Map(ours.cues.map((one) => [one.id, one]));
        expect(own.size).toBe(cues.length);
        expect(theirs.cues).toHaveLength(cues.length);
        for (const one of theirs.cues) {
          expect(own.get(one.id)!.startSec).toBeCloseTo(one.startTime, 6);
          expect(own.get(one.id)!.endSec).toBeCloseTo(one.endTime, 6);
          expect(own.get(one.id)!.payload).toBe(one.text);
        }
        for (const one of cues) {
          const found = own.get(one.id)!;
          expect(found.text).toBe(one.text);
          expect(found.startSec).toBeCloseTo(one.startSec, 6);
          expect(found.endSec).toBeCloseTo(Math.max(one.endSec, one.startSec + 0.001), 6);
        }
      }),
      { numRuns: 500, seed: 7 },
    );
    expect(timestamp(3725.0079)).toBe("01:02:05.008");
    expect(timestamp(400_000)).toBe("111:06:40.000");
  });
});
