/** Attacks on the running browser shell, each from outside its process. */
import { randomBytes } from "node:crypto";
import { readdirSync, readlinkSync, statSync } from "node:fs";
import { join } from "node:path";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { afterAll, beforeAll, describe, expect, test, vi } from "vitest";
import type { WebSocket } from "ws";
import type { Client } from "../../../src-renderer/app/client.ts";
import { type LaunchedShell, launchShell, projectRoot } from "../../helpers/launch.ts";
import { ask, askRaw, cookieOf, openSocket } from "./ask.ts";

let shell: LaunchedShell;
let origin: string;
let host: string;
let cookie: string;

/** The headers that the shell's own page sends. */
const own = (): Record<string, string> => ({ cookie, origin });

async function ownSocket(): Promise<WebSocket> {
  const opened = await openSocket(origin, own());
  if (!("socket" in opened)) throw new Error(`the shell's own page was refused with ${opened.status}`);
  return opened.socket;
}

const clientOn = (socket: WebSocket): Client =>
  createORPCClient(new RPCLink({ websocket: socket as unknown as globalThis.WebSocket }));

async function expectStillServing(): Promise<void> {
  const socket = await ownSocket();
  expect((await clientOn(socket).library.info()).path).toBe(shell.libraryPath);
  socket.close();
  expect((await ask(origin, "/", { headers: { cookie } })).status).toBe(200);
}

async function demoFilmId(): Promise<string> {
  const socket = await ownSocket();
  const client = clientOn(socket);
  const { demoGameId } = await client.library.info();
  const game = await client.games.open({ gameId: demoGameId ?? "" });
  socket.close();
  return game.films[0]?.id ?? "";
}

/** What a process has open, from Linux's /proc. */
function filesOpenIn(pid: number): readonly string[] {
  return readdirSync(`/proc/${pid}/fd`).flatMap((fd) => {
    try {
      return [readlinkSync(`/proc/${pid}/fd/${fd}`)];
    } catch {
      return [];
    }
  });
}

beforeAll(async () => {
  shell = await launchShell();
  origin = shell.origin;
  host = new URL(origin).host;
  cookie = await cookieOf(shell.address);
}, 60_000);

afterAll(async () => {
  expect(await shell.stop()).toBe(0);
});

