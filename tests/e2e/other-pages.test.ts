/**
 * A real browser as the attacker: pages of others, open beside the window in the same browser, which holds its cookie. OWASP
 * Cross-Site Request Forgery Prevention Cheat Sheet, WebSocket Security Cheat Sheet ("Cross-Site WebSocket Hijacking"),
 * Clickjacking Defense Cheat Sheet, HTML5 Security Cheat Sheet; Fetch Metadata (https://www.w3.org/TR/fetch-metadata/). What the
 * browser itself refuses counts too: a person's window is in one.
 */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { type Browser, type BrowserContext, chromium, type Page, type Request } from "playwright";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Client } from "../../src-renderer/app/client.ts";
import { attackFromPage, type Target } from "../helpers/attack-from-page.ts";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell, type LaunchedShell } from "../helpers/launch.ts";
import { openSocket } from "../main/shells/ask.ts";

const html = "<!doctype html><title>Another page</title><body></body>";
const server = createServer((_request, response) => {
  response.writeHead(200, { "content-type": "text/html" });
  response.end(html);
});
const folder = mkdtempSync(join(tmpdir(), "crewglass-test-"));

let browser: Browser;
let shell: LaunchedShell;
let context: BrowserContext;
let window: Page;
let target: Target;
let otherPort: number;
/** The window's own requests go on beside, and are answered. */
const asksOfWindow = new WeakSet<Request>();

beforeAll(async () => {
  // As when a name of the attacker's is made to lead to this machine.
  const rebound = "--host-resolver-rules=MAP rebound.example 127.0.0.1";
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: [...chromiumFlags(), rebound] });
  await new Promise<void>((settle) => server.listen(0, "127.0.0.1", settle));
  otherPort = (server.address() as AddressInfo).port;
  shell = await launchShell();
  context = await browser.newContext();
  window = await context.newPage();
  window.on("request", (request) => asksOfWindow.add(request));
  await window.goto(shell.address);
  await window.getByText("frame 48").waitFor();
  const loaded = await window.evaluate(() => performance.getEntriesByType("resource").map(({ name }) => name));
  const path = (wanted: RegExp) => new URL(loaded.find((name) => wanted.test(name)) ?? "").pathname;
  const icon = await window.evaluate(() => document.querySelector<HTMLLinkElement>("link[rel=icon]")?.href ?? "");
  const paths = { filmPath: path(/\/film\//u), assetPath: path(/\.js$/u), imagePath: new URL(icon).pathname };
  target = { origin: shell.origin, ...paths };
});

afterAll(async () => {
  await browser.close();
  server.close();
  await shell.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** All that the library would show of a change: its games and how far each has come. */
async function libraryNow(): Promise<unknown> {
  const [cookie] = await context.cookies(shell.origin);
  const headers = { cookie: `${cookie?.name}=${cookie?.value}`, origin: shell.origin };
  const line = await openSocket(shell.origin, headers);
  if (!("socket" in line)) throw new Error(`refused with ${line.status}`);
  const client: Client = createORPCClient(new RPCLink({ websocket: line.socket as unknown as globalThis.WebSocket }));
  const games = await client.games.list();
  const opened = await Promise.all(games.map(({ id }) => client.games.open({ gameId: id })));
  const settings = await client.library.settings();
  line.socket.close();
  return { games, settings, sequences: opened.map(({ sequence, history }) => ({ sequence, history })) };
}

/** Where each page lies, and whether the browser would send the window's cookie from it. */
const pages: readonly (readonly [name: string, address: () => string])[] = [
  ["another server of this machine, which is the same site", () => `http://127.0.0.1:${otherPort}/`],
  ["another server by the name of localhost", () => `http://localhost:${otherPort}/`],
  ["the window's own server by the name of localhost", () => shell.origin.replace("127.0.0.1", "localhost")],
  ["a name that was made to lead here", () => shell.origin.replace("127.0.0.1", "rebound.example")],
  ["a page out of its own address", () => `data:text/html,${encodeURIComponent(html)}`],
  ["an empty page", () => "about:blank"],
  [
    "a file of this machine",
    () => {
      const path = join(folder, "page.html");
      writeFileSync(path, html);
      return pathToFileURL(path).href;
    },
  ],
];

let tried = 0;

test.each(pages)("%s reads nothing and changes nothing", async (_, address) => {
  const before = await libraryNow();
  const page = await context.newPage();
  const answered: { url: string; status: number }[] = [];
  context.on("response", (response) => {
    if (response.url().startsWith(shell.origin) && !asksOfWindow.has(response.request()))
      answered.push({ url: response.url(), status: response.status() });
  });
  await page.goto(address());
  const reached = await page.evaluate(attackFromPage, target);
  tried += Object.keys(reached).length;
  expect(Object.keys(reached).length).toBeGreaterThan(40);
  expect(Object.entries(reached).filter(([, how]) => /^(?:READ|DONE)/u.test(how))).toEqual([]);
  // What the browser let through was refused here.
  expect(answered.filter(({ status }) => ![400, 401, 403, 404, 405, 421].includes(status))).toEqual([]);
  // Being led there from the page shows nothing of the window either.
  await page.evaluate((origin) => void (document.location.href = `${origin}/`), shell.origin);
  await expect.poll(() => page.url()).toMatch(/^(?:http:\/\/127\.0\.0\.1|chrome-error|data:|about:|file:)/u);
  expect(await page.title()).not.toBe("Herons");
  expect(await page.locator("article.finding").count()).toBe(0);
  await page.close();
  for (const left of context.pages()) if (left !== window) await left.close();
  context.removeAllListeners("response");
  expect(await libraryNow()).toEqual(before);
  expect(await window.getByText("frame 48").isVisible()).toBe(true);
});

test("the same tries get at everything from the window's own address, so that they would be seen", async () => {
  const own = await context.newPage();
  await own.goto(`${shell.origin}/`);
  const reached = await own.evaluate(attackFromPage, target);
  const got = Object.entries(reached).flatMap(([name, how]) => (/^(?:READ|DONE)/u.test(how) ? [name] : []));
  expect(got).toEqual(
    expect.arrayContaining(["fetch, cors", "fetch of the film", "XMLHttpRequest", "WebSocket", "img"]),
  );
  // Several films at once share what the browser has of decoders.
  expect(got.filter((name) => /video|audio/u.test(name))).not.toEqual([]);
  expect(got.length).toBeGreaterThan(20);
  await own.close();
  console.log(`${tried} tries from ${pages.length} pages of others: nothing was read, nothing changed`);
});
