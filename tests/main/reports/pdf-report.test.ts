import { beforeAll, expect, test } from "vitest";
import type { Block, ReportDocument } from "#core/report/document";
import { type PdfOptions, pdfReport } from "../../../src-main/reports/pdf-report.ts";
import { readReportFonts } from "../../../src-main/reports/report-fonts.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { plain, type ReadPdf, readPdf, tagsOf } from "../../helpers/read-pdf.ts";
import { sampleAssets, sampleReport, textsOf } from "../../helpers/sample-report.ts";

const fonts = readReportFonts(projectRoot);
const madeAt = new Date("2026-09-14T18:00:00Z");
const written = (document: ReportDocument, options: Partial<PdfOptions> = {}) =>
  pdfReport(document, sampleAssets(), { fonts, madeAt, ...options });
const of = (...blocks: Block[]): ReportDocument => ({ title: "Herons", lines: [], footer: "Private", blocks });

let bytes: Uint8Array;
let sample: ReadPdf;
let whole: string;
beforeAll(async () => {
  bytes = await written(sampleReport());
  sample = await readPdf(bytes);
  whole = sample.pages.map(({ text }) => text).join(" ");
});

test("every sentence and number of the document is read back, words apart", () => {
  const alts = sample.pages.flatMap(({ tags }) => tagsOf(tags, "Figure").map(({ alt }) => alt));
  for (const text of textsOf(sampleReport())) {
    // The ball is a dot; alt texts are said and not shown.
    if (text === "●") continue;
    if (text.startsWith("alt of") && text !== "alt of the moving one") expect(alts).toContain(text);
    else expect(whole).toContain(plain(text));
  }
  expect(whole).toContain("✕ missed");
  expect(whole).toContain("✓ met");
  expect(whole).toContain("? cannot tell");
});

test("it is tagged: a title, headings in order, tables with heads, lists of facts, figures with their alt texts", () => {
  expect(sample.isMarked).toBe(true);
  expect(sample.lang).toBe("en");
  expect(sample.info).toMatchObject({ Title: "Herons at Lanterns", PDFFormatVersion: "1.7" });
  const all = (role: string) => sample.pages.flatMap(({ tags }) => tagsOf(tags, role));
  expect(all("H1").map(({ text }) => text)).toEqual(["Herons at Lanterns"]);
  expect(all("H2").map(({ text }) => text)).toEqual(["In short", "Pictures"]);
  expect(all("H3").map(({ text }) => text)).toEqual(["Findings"]);
  expect(all("H4").map(({ text }) => text)).toEqual(["Play 4: ST-LJ-PRE", "Play 5", "Play 6", "Play 7"]);
  const [table] = all("Table");
  expect(tagsOf(table!, "Caption").map(({ text }) => text)).toEqual(["Stations"]);
  expect(tagsOf(table!, "TR")).toHaveLength(3);
  expect(tagsOf(table!, "TH").map(({ text }) => text)).toEqual(["Play", "Yards", "Play 21", "Play 22"]);
  expect(tagsOf(table!, "TD").map(({ text }) => text)).toEqual(["6.25", "7.75"]);
  expect(all("LI").map(({ text }) => text)).toEqual(["Depth 6.3 yd (5.9–6.6)", "Book edition 3", "Stood at 12.75 yd"]);
  expect(all("Figure").map(({ alt }) => alt)).toEqual([
    "alt of the still",
    "alt of the plan",
    "alt of one that is lost",
    "alt of the snap",
    "alt of the catch",
  ]);
  const source = Buffer.from(bytes).toString("latin1");
  expect(source.match(/\/Scope \/Column/gu)).toHaveLength(2);
  expect(source.match(/\/Scope \/Row/gu)).toHaveLength(2);
  expect(source).toMatch(/\/DisplayDocTitle true/u);
  expect(source).toMatch(/<pdfuaid:part>1</u);
});

test("all that is drawn is either tagged or said to be ornament", async () => {
  const { inflateSync } = await import("node:zlib");
  const source = Buffer.from(bytes);
  const streams = Array.from(source.toString("latin1").matchAll(/\/Filter \/FlateDecode\n>>\nstream\n/gu), (match) =>
    inflateSync(source.subarray(match.index + match[0].length)).toString("latin1"),
  );
  const pages = streams.filter((stream) => stream.startsWith("1 0 0 -1 0 841.89 cm"));
  expect(pages).toHaveLength(sample.pages.length);
  let drawn = 0;
  for (const page of pages) {
    let depth = 0;
    for (const line of page.split("\n")) {
      if (/ (?:BDC|BMC)$/u.test(line)) depth++;
      else if (line === "EMC") depth--;
      else if (/(?:^| )(?:f|f\*|S|B|Do|TJ|Tj)$/u.test(line)) {
        drawn++;
        expect(depth, line).toBe(1);
      }
    }
    expect(depth).toBe(0);
  }
  expect(drawn).toBeGreaterThan(100);
});

