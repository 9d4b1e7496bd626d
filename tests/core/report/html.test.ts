import { expect, test } from "vitest";
import type { Block, ReportDocument } from "#core/report/document";
import { htmlReport } from "#core/report/html";
import { outlined } from "#core/report/outline";
import { type Element, elements, readMarkup, textIn } from "../../helpers/markup.ts";
import { sampleAssets, sampleReport, textsOf } from "../../helpers/sample-report.ts";

const page = readMarkup(htmlReport(sampleReport(), sampleAssets()));
const one = (name: string) => elements(page, name)[0]!;
const within = (name: string, of: Element = page) => elements(of, name);

const styleIn = ({ children }: Element) => children.filter((child) => typeof child === "string").join("");

test("every text of the document is on the page", () => {
  const said = `${textIn(page)} ${elements(page)
    .map(({ attributes }) => attributes["aria-label"] ?? "")
    .join(" ")}`;
  for (const text of textsOf(sampleReport()).filter((it) => it !== "●")) expect(said).toContain(text);
});

test("hostile text in every text field stays text", () => {
  const hostile = (of: string) => `${of}</p></title></style><script>alert(1)</script><img src=x onerror=y>"'&amp;`;
  const document = sampleReport(hostile);
  const read = readMarkup(htmlReport(document, sampleAssets()));
  const usual = new Set(elements(page).map(({ name, attributes }) => `${name} ${Object.keys(attributes).join()}`));
  for (const { name, attributes } of elements(read)) {
    expect(usual).toContain(`${name} ${Object.keys(attributes).join()}`);
  }
  const said = `${textIn(read)} ${elements(read)
    .map(({ attributes }) => attributes["aria-label"] ?? "")
    .join(" ")}`;
  for (const text of textsOf(document).filter((it) => it !== "●")) expect(said).toContain(text);
});