describe("who may ask", () => {
  test("the window's own page is served, with every file it names", async () => {
    const page = await ask(origin, "/", { headers: { cookie } });
    expect(page.status).toBe(200);
    expect(page.headers["content-type"]).toBe("text/html; charset=utf-8");
    const files = [...page.body.toString().matchAll(/(?:src|href)="\.(\/assets\/[^"]+)"/gu)].map(
      (match) => match[1] ?? "",
    );
    expect(files.length).toBeGreaterThanOrEqual(2);
    for (const file of files) expect((await ask(origin, file, { headers: { cookie } })).status).toBe(200);
    expect(page.body.toString()).not.toMatch(/<script(?![^>]*src=)/u);
  });

  // DNS rebinding: a page at a name of the attacker's, which now resolves to 127.0.0.1, sends that name as Host.
  test.each(["evil.example", "localhost", "127.0.0.1", "[::1]", "127.0.0.1.evil.example"])(
    "another Host is refused: %j",
    async (name) => {
      const port = new URL(origin).port;
      for (const sent of name === "127.0.0.1" ? [name] : [name, `${name}:${port}`]) {
        expect((await ask(origin, "/", { headers: { cookie, host: sent } })).status).toBe(421);
        expect(await openSocket(origin, { ...own(), host: sent })).toEqual({ status: 421 });
      }
    },
  );

  test("a request without a Host, or with an empty one, is refused", async () => {
    for (const line of ["", "Host:\r\n"]) {
      const answer = await askRaw(origin, `GET / HTTP/1.1\r\n${line}Cookie: ${cookie}\r\n\r\n`);
      expect(answer).toMatch(/^HTTP\/1\.1 421 /u);
      expect(answer).toContain("x-content-type-options: nosniff");
    }
  });

  test.each(["http://evil.example", "https://127.0.0.1", "http://127.0.0.1:1", "null", "app://crewglass", ""])(
    "another Origin is refused on reads, writes and sockets: %j",
    async (other) => {
      const headers = { cookie, origin: other };
      expect((await ask(origin, "/", { headers })).status).toBe(403);
      expect((await ask(origin, "/rpc", { method: "POST", headers, body: "{}" })).status).toBe(403);
      expect(await openSocket(origin, headers)).toEqual({ status: 403 });
    },
  );

  test("a socket that names no Origin is refused", async () => {
    expect(await openSocket(origin, { cookie })).toEqual({ status: 403 });
  });

  // Another server on this machine is the same site, so that its pages send the cookie; the browser marks them.
  test.each(["cross-site", "same-site"])("a request that the browser marks %s is refused", async (site) => {
    expect((await ask(origin, "/", { headers: { cookie, "sec-fetch-site": site } })).status).toBe(403);
  });

  test("without the cookie, or with one of another launch, nothing is served", async () => {
    const [name = ""] = cookie.split("=");
    for (const sent of [
      undefined,
      `${name}=`,
      `${name}=${"A".repeat(43)}`,
      `crewglass=${cookie}`,
      cookie.slice(0, -1),
    ]) {
      const headers: Record<string, string> = sent === undefined ? {} : { cookie: sent };
      for (const path of ["/", "/index.html", "/film/demo", "/no-such"]) {
        expect((await ask(origin, path, { headers })).status).toBe(401);
      }
      expect(await openSocket(origin, { ...headers, origin })).toEqual({ status: 401 });
    }
  });

  test("a ticket opens once, and nothing but a ticket of this launch opens", async () => {
    const { pathname, search } = new URL(shell.address);
    for (const query of [search, "?ticket=", "", `?ticket=${randomBytes(32).toString("base64url")}`]) {
      const answer = await ask(origin, pathname + query);
      expect(answer.status).toBe(401);
      expect(answer.headers).not.toHaveProperty("set-cookie");
    }
  });

  test("the cookie is out of reach of scripts and of other sites, and is named for the launch", async () => {
    const other = await launchShell();
    try {
      const { origin: otherOrigin, pathname, search } = new URL(other.address);
      // Looking at an address, as link previews do, must not spend it.
      expect((await ask(otherOrigin, pathname + search, { method: "HEAD" })).status).toBe(401);
      const answer = await ask(otherOrigin, pathname + search);
      expect(answer.status).toBe(303);
      expect(answer.headers["set-cookie"]).toMatch(
        /^crewglass-[0-9a-f]{12}=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/$/u,
      );
      expect(answer.headers["set-cookie"]?.split("=")[0]).not.toBe(cookie.split("=")[0]);
      expect((await ask(otherOrigin, "/", { headers: { cookie } })).status).toBe(401);
    } finally {
      await other.stop();
    }
  });
});

describe("what may be asked", () => {
  test.each(["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND"])("%s is refused", async (method) => {
    for (const path of ["/", "/rpc", "/open", "/film/demo"]) {
      const answer = await ask(origin, path, { method, headers: own() });
      expect(answer.status).toBe(405);
      expect(answer.headers["allow"]).toBe("GET, HEAD");
    }
  });

  test("the server is no proxy", async () => {
    expect(await askRaw(origin, `CONNECT evil.example:443 HTTP/1.1\r\nHost: ${host}\r\n\r\n`)).toBe("");
    const absolute = `GET http://evil.example/ HTTP/1.1\r\nHost: ${host}\r\nCookie: ${cookie}\r\nConnection: close\r\n\r\n`;
    expect(await askRaw(origin, absolute)).toMatch(/^HTTP\/1\.1 404 /u);
  });

  test.each([
    "/../package.json",
    "/assets/../../main/browser-shell.js",
    "/%2e%2e/package.json",
    "/..%2fpackage.json",
    "/%2e%2e%2fpackage.json",
    "/%252e%252e%252fpackage.json",
    "/..\\package.json",
    "/assets/..%5c..%5cpackage.json",
    "/....//package.json",
    "//etc/passwd",
    "/etc/passwd",
    "/index.html%00.js",
    "/index.html/",
    "/./index.html",
    "/file:///etc/passwd",
    "/__proto__",
    "/constructor",
    "/%c0%ae%c0%ae/package.json",
    "/%",
  ])("a path out of the window's files finds nothing: %s", async (path) => {
    expect((await ask(origin, path, { headers: { cookie } })).status).toBe(404);
  });

  test("bytes that are no request get an answer with every header, and no more", async () => {
    for (const bytes of [
      "\u0016\u0003\u0001\u0002",
      "GET\r\n\r\n",
      `GET / HTTP/1.1\r\nHost: ${host}\r\nA: ${"a".repeat(20_000)}\r\n\r\n`,
    ]) {
      const answer = await askRaw(origin, `${bytes}\r\n\r\n`);
      expect(answer).toMatch(/^HTTP\/1\.1 400 /u);
      expect(answer).toContain("content-security-policy: default-src 'none'");
      expect(answer).toContain("x-content-type-options: nosniff");
    }
    const expectation = await ask(origin, "/", { headers: { cookie, expect: "something-else" } });
    expect(expectation.status).toBe(200);
    await expectStillServing();
  });
});