test("every font is inside, and none is one that the reader is asked to have", () => {
  const source = Buffer.from(bytes).toString("latin1");
  const descriptors = source.match(/\/Type \/FontDescriptor[^]*?>>/gu) ?? [];
  expect(descriptors).toHaveLength(3);
  for (const descriptor of descriptors) expect(descriptor).toMatch(/\/FontFile2 \d+ 0 R/u);
  expect(source.match(/\/Subtype \/Type0/gu)).toHaveLength(3);
  expect(source).not.toMatch(/\/Subtype \/(?:Type1|TrueType|Type3)/u);
});

test("each page says whom it is about, and which of how many it is", async () => {
  const many = Array.from({ length: 120 }, (_, i): Block => ({ kind: "text", tone: "plain", text: `Line ${i}` }));
  const { pages } = await readPdf(await written(of(...many)));
  expect(pages.length).toBeGreaterThan(2);
  for (const [i, { text, tags }] of pages.entries()) {
    expect(text).toContain(`page ${i + 1} of ${pages.length}`);
    expect(text).toContain("Private");
    // Read out once, at the end.
    expect(tags.text.includes("Private")).toBe(i === pages.length - 1);
    expect(tags.text).not.toContain("page 1 of");
  }
});

test("a table of two hundred rows has its heads on every page, once in its tags, and no row is lost", async () => {
  const rows = Array.from({ length: 200 }, (_, i) => [`Row ${i + 1}`, `said of ${i + 1}`]);
  const columns = [
    { name: "Numbered", align: "start" },
    { name: "What was said", align: "end" },
  ] as const;
  const { pages } = await readPdf(await written(of({ kind: "table", caption: "Many", columns, rows })));
  expect(pages.length).toBeGreaterThan(3);
  for (const { text } of pages) expect(text.match(/Numbered/gu)).toHaveLength(1);
  const heads = pages.flatMap(({ tags }) => tagsOf(tags, "TH").map(({ text }) => text));
  expect(heads).toEqual(["Numbered", "What was said", ...rows.map(([name]) => name)]);
  expect(pages.flatMap(({ tags }) => tagsOf(tags, "TD").map(({ text }) => text))).toEqual(rows.map(([, said]) => said));
});

test("nothing runs over the edge: long words, long cells, many columns, long footers", async () => {
  const word = "Wolfeschlegelsteinhausenbergerdorff".repeat(8);
  const wide = Array.from({ length: 16 }, (_, i) => ({ name: `Measured quantity ${i}`, align: "end" as const }));
  const document: ReportDocument = {
    title: word,
    lines: [word],
    footer: `About ${word} ${"and more ".repeat(2000)}`,
    blocks: [
      { kind: "heading", level: 2, text: word },
      { kind: "text", tone: "caution", text: word },
      { kind: "facts", facts: [{ name: word, value: word }] },
      {
        kind: "card",
        heading: word,
        verdict: "missed",
        sentences: [word],
        figures: [],
        facts: [{ name: word, value: word }],
      },
      { kind: "table", caption: word, columns: wide, rows: [wide.map(() => word), wide.map(() => "1234.5678")] },
      {
        kind: "table",
        caption: "Long",
        columns: wide.slice(0, 2),
        rows: [["A row", "of many words ".repeat(2000)]],
      },
    ],
  };
  const { pages } = await readPdf(await written(document));
  const items = pages.flatMap((page) => page.items).filter(({ text }) => text.trim() !== "");
  expect(items.length).toBeGreaterThan(200);
  for (const { text, xPt, yPt, widthPt } of items) {
    expect(xPt, text).toBeGreaterThan(53);
    expect(xPt + widthPt, text).toBeLessThan(595.28 - 53);
    expect(yPt, text).toBeGreaterThan(20);
    expect(yPt, text).toBeLessThan(841.89 - 40);
  }
  const text = pages.map((page) => page.text).join(" ");
  expect(text.match(/\bof many\b|\bwords\b/gu)).toHaveLength(4000);
  expect(/more and …/u.test(text)).toBe(true);
  // Body text stays above the footer.
  for (const page of pages) {
    const number = page.items.find((item) => item.text.startsWith("page "))!;
    const below = page.items.filter((item) => item.yPt < number.yPt && /of many words/u.test(item.text));
    expect(below).toEqual([]);
  }
});

test("a card stays on one page where it fits on one, and a heading with what is under it", async () => {
  const blocks = Array.from({ length: 30 }, (_, i): Block[] => [
    { kind: "heading", level: 2, text: `Heading ${i}.` },
    {
      kind: "card",
      heading: `Card ${i}.`,
      verdict: "met",
      sentences: Array.from({ length: 5 + (i % 7) }, (__, j) => `Sentence ${i}.${j}.`),
      figures: [],
      facts: [{ name: `Fact ${i}.`, value: "1" }],
    },
  ]).flat();
  const { pages } = await readPdf(await written(of(...blocks)));
  expect(pages.length).toBeGreaterThan(4);
  for (let i = 0; i < 30; i++) {
    const on = pages.flatMap(({ text }, page) => (text.includes(`Card ${i}.`) ? [page] : []));
    expect(on).toHaveLength(1);
    const { text } = pages[on[0]!]!;
    for (const said of [`Heading ${i}.`, `Sentence ${i}.0.`, `Sentence ${i}.${4 + (i % 7)}.`, `Fact ${i}.`]) {
      expect(text).toContain(said);
    }
  }
});

