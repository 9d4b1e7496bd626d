/** The browser shell met by a real browser: its own page, and a page of somebody else on the same machine. */
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { type Browser, chromium, type Page } from "playwright";
import { afterAll, beforeAll, expect, onTestFinished, test } from "vitest";
import { chromiumFlags, findChromium } from "../helpers/chromium.ts";
import { launchShell } from "../helpers/launch.ts";

let browser: Browser;

beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findChromium() ?? "", args: chromiumFlags() });
});
afterAll(() => browser.close());

async function aPage(): Promise<{ page: Page; complaints: string[] }> {
  const context = await browser.newContext();
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));
  return { page, complaints };
}

const film = (page: Page) => page.getByText("frame 48");

test("the window opens on the demo game, under its policy, and again after a reload", async () => {
  const shell = await launchShell();
  onTestFinished(() => shell.stop().then(() => {}));
  const { page, complaints } = await aPage();
  await page.goto(shell.address);
  await film(page).waitFor();
  expect(page.url()).toBe(`${shell.origin}/`);
  expect(await page.evaluate(() => [crossOriginIsolated, document.cookie])).toEqual([true, ""]);
  await page.reload();
  await film(page).waitFor();
  expect(complaints).toEqual([]);

  const second = await aPage();
  const reply = await second.page.goto(shell.address);
  expect(reply?.status()).toBe(401);
  expect(await second.page.innerText("body")).toContain("start Crewglass again");
});

test("a window whose program has ended says so", async () => {
  const shell = await launchShell();
  const { page } = await aPage();
  await page.goto(shell.address);
  await film(page).waitFor();
  await shell.stop();
  const notice = page.getByText(/not answering/u).first();
  await notice.waitFor();
  expect(await notice.isVisible()).toBe(true);
});

test("a page of another server on this machine reaches nothing, though the browser would send it the cookie", async () => {
  const shell = await launchShell();
  onTestFinished(() => shell.stop().then(() => {}));
  const { page } = await aPage();
  await page.goto(shell.address);
  await film(page).waitFor();
  const filmPath = await page.evaluate(
    () => performance.getEntriesByType("resource").find((entry) => entry.name.includes("/film/"))?.name ?? "",
  );
  expect(filmPath).toContain(`${shell.origin}/film/`);

  const other = await listen();
  onTestFinished(() => void other.server.close());
  await page.goto(other.origin);
  const reached = await page.evaluate(
    async ([origin = "", path = ""]) => {
      const tries: Record<string, Promise<string>> = {
        read: fetch(`${origin}/`, { credentials: "include" }).then((reply) => `read ${reply.status}`),
        write: fetch(`${origin}/rpc`, { method: "POST", credentials: "include", body: "{}" }).then(
          (reply) => `wrote ${reply.status}`,
        ),
        socket: new Promise((settle) => {
          const socket = new WebSocket(`${origin.replace("http", "ws")}/rpc`);
          socket.addEventListener("open", () => settle("opened"));
          socket.addEventListener("error", () => settle("refused"));
        }),
        film: new Promise((settle) => {
          const video = document.createElement("video");
          video.addEventListener("loadedmetadata", () => settle("shown"));
          video.addEventListener("error", () => settle("refused"));
          video.src = path;
        }),
        script: new Promise((settle) => {
          const script = document.createElement("script");
          script.addEventListener("load", () => settle("ran"));
          script.addEventListener("error", () => settle("refused"));
          script.src = `${origin}/`;
          document.head.append(script);
        }),
        frame: new Promise((settle) => {
          const frame = document.createElement("iframe");
          frame.addEventListener("load", () => settle("loaded"));
          frame.src = `${origin}/`;
          document.body.append(frame);
        }),
      };
      const entries = Object.entries(tries).map(async ([name, attempt]) => [
        name,
        await attempt.catch(() => "refused"),
      ]);
      return Object.fromEntries(await Promise.all(entries)) as Record<string, string>;
    },
    [shell.origin, filmPath],
  );
  expect(reached).toEqual({
    read: "refused",
    write: "refused",
    socket: "refused",
    film: "refused",
    script: "refused",
    frame: "loaded",
  });
  // A refused frame loads the browser's own page of complaint in the place of the shell's.
  expect(page.frames().map((frame) => frame.url())).toEqual([`${other.origin}/`, "chrome-error://chromewebdata/"]);

  // A link there leads nowhere either: the request is marked as coming from another page.
  await page.evaluate((origin) => (document.location.href = `${origin}/`), shell.origin);
  await page.waitForURL(`${shell.origin}/`);
  expect(await page.innerText("body")).toContain("refused");
});

async function listen(): Promise<{ readonly server: Server; readonly origin: string }> {
  const server = createServer((_request, response) => {
    response.writeHead(200, { "content-type": "text/html" });
    response.end("<!doctype html><title>Another page</title><body></body>");
  });
  await new Promise<void>((settle) => server.listen(0, "127.0.0.1", settle));
  return { server, origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}` };
}
