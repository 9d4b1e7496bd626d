/**
 * Markup and script in every text that the contract lets a person set, then every place of the window, and every form of report:
 * nothing runs, nothing is asked for, and the text is there to be read. OWASP Cross Site Scripting Prevention Cheat Sheet; ASVS 5.0,
 * 1.2.1. The policy that forbids script is switched off in the browser, so that it alone is not what saves anybody.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright";
import { afterAll, beforeAll, expect, test } from "vitest";
import { changeShape, gradeShape, noteShape, rulingShape } from "#core/contract/shapes";
import { scaleShape } from "#core/contract/settings";
import { put, type Change } from "#core/game/changes";
import { scales } from "#core/grading/scales";
import { bookShape } from "#core/mechanics/book-shape";
import { svgOf } from "#core/report/svg";
import type { Client } from "../../src-renderer/app/client.ts";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { hostileTextsFor, withHostileText } from "../helpers/hostile-text.ts";
import { launchShell, type LaunchedShell } from "../helpers/launch.ts";
import { insideOf } from "../helpers/of-shape.ts";
import { plain, readPdf } from "../helpers/read-pdf.ts";
import { sampleReport } from "../helpers/sample-report.ts";
import { openSocket } from "../main/shells/ask.ts";
import { aGrade, aNote, aRuling } from "../main/store/build-game.ts";

const leaks: string[] = [];
const server = createServer((request, response) => (leaks.push(request.url ?? ""), response.end()));
const folder = mkdtempSync(join(tmpdir(), "crewglass-test-"));

let browser: Browser;
let shell: LaunchedShell;
let context: BrowserContext;
let page: Page;
let client: Client;
let texts: readonly string[];
const filledFields: string[] = [];

const filled = <T>(shape: Parameters<typeof withHostileText>[0], value: T): T => {
  const done = withHostileText(shape, value, texts);
  filledFields.push(...done.fields);
  return done.value;
};

beforeAll(async () => {
  await new Promise<void>((settle) => server.listen(0, "127.0.0.1", settle));
  texts = hostileTextsFor(`http://127.0.0.1:${(server.address() as AddressInfo).port}/leak`);
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
  shell = await launchShell();
  context = await browser.newContext({ bypassCSP: true, viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  page.setDefaultTimeout(15_000);
  await page.goto(shell.address);
  await page.locator("article.finding").first().waitFor();
  const [cookie] = await context.cookies(shell.origin);
  const headers = { cookie: `${cookie?.name}=${cookie?.value}`, origin: shell.origin };
  const line = await openSocket(shell.origin, headers);
  if (!("socket" in line)) throw new Error(`refused with ${line.status}`);
  client = createORPCClient(new RPCLink({ websocket: line.socket as unknown as globalThis.WebSocket }));
  await fillLibrary();
  await page.reload();
  await page.locator("article.finding").first().waitFor();
});

afterAll(async () => {
  await browser.close();
  server.close();
  await shell.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** Every free text of the demo game, of grades, rulings and notes on it, of the settings and of a book of its own. */
async function fillLibrary(): Promise<void> {
  const { demoGameId, observerId } = await client.library.info();
  const gameId = demoGameId ?? "";
  const file = JSON.parse((await client.books.file({ bookId: "flag-crew-of-four" })).text) as Record<string, unknown>;
  const book = await client.books.import({ text: JSON.stringify(filled(bookShape, { ...file, id: "own-book" })) });
  if (!book.ok) throw new Error(`${book.fault.path}: ${book.fault.message}`);
  const opened = await client.games.open({ gameId });
  const rows: Readonly<Record<string, readonly { readonly id: string }[]>> = {
    game: [{ ...opened.game }],
    film: opened.films,
    carry: opened.carries,
  };
  const changes = Object.entries(rows).flatMap(([family, records]) => {
    const option = insideOf(changeShape).options!.find(
      (one) => insideOf(insideOf(one).shape!["family"]!).values![0] === family,
    );
    const record = insideOf(insideOf(option!).shape!["after"]!).innerType!;
    return records.map((before) => {
      const after = filled(record, before);
      const judgedBy = family === "game" ? { ...after, bookId: book.book.id } : after;
      return { family, id: before.id, before, after: judgedBy } as unknown as Change;
    });
  });
  const play = opened.plays[0]!;
  const author = { gameId, authorId: observerId };
  const cells = ["R", "LJ", "FJ", "BJ"];
  const said = [
    ...cells.map((position, index) =>
      put("grade", null, filled(gradeShape, aGrade(play, `h-grade-${index}`, { ...author, position }))),
    ),
    put("ruling", null, filled(rulingShape, { ...aRuling(play, "h-ruling"), ...author })),
    put("note", null, filled(noteShape, { ...aNote(play, "h-note"), ...author })),
  ];
  await client.games.commit({ gameId, label: texts.join("").slice(0, 190), changes: [...changes, ...said] });
  const scale = filled(scaleShape, { ...scales[0], id: "own-scale" });
  await client.library.set({
    observerName: texts[0]!,
    fouls: texts.map((text) => text.slice(0, 110)),
    scales: [{ scale, retired: false }],
  });
  const options = { observerName: true, crewNames: true, measurements: true, carries: false };
  const written = await client.packets.write({ gameId, folder: join(folder, "packets"), options });
  await client.packets.import({ path: join(written.folder, written.files[0]!) });
}

