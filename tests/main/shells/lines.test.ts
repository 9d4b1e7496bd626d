/** The window's client against the real service, over a message port and over a socket, without a shell around them. */
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { setTimeout as pause } from "node:timers/promises";
import { createORPCClient } from "@orpc/client";
import { RPCLink as PortLink } from "@orpc/client/message-port";
import { RPCLink as SocketLink } from "@orpc/client/websocket";
import { type AnyRouter, os, type RouterClient } from "@orpc/server";
import { afterEach, describe, expect, onTestFinished, test, vi } from "vitest";
import { WebSocketServer } from "ws";
import { put } from "#core/game/changes";
import { createPortService, createSocketService } from "../../../src-main/shells/serve-calls.ts";
import {
  type Client,
  type Connection,
  ConnectionLost,
  type ConnectionState,
  keepConnected,
  openSocketLine,
  portLine,
  type Reconnecting,
} from "../../../src-renderer/app/client.ts";
import { aService } from "../service/a-service.ts";
import { aGame } from "../store/build-game.ts";
import { openTemporary } from "../store/temporary-library.ts";
import { mainPortOver } from "./main-port.ts";

/** A service that nothing replaces. */
const always = (router: AnyRouter) => ({ router: () => router, onReplaced: () => {} });
const failOn = (error: unknown): never => {
  throw error;
};

async function aRouter() {
  const library = await openTemporary();
  return { ...aService(library), library };
}

/** One stream without end, and a promise that settles once the service has given it up. */
function aWatchedRouter() {
  const { promise: stopped, resolve } = Promise.withResolvers<void>();
  const watch = os.handler(async function* ({ signal }) {
    signal?.addEventListener("abort", () => resolve());
    yield "begun";
    await new Promise(() => {});
  });
  return { router: { watch }, stopped };
}
type WatchedClient = RouterClient<ReturnType<typeof aWatchedRouter>["router"]>;

const { id: _, ...newGame } = aGame();

function statesOf(connection: Connection): ConnectionState[] {
  const states = [connection.getState()];
  onTestFinished(connection.subscribe(() => states.push(connection.getState())));
  return states;
}

let opened: Reconnecting | null = null;
afterEach(() => opened?.close());

function clientOf(reconnecting: Reconnecting): Client {
  opened = reconnecting;
  return reconnecting.client;
}

/** What both lines must carry: replies, typed failures, streams and their end. */
async function expectWholeService(client: Client): Promise<void> {
  const game = await client.games.create(newGame);
  const stop = new AbortController();
  const edits = await client.games.watch({ gameId: game.id }, { signal: stop.signal });
  const renamed = { ...game, title: "Renamed" };
  const [seen, edited] = await Promise.all([
    edits.next(),
    client.games.commit({ gameId: game.id, label: "Rename", changes: [put("game", game, renamed)] }),
  ]);
  expect(seen.value).toEqual(edited);
  stop.abort();
  await expect(client.games.open({ gameId: "nobody" })).rejects.toMatchObject({
    code: "NOT_FOUND",
    defined: true,
    message: expect.stringMatching(/\w/u) as string,
  });
  await expect(client.files.pickFilm()).rejects.toMatchObject({ code: "NOT_HERE" });
}