test("the page asks for nothing and runs nothing", () => {
  const policy = within("meta").find(({ attributes }) => attributes["http-equiv"] === "Content-Security-Policy");
  expect(policy?.attributes["content"]).toBe(
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; media-src data:",
  );
  expect(within("script")).toEqual([]);
  for (const { name, attributes } of elements(page)) {
    for (const [key, value] of Object.entries(attributes)) {
      expect(key.startsWith("on"), `${name} ${key}`).toBe(false);
      if (["src", "href", "action", "srcset", "poster"].includes(key)) expect(value, name).toMatch(/^data:/u);
    }
  }
  for (const style of within("style")) expect(styleIn(style)).not.toMatch(/url\(|@import/u);
});

test("it has a language, a title and headings in order from one first", () => {
  expect(one("html").attributes["lang"]).toBe("en");
  expect(textIn(one("title"))).toBe("Herons at Lanterns");
  const levels = elements(page).flatMap(({ name }) => (/^h[1-6]$/u.test(name) ? [Number(name[1])] : []));
  expect(levels.filter((level) => level === 1)).toHaveLength(1);
  expect(levels[0]).toBe(1);
  for (const [i, level] of levels.slice(1).entries()) expect(level).toBeLessThanOrEqual(levels[i]! + 1);
});

test("headings leave no level out on the way down, whatever the document asks for", () => {
  const heading = (level: 2 | 3): Block => ({ kind: "heading", level, text: "h" });
  const card: Block = { kind: "card", heading: "c", verdict: null, sentences: [], figures: [], facts: [] };
  const document: ReportDocument = {
    title: "t",
    lines: [],
    footer: "f",
    blocks: [card, heading(3), card, heading(3), card, heading(2), card],
  };
  expect(outlined(document).map(({ level }) => level)).toEqual([2, 2, 3, 3, 4, 2, 3]);
});

test("tables have captions and heads with a scope, and figures a picture with a name and a caption", () => {
  const [table] = within("table");
  const [wide] = within("div").filter((div) => within("table", div)[0] === table);
  expect(wide!.attributes).toMatchObject({ role: "region", tabindex: "0", "aria-label": "Stations" });
  expect(textIn(within("caption", table)[0]!)).toBe("Stations");
  expect(within("th", table).map((th) => [th.attributes["scope"], textIn(th)])).toEqual([
    ["col", "Play"],
    ["col", "Yards"],
    ["row", "Play 21"],
    ["row", "Play 22"],
  ]);
  expect(within("td", table).map((td) => [td.attributes["class"], textIn(td)])).toEqual([
    ["end short", "6.25"],
    ["end short", "7.75"],
  ]);
  const figures = within("figure");
  expect(figures).toHaveLength(6);
  for (const figure of figures) {
    expect(within("figcaption", figure)).toHaveLength(1);
    const [seen] = [...within("svg", figure), ...within("video", figure)];
    expect(seen?.attributes["aria-label"]).toMatch(/^alt of /u);
  }
});

test("a card says its verdict in words, with a mark of its own", () => {
  const verdicts = within("article").map((card) => within("p", card).map(textIn)[0] ?? null);
  expect(verdicts).toEqual(["✕ missed", "✓ met", "? cannot tell", null]);
  for (const card of within("article")) {
    const named = elements(card).find(({ attributes }) => attributes["id"] === card.attributes["aria-labelledby"]);
    expect(named?.name).toMatch(/^h[234]$/u);
  }
});

test("steps are radio buttons, each with a label and a picture that it alone shows", () => {
  const [steps] = within("fieldset");
  const inputs = within("input", steps);
  const labels = within("label", steps);
  expect(inputs.map(({ attributes }) => attributes["type"])).toEqual(["radio", "radio"]);
  expect(new Set(inputs.map(({ attributes }) => attributes["name"])).size).toBe(1);
  expect(inputs.filter(({ attributes }) => "checked" in attributes)).toHaveLength(1);
  expect(labels.map((label) => [label.attributes["for"], textIn(label)])).toEqual(
    inputs.map(({ attributes }, i) => [attributes["id"], ["snap", "catch"][i]]),
  );
  const rules = within("style", steps).map(styleIn).join("");
  const ids = new Set(elements(page).flatMap(({ attributes }) => attributes["id"] ?? []));
  const named = Array.from(rules.matchAll(/#([\w-]+)/gu), ([, id]) => id!);
  expect(named).toHaveLength(4);
  for (const id of named) expect(ids).toContain(id);
});

test("no two elements share an id", () => {
  const ids = elements(page).flatMap(({ attributes }) => attributes["id"] ?? []);
  expect(ids.length).toBeGreaterThan(5);
  expect(new Set(ids).size).toBe(ids.length);
});

test("stills and moving pictures are in the page, and it says where one is missing", () => {
  const assets = sampleAssets();
  const [image] = within("image");
  expect(within("image")).toHaveLength(1);
  const still = Buffer.from(assets.get("still")!.bytes).toString("base64");
  expect(image!.attributes["href"] === `data:image/jpeg;base64,${still}`).toBe(true);
  const moving = Buffer.from(assets.get("moving")!.bytes).toString("base64");
  expect(one("video").attributes["src"] === `data:video/webm;base64,${moving}`).toBe(true);
  expect(textIn(page).match(/The film’s picture is missing here/gu)).toHaveLength(1);
  const without = textIn(readMarkup(htmlReport(sampleReport(), new Map())));
  expect(without.match(/The film’s picture is missing here/gu)).toHaveLength(2);
  expect(without).toContain("The moving picture is missing here. alt of the moving one");
});

test("a document with nothing in its lists has no empty lists on its page", () => {
  const document: ReportDocument = {
    title: "t",
    lines: [],
    footer: "f",
    blocks: [
      { kind: "facts", facts: [] },
      { kind: "figures", figures: [] },
      { kind: "steps", name: "none", steps: [] },
      { kind: "table", caption: "c", columns: [{ name: "n", align: "start" }], rows: [] },
    ],
  };
  const read = readMarkup(htmlReport(document, new Map()));
  for (const name of ["dl", "fieldset", "figure"]) expect(elements(read, name)).toEqual([]);
  expect(elements(read, "table")).toHaveLength(1);
});