/** Marks of a text that was taken for markup. */
const takenForMarkup = (one: Page) =>
  one.evaluate(() => {
    const hit = (window as unknown as { __hit?: unknown }).__hit;
    const odd = document.querySelectorAll(
      "[onerror],[onload],[onfocus],[onclick],iframe,script:not([src]),a[href^='javascript:'],img[src*='leak'],img[src='x']",
    );
    return { hit: hit ?? null, elements: [...odd].map(({ outerHTML }) => outerHTML.slice(0, 80)) };
  });
const nothing = { hit: null, elements: [] };

test("the texts would do harm: taken for markup, they run and ask", async () => {
  const probe = await context.newPage();
  await probe.goto(`${shell.origin}/film/none`);
  await probe.setContent(texts.join(""));
  await expect.poll(async () => (await takenForMarkup(probe)).hit).toBe(1);
  await expect.poll(() => leaks.length).toBeGreaterThan(0);
  leaks.length = 0;
  await probe.close();
});

/** Clicks a button of the window by its name, where it is there. */
const click = (name: string | RegExp) =>
  page
    .getByRole("button", typeof name === "string" ? { name, exact: true } : { name })
    .first()
    .click();

const places: readonly (readonly [name: string, go: () => Promise<unknown>])[] = [
  ["Games", () => click("Games")],
  [
    "what was found",
    async () => {
      await page.getByRole("searchbox", { name: "Find in the library" }).fill("onerror");
      await page.locator(".find [role=status]", { hasText: /found|first/u }).waitFor();
    },
  ],
  ["a new game", () => click(/^New game/u)],
  ["Breakdown", () => click("Breakdown")],
  ["a cut list given out", () => click("Export a cut list…")],
  ["Field book", () => click("Field book")],
  ...["Play", "Survey", "Marks", "Findings"].map((name): [string, () => Promise<unknown>] => [
    name,
    () => page.getByRole("tab", { name: new RegExp(name, "u") }).click(),
  ]),
  ["the films", () => click("Films…")],
  ["Grades", () => click("Grades")],
  ["a grade", () => page.getByRole("button", { name: /^Play 1, LJ, station:/u }).click()],
  ...["Rulings", "Pages", "Own review", "Teaching", "Sheet"].map((name): [string, () => Promise<unknown>] => [
    name,
    () => click(name),
  ]),
  ["the observer", () => click("Observer")],
  ["Season", () => click("Season")],
  ...["Eligibility", "Agreement", "Observers", "Places", "People", "Packets"].map(
    (name): [string, () => Promise<unknown>] => [name, () => click(name)],
  ),
  ["Mechanics", () => click("Mechanics")],
  ["the own book", () => page.getByText(" 1", { exact: false }).first().click()],
  ["the keys", () => click("Keys")],
];