describe("film", () => {
  test("is served by id, whole and in parts", async () => {
    const path = `/film/${await demoFilmId()}`;
    const sizeBytes = statSync(join(projectRoot, "src-main", "demo", "film.mp4")).size;
    const head = await ask(origin, path, { method: "HEAD", headers: { cookie } });
    expect(head.headers).toMatchObject({ "content-length": String(sizeBytes), "content-type": "video/mp4" });
    const part = await ask(origin, path, { headers: { cookie, range: "bytes=4-7" } });
    // ISO/IEC 14496-12: a file begins with a box of type "ftyp", written after its four bytes of size.
    expect([part.status, part.body.toString()]).toEqual([206, "ftyp"]);
    expect(part.headers["content-range"]).toBe(`bytes 4-7/${sizeBytes}`);
  });

  test("is not served by path, and an unknown id says nothing of the disk", async () => {
    const film = join(projectRoot, "src-main", "demo", "film.mp4");
    const encoded = encodeURIComponent(film);
    for (const path of [
      `/film/${film}`,
      `/film/${encoded}`,
      `/film/..%2f..%2fetc%2fpasswd`,
      "/film/",
      "/film",
      `/film/?path=${encoded}`,
    ]) {
      expect((await ask(origin, path, { headers: { cookie } })).status).toBe(404);
    }
    for (const id of ["no-such-film", "0", "A".repeat(64), "A".repeat(65), "__proto__"]) {
      const answer = await ask(origin, `/film/${id}`, { headers: { cookie } });
      expect(answer.status).toBe(404);
      expect(answer.body.toString()).not.toContain("/");
    }
  });

  test("ranges that ask too much or make no sense are answered whole or not at all, never with an error", async () => {
    const path = `/film/${await demoFilmId()}`;
    const many = Array.from({ length: 1000 }, (_, index) => `${index}-${index}`).join(",");
    const huge = "9".repeat(400);
    // RFC 9110: 14.2 lets a server ignore several ranges (200); 15.5.17 has 416 for what cannot be satisfied.
    const expected: Record<string, number> = {
      [`bytes=${many}`]: 200,
      "bytes=0-1,0-1,0-": 200,
      [`bytes=${huge}-`]: 416,
      [`bytes=0-${huge}`]: 206,
      [`bytes=-${huge}`]: 206,
      "bytes=-0": 416,
      "bytes=--5": 416,
      "bytes=5-2": 416,
      "bytes=-1-5": 416,
      "bytes=0x10-0x20": 416,
      "bytes=1e3-": 416,
      "lines=1-2": 200,
    };
    const answers: Record<string, number> = {};
    for (const range of Object.keys(expected)) {
      answers[range] = (await ask(origin, path, { headers: { cookie, range } })).status;
    }
    expect(answers).toEqual(expected);
    await expectStillServing();
  });

  test("a hundred readers that hang up leave nothing broken", async () => {
    const path = `/film/${await demoFilmId()}`;
    await Promise.all(
      Array.from({ length: 100 }, async () => {
        const abort = new AbortController();
        const reply = await fetch(origin + path, { headers: { cookie }, signal: abort.signal });
        await reply.body?.getReader().read();
        abort.abort();
      }),
    );
    await expectStillServing();
    if (process.platform === "linux") {
      await vi.waitFor(() => expect(filesOpenIn(shell.pid).filter((file) => file.endsWith("film.mp4"))).toEqual([]));
    }
    expect(shell.output()).not.toMatch(/Error/u);
  });
});

