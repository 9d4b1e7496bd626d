/**
 * Requests that begin and do not end (slow loris), answers that nobody reads, and more of both than a window has: OWASP Denial of
 * Service Cheat Sheet, "slow HTTP attacks"; OWASP WebSocket Security Cheat Sheet, "Resource limits". All on this machine, bounded
 * in number and time.
 */
import { connect, type Socket } from "node:net";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Client } from "../../../src-renderer/app/client.ts";
import { type LaunchedShell, launchShell } from "../../helpers/launch.ts";
import { ask, cookieOf, openSocket } from "./ask.ts";

let shell: LaunchedShell;
let origin: string;
let cookie: string;
const opened = new Set<Socket>();

beforeAll(async () => {
  shell = await launchShell();
  origin = shell.origin;
  cookie = await cookieOf(shell.address);
}, 60_000);

afterAll(async () => {
  for (const socket of opened) socket.destroy();
  expect(await shell.stop()).toBe(0);
});

/** A connection that says this much and then nothing; `closed` says after how long it was ended, in milliseconds. */
async function halfOpen(bytes: string): Promise<{ readonly socket: Socket; readonly closed: Promise<number> }> {
  const socket = connect({ host: "127.0.0.1", port: Number(new URL(origin).port) });
  opened.add(socket);
  socket.on("error", () => {});
  socket.resume();
  await new Promise<void>((settle) => socket.once("connect", settle));
  const startMs = performance.now();
  if (bytes !== "") socket.write(bytes);
  return { socket, closed: new Promise((settle) => socket.once("close", () => settle(performance.now() - startMs))) };
}

/** What the window does, and how long it takes at the most, in milliseconds. */
async function windowTakesMs(): Promise<number> {
  const startMs = performance.now();
  expect((await ask(origin, "/", { headers: { cookie } })).status).toBe(200);
  const line = await openSocket(origin, { cookie, origin });
  if (!("socket" in line)) throw new Error(`the window was refused with ${line.status}`);
  const client: Client = createORPCClient(new RPCLink({ websocket: line.socket as unknown as globalThis.WebSocket }));
  expect((await client.library.info()).path).toBe(shell.libraryPath);
  line.socket.close();
  return performance.now() - startMs;
}

test(
  "four hundred requests that never end keep the window waiting for nothing, and are ended",
  { timeout: 60_000 },
  async () => {
    const host = new URL(origin).host;
    const begun = [
      "",
      "G",
      `GET / HTTP/1.1\r\nHost: ${host}\r\nCookie: ${cookie}\r\nX-`,
      `POST /rpc HTTP/1.1\r\nHost: ${host}\r\nContent-Length: 100000\r\n`,
      `GET /rpc HTTP/1.1\r\nHost: ${host}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n`,
    ];
    const slow = await Promise.all(
      Array.from({ length: 400 }, (_, number) => halfOpen(begun[number % begun.length] ?? "")),
    );
    // One that comes on letter by letter has no more time than one that stops.
    const { socket, closed: dripped } = await halfOpen(`GET / HTTP/1.1\r\n`);
    const drip = setInterval(() => socket.write("a"), 500);
    const tookMs = [await windowTakesMs(), await windowTakesMs(), await windowTakesMs()];
    console.log(`beside 400 half-open requests the window took ${Math.max(...tookMs).toFixed(0)} ms at most`);
    expect(Math.max(...tookMs)).toBeLessThan(2000);
    const endedAfterMs = await Promise.all([dripped, ...slow.map(({ closed }) => closed)]);
    clearInterval(drip);
    console.log(`they were ended after ${(Math.max(...endedAfterMs) / 1000).toFixed(1)} s at most`);
    // The limit for headers is 10 s, and is looked at every 2 s.
    expect(Math.max(...endedAfterMs)).toBeLessThan(20_000);
    expect(await windowTakesMs()).toBeLessThan(2000);
  },
);

test(
  "twenty films that are asked for and not read are read from disk no further than a little",
  { timeout: 60_000 },
  async () => {
    const line = await openSocket(origin, { cookie, origin });
    if (!("socket" in line)) throw new Error("refused");
    const client: Client = createORPCClient(new RPCLink({ websocket: line.socket as unknown as globalThis.WebSocket }));
    const { demoGameId } = await client.library.info();
    const { films } = await client.games.open({ gameId: demoGameId ?? "" });
    line.socket.close();
    const host = new URL(origin).host;
    const unread = await Promise.all(
      Array.from({ length: 20 }, () =>
        halfOpen(`GET /film/${films[0]?.id} HTTP/1.1\r\nHost: ${host}\r\nCookie: ${cookie}\r\n\r\n`),
      ),
    );
    for (const { socket } of unread) socket.pause();
    expect(await windowTakesMs()).toBeLessThan(2000);
    for (const { socket } of unread) expect(socket.bytesRead).toBeLessThan(8 * 1024 * 1024);
    for (const { socket } of unread) socket.destroy();
    expect(await windowTakesMs()).toBeLessThan(2000);
  },
);

test("a message in pieces that never ends is refused at the limit of one", async () => {
  const line = await openSocket(origin, { cookie, origin });
  if (!("socket" in line)) throw new Error("refused");
  const { socket } = line;
  const closed = new Promise<number>((settle) => socket.once("close", settle));
  socket.on("error", () => {});
  const piece = Buffer.alloc(256 * 1024, 0x20);
  for (let number = 0; number < 40; number++) socket.send(piece, { fin: false });
  // RFC 6455, 7.4.1: 1009 is a message too big to process; 1006 is a line that was cut while more was sent.
  expect([1009, 1006]).toContain(await closed);
  expect(await windowTakesMs()).toBeLessThan(2000);
});