describe("over a message port", () => {
  test("the whole service is there, and calls sent before the port was started wait for it", async () => {
    const { router } = await aRouter();
    const { port1, port2 } = new MessageChannel();
    const client = clientOf(keepConnected(async () => portLine(port1)));
    const early = client.library.info();
    await pause(20);
    createPortService(always(router), failOn)(mainPortOver(port2 as never));
    expect((await early).schemaVersion).toBeGreaterThan(0);
    await expectWholeService(client);
  });

  test.each([
    ["words", "garbage"],
    ["an object", { i: "1" }],
    ["null", null],
    ["bytes", new Uint8Array([1, 2, 3])],
  ])("a message that is no call closes its port and no other: %s", async (_name, message) => {
    const { router, logged } = await aRouter();
    const serve = createPortService(always(router), failOn);
    const bad = new MessageChannel();
    const good = new MessageChannel();
    serve(mainPortOver(bad.port2 as never));
    serve(mainPortOver(good.port2 as never));
    const closed = new Promise((settle) => bad.port1.addEventListener("close", settle));
    bad.port1.start();
    bad.port1.postMessage(message);
    await closed;
    const client = clientOf(keepConnected(async () => portLine(good.port1)));
    expect((await client.library.info()).appVersion).toBe("0.1.0");
    expect(logged).toEqual([]);
  });

  test("when the window goes, the service stops what it did for it", async () => {
    const { router, stopped } = aWatchedRouter();
    const { port1, port2 } = new MessageChannel();
    createPortService(always(router), failOn)(mainPortOver(port2 as never));
    const stream = createORPCClient<WatchedClient>(new PortLink({ port: port1 }));
    port1.start();
    const first = (await stream.watch()).next();
    expect((await first).value).toBe("begun");
    port1.close();
    await stopped;
  });

  test("when the window goes, what it watched ends", async () => {
    const { router, library } = await aRouter();
    const { port1, port2 } = new MessageChannel();
    createPortService(always(router), failOn)(mainPortOver(port2 as never));
    const client = clientOf(keepConnected(async () => portLine(port1)));
    const game = await client.games.create(newGame);
    const edits = await client.games.watch({ gameId: game.id });
    const ended = edits.next().then(
      () => "an edit",
      () => "broken",
    );
    port2.close();
    expect(await ended).toBe("broken");
    expect(library.openGame(game.id).sequence).toBe(0);
  });
});

describe("over a socket", () => {
  async function listen(
    serve: (socket: never) => void,
    port = 0,
  ): Promise<{ server: Server; port: number; drop: () => Promise<void> }> {
    const server = createServer();
    const sockets = new WebSocketServer({ server });
    sockets.on("connection", (socket) => serve(socket as never));
    await new Promise<void>((settle) => server.listen(port, "127.0.0.1", settle));
    const drop = async (): Promise<void> => {
      for (const socket of sockets.clients) socket.terminate();
      sockets.close();
      await new Promise((settle) => server.close(settle));
    };
    return { server, port: (server.address() as AddressInfo).port, drop };
  }

  const socketTo = (port: number) => () => openSocketLine(() => new WebSocket(`ws://127.0.0.1:${port}/rpc`));

  test("the whole service is there", async () => {
    const { router } = await aRouter();
    const { port, drop } = await listen(createSocketService(always(router), failOn));
    await expectWholeService(clientOf(keepConnected(socketTo(port))));
    await drop();
  });

  test("when the window goes, the service stops what it did for it", async () => {
    const { router, stopped } = aWatchedRouter();
    const { port, drop } = await listen(createSocketService(always(router), failOn));
    const socket = new WebSocket(`ws://127.0.0.1:${port}/rpc`);
    const stream = createORPCClient<WatchedClient>(new SocketLink({ websocket: socket }));
    expect((await (await stream.watch()).next()).value).toBe("begun");
    socket.close();
    await stopped;
    await drop();
  });

  test("a line that breaks is seen to, opened again, and calls made meanwhile wait for it", async () => {
    const { router } = await aRouter();
    const first = await listen(createSocketService(always(router), failOn));
    const line = keepConnected(socketTo(first.port), { retryMs: 20 });
    const states = statesOf(line.connection);
    const client = clientOf(line);
    await client.library.info();
    const under = client.games.watch({ gameId: (await client.games.create(newGame)).id });
    const watched = (await under).next();
    await first.drop();
    await expect(watched).rejects.toThrow();
    await vi.waitFor(() => expect(line.connection.getState()).toBe("lost"));
    const waiting = client.library.info();
    const second = await listen(createSocketService(always(router), failOn), first.port);
    expect((await waiting).appVersion).toBe("0.1.0");
    expect(states).toEqual(["connecting", "open", "lost", "open"]);
    line.close();
    await second.drop();
  });

  test("a call that finds no line says so after a while, or at once when it is given up", async () => {
    const { router } = await aRouter();
    const { port, drop } = await listen(createSocketService(always(router), failOn));
    await drop();
    const line = keepConnected(socketTo(port), { retryMs: 20, patienceMs: 100 });
    const client = clientOf(line);
    await expect(client.library.info()).rejects.toBeInstanceOf(ConnectionLost);
    expect(line.connection.getState()).toBe("lost");
    const stop = new AbortController();
    const given = client.library.info(undefined, { signal: stop.signal });
    stop.abort(new Error("given up"));
    await expect(given).rejects.toThrow("given up");
  });
});