describe("calls", () => {
  const closeCode = (socket: WebSocket): Promise<number> => new Promise((settle) => socket.once("close", settle));

  test("a message over the limit closes its socket and no other", async () => {
    const bystander = await ownSocket();
    const socket = await ownSocket();
    const closed = closeCode(socket);
    socket.on("error", () => {});
    // RFC 6455, 7.4.1: 1009 is a message too big to process; 1006 is what the sender sees when the line is cut while it is
    // still sending the rest, before it has read the closing frame.
    socket.send(Buffer.alloc(9 * 1024 * 1024, 0x20));
    expect([1009, 1006]).toContain(await closed);
    expect((await clientOn(bystander).library.info()).path).toBe(shell.libraryPath);
    bystander.close();
    await expectStillServing();
  });

  test.each([
    ["nothing", ""],
    ["words", "garbage"],
    ["an empty object", "{}"],
    ["an empty list", "[]"],
    ["null", "null"],
    ["no address", '{"i":"1","p":{}}'],
    ["an address that is none", '{"i":"1","p":{"u":"not an address"}}'],
    ["a call twice over", '{"i":"1","p":{"u":"http://orpc/library/info","b":{}}}'.repeat(2)],
    ["a prototype", '{"__proto__":{"polluted":true}}'],
    ["deep nesting", `${"[".repeat(50_000)}${"]".repeat(50_000)}`],
    ["random bytes", randomBytes(2048)],
  ])("a message that is no call closes its socket with 1008 and no other: %s", async (_name, message) => {
    const socket = await ownSocket();
    const closed = closeCode(socket);
    socket.send(message);
    expect(await closed).toBe(1008);
    await expectStillServing();
  });

  test("procedures that are not in the contract are not found, whatever they are called", async () => {
    const socket = await ownSocket();
    const link = new RPCLink({ websocket: socket as unknown as globalThis.WebSocket });
    for (const path of [
      ["library"],
      ["library", "remove"],
      ["library", "info", "constructor"],
      ["__proto__", "toString"],
      ["constructor", "constructor"],
      ["games", "__proto__"],
      ["games", "~orpc", "handler"],
    ]) {
      await expect(link.call(path, {}, { context: {} }), path.join("/")).rejects.toMatchObject({ status: 404 });
    }
    socket.close();
  });

  test("arguments that do not fit are refused by name", async () => {
    const socket = await ownSocket();
    const client = clientOn(socket);
    const wrong = { gameId: "../../etc/passwd" };
    await expect(client.games.open(wrong)).rejects.toMatchObject({ code: "INVALID" });
    const extra = { gameId: "a", isAdmin: true };
    await expect(client.games.open(extra)).rejects.toMatchObject({ code: "INVALID" });
    await expect(client.games.open({ gameId: "nobody" })).rejects.toMatchObject({ code: "NOT_FOUND" });
    socket.close();
  });

  test("sockets beyond the most a window needs are refused, and free again when closed", async () => {
    const opened = await Promise.all(Array.from({ length: 60 }, () => openSocket(origin, own())));
    const sockets = opened.flatMap((one) => ("socket" in one ? [one.socket] : []));
    expect(sockets.length).toBeLessThanOrEqual(32);
    expect(opened.filter((one) => "status" in one && one.status !== 503)).toEqual([]);
    await Promise.all(
      sockets.map((socket) => {
        const closed = closeCode(socket);
        socket.close();
        return closed;
      }),
    );
    await expectStillServing();
  });

  test("a socket is served at one address only, and a broken handshake gets its headers", async () => {
    expect(await openSocket(origin, own(), "/")).toEqual({ status: 404 });
    expect(await openSocket(origin, own(), "/rpc?x=1")).toEqual({ status: 404 });
    const handshake = [
      "GET /rpc HTTP/1.1",
      `Host: ${host}`,
      `Origin: ${origin}`,
      `Cookie: ${cookie}`,
      "Connection: Upgrade",
      "Upgrade: websocket",
      "Sec-WebSocket-Version: 3",
      "Sec-WebSocket-Key: AAAA",
    ];
    const answer = await askRaw(origin, `${handshake.join("\r\n")}\r\n\r\n`);
    expect(answer).toMatch(/^HTTP\/1\.1 400 /u);
    expect(answer).toContain("x-content-type-options: nosniff");
  });
});