test("in every place of the window the texts are texts", async () => {
  const asked: string[] = [];
  context.on("request", (request) => asked.push(request.url()));
  const shown: string[] = [];
  for (const [name, go] of places) {
    // A slip that is open stands before everything else.
    await page.keyboard.press("Escape");
    await go();
    await page.waitForTimeout(400);
    expect([name, await takenForMarkup(page)]).toEqual([name, nothing]);
    const said = await page.evaluate(
      () =>
        `${document.body.innerText} ${[...document.querySelectorAll("input,textarea")].map((one) => (one as HTMLInputElement).value).join(" ")}`,
    );
    if (/<img src=x|<svg onload|<\/script>|javascript:window|\$\{window/u.test(said)) shown.push(name);
  }
  console.log(
    `${filledFields.length} texts of ${new Set(filledFields).size} fields; shown as text in ${shown.length} of ${places.length} places: ${shown.join(", ")}`,
  );
  expect(shown).toEqual(expect.arrayContaining(["Games", "what was found", "Rulings", "Packets", "Mechanics"]));
  expect(shown.length).toBeGreaterThan(places.length / 2);
  expect(asked.filter((url) => !url.startsWith(shell.origin) && !/^(?:blob|data):/u.test(url))).toEqual([]);
  expect(leaks).toEqual([]);
});

test(
  "in reports of every form the texts are texts, with scripts allowed and the page's own policy gone",
  { timeout: 180_000 },
  async () => {
    await page.reload();
    await page.locator("article.finding").first().waitFor();
    await click("Grades");
    await click("Pages");
    await page.getByLabel("Into a new folder in").fill(join(folder, "pages"));
    await click(/^Write \d+ pages?$/u);
    await page.getByText(/files written to/u).waitFor({ timeout: 90_000 });
    const { exportId } = await client.exports.begin({
      folder: join(folder, "sample"),
      name: texts.join("").slice(0, 190),
    });
    const sample = sampleReport((of) => `${of} ${texts.join(" ")}`.slice(0, 190));
    // A key of a picture is no text that a person sets.
    const report = JSON.parse(JSON.stringify(sample).replaceAll("lost still", "lost-still")) as typeof sample;
    await client.exports.report({ exportId, file: "sample", document: report, forms: ["html", "pdf"] });
    await client.exports.finish({ exportId });
    const figure = report.blocks.flatMap((block) => (block.kind === "figures" ? block.figures : []))[0]!;
    writeFileSync(join(folder, "picture.svg"), svgOf(figure.picture, texts.join(""), null));

    const files = readdirSync(folder, { recursive: true, encoding: "utf8" }).map((name) => join(folder, name));
    const pages = files.filter((name) => /\.(?:html|svg)$/u.test(name));
    const prints = files.filter((name) => name.endsWith(".pdf"));
    expect([pages.length, prints.length]).toEqual([prints.length + 1, expect.any(Number)]);
    expect(prints.length).toBeGreaterThanOrEqual(5);
    const reader = await browser.newContext({ bypassCSP: true });
    const asked: string[] = [];
    reader.on("request", (request) => asked.push(request.url()));
    for (const name of pages) {
      const text = readFileSync(name, "utf8");
      const lifted = name.replace(/\.(\w+)$/u, "-lifted.$1");
      writeFileSync(lifted, text.replaceAll(/<meta http-equiv="Content-Security-Policy"[^>]*>/gu, ""));
      const one = await reader.newPage();
      await one.goto(pathToFileURL(lifted).href);
      await one.waitForTimeout(200);
      expect([name, await takenForMarkup(one)]).toEqual([name, nothing]);
      expect(await one.evaluate(() => document.querySelectorAll("script").length)).toBe(0);
      if (name.endsWith(".html"))
        expect(await one.evaluate(() => document.body.innerText)).toMatch(/<img|<svg|javascript:|\$\{/u);
      await one.close();
    }
    await reader.close();
    for (const name of prints) {
      const bytes = readFileSync(name);
      // ISO 32000-1, 12.6.4: actions that a reader would carry out.
      expect(bytes.toString("latin1")).not.toMatch(
        /\/(?:JavaScript|JS|Launch|URI|OpenAction|SubmitForm|EmbeddedFile)\b/u,
      );
      const { pages: printed } = await readPdf(bytes);
      expect(plain(printed.map(({ text }) => text).join(" "))).toMatch(/window\.\s*__hit|onerror|javascript:/u);
    }
    console.log(
      `${pages.length} HTML and SVG files and ${prints.length} PDF files read: nothing ran, nothing was asked for`,
    );
    expect(asked.filter((url) => !/^(?:file|data|blob):/u.test(url))).toEqual([]);
    expect(leaks).toEqual([]);
  },
);