test("a card longer than a page goes on to the next", async () => {
  const sentences = Array.from({ length: 90 }, (_, i) => `Sentence ${i}.`);
  const card: Block = { kind: "card", heading: "Long", verdict: "missed", sentences, figures: [], facts: [] };
  const { pages } = await readPdf(await written(of({ kind: "heading", level: 2, text: "Before" }, card)));
  expect(pages.length).toBeGreaterThan(1);
  expect(pages[0]!.text).toContain("Before Long ✕ missed Sentence 0.");
  const text = pages.map((page) => page.text).join(" ");
  for (const sentence of sentences) expect(text).toContain(sentence);
});

test("letters that the fonts have not are seen to be missing, one for each; control characters and lone halves too", async () => {
  const text = "Name 田中 and \u{1F3C8} ok, Ёжиков Ἀθηνᾶ Łódź ĦŊƷ ≈≠≤−′°·–… \u0007 \uD800 end";
  const { pages } = await readPdf(await written(of({ kind: "text", tone: "plain", text })));
  expect(pages[0]!.text).toContain("Name �� and � ok, Ёжиков Ἀθηνᾶ Łódź ĦŊƷ ≈≠≤−′°·–… � � end");
});

test("a hostile title leaves the file's own description well formed", async () => {
  const title = "A </rdf:li> & <b>";
  const hostile = await written({ ...of(), title });
  expect(Buffer.from(hostile).toString("utf8")).toContain("A &lt;/rdf:li&gt; &amp; &lt;b&gt;");
  expect((await readPdf(hostile)).info).toMatchObject({ Title: title });
});

test("stills lie under their lines, and one that is lost or is no picture is said to be missing", async () => {
  const images = (source: Uint8Array) =>
    Buffer.from(source)
      .toString("latin1")
      .match(/\/Subtype \/Image/gu) ?? [];
  expect(images(bytes)).toHaveLength(1);
  expect(whole.match(/The film’s picture is missing here/gu)).toHaveLength(1);
  const broken = new Map([["still", { type: "image/jpeg" as const, bytes: new Uint8Array([1, 2, 3]) }]]);
  const without = await pdfReport(sampleReport(), broken, { fonts, madeAt });
  expect(images(without)).toHaveLength(0);
  const text = (await readPdf(without)).pages.map((page) => page.text).join(" ");
  expect(text.match(/The film’s picture is missing here/gu)).toHaveLength(2);
});

test("a still that is drawn many times is written once", async () => {
  const [figure] = sampleReport().blocks.flatMap((block) => (block.kind === "card" ? block.figures : []));
  const once = await written(of({ kind: "figures", figures: [figure!] }));
  const often = await written(of({ kind: "figures", figures: Array.from({ length: 9 }, () => figure!) }));
  const images = (source: Uint8Array) =>
    Buffer.from(source)
      .toString("latin1")
      .match(/\/Subtype \/Image/gu) ?? [];
  expect(images(once)).toHaveLength(1);
  expect(images(often)).toHaveLength(1);
});

test("the same document makes the same bytes, whenever it is written; another time of making does not", async () => {
  const again = await written(sampleReport());
  expect(Buffer.compare(bytes, again)).toBe(0);
  const later = await written(sampleReport(), { madeAt: new Date("2026-09-15T18:00:00Z") });
  expect(Buffer.compare(bytes, later)).not.toBe(0);
});

test("headings are in the file's outline", () => {
  expect(sample.outline).toEqual(["In short", "Findings", "Pictures"]);
});

const long = of(
  ...Array.from({ length: 200 }, (_, i): Block => {
    return { kind: "text", tone: "plain", text: `Sentence ${i} of a long report. `.repeat(20) };
  }),
);

test("progress goes from little to all", async () => {
  const seen: number[] = [];
  await written(long, { onProgress: ({ done, total }) => seen.push(done / total) });
  expect(seen[0]).toBeLessThan(0.1);
  expect(seen.at(-1)).toBe(1);
  expect(seen.toSorted((a, b) => a - b)).toEqual(seen);
});

test("whoever waits is answered while a report is written", async () => {
  let turns = 0;
  const timer = setInterval(() => turns++, 1);
  const started = performance.now();
  await written(long);
  const tookMs = performance.now() - started;
  clearInterval(timer);
  // A turn at least every tenth of a second, but for the slowest machines' worst moments.
  expect(turns).toBeGreaterThan(Math.min(5, tookMs / 100));
});

test("a signal ends the work: at once when it was given before, and midway with its own reason", async () => {
  const before = new AbortController();
  before.abort(new Error("not wanted"));
  await expect(written(long, { signal: before.signal })).rejects.toThrow("not wanted");
  const midway = new AbortController();
  let last = 0;
  const work = written(long, {
    signal: midway.signal,
    onProgress: ({ done, total }) => {
      last = done / total;
      if (last > 0.3) midway.abort(new Error("enough"));
    },
  });
  await expect(work).rejects.toThrow("enough");
  expect(last).toBeLessThan(0.35);
});
