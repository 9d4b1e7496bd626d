/** Speaks to the running browser shell as an attacker may: any header, any path, any bytes. */
import { request } from "node:http";
import { connect } from "node:net";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { expect } from "vitest";
import { WebSocket } from "ws";
import type { Client } from "../../../src-renderer/app/client.ts";

export type Answer = {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Buffer;
};

export type Ask = {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string;
};

/** Every answer of the shell, refusals too, is held to these. */
export function expectSecurityHeaders({ headers }: Pick<Answer, "headers">): void {
  expect(headers["content-security-policy"]).toMatch(/default-src 'none'.*script-src 'self'.*frame-ancestors 'none'/u);
  expect(headers["content-security-policy"]).not.toContain("unsafe");
  expect(headers).toMatchObject({
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-embedder-policy": "require-corp",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
  });
  expect(headers).not.toHaveProperty("access-control-allow-origin");
}

/** One request on a connection of its own. `path` goes out as it is, unlike with fetch, which tidies it. */
export async function ask(
  origin: string,
  path: string,
  { method = "GET", headers = {}, body }: Ask = {},
): Promise<Answer> {
  const { hostname, port } = new URL(origin);
  const answer = await new Promise<Answer>((settle, fail) => {
    const sent = request({ hostname, port, path, method, headers, agent: false }, (response) => {
      const chunks: Buffer[] = [];
      response.on("data", (chunk: Buffer) => chunks.push(chunk));
      response.on("error", fail);
      response.on("end", () => {
        const flat = Object.entries(response.headers).map(([name, value]) => [name, String(value)]);
        settle({
          status: response.statusCode ?? 0,
          headers: Object.fromEntries(flat) as Record<string, string>,
          body: Buffer.concat(chunks),
        });
      });
    });
    sent.on("error", fail);
    sent.end(body);
  });
  expectSecurityHeaders(answer);
  return answer;
}

/** Sends bytes and gives everything that came back until the connection closed, or until it was silent for 2 s. */
export function askRaw(origin: string, bytes: string): Promise<string> {
  const { hostname, port } = new URL(origin);
  return new Promise((settle, fail) => {
    let received = "";
    const socket = connect({ host: hostname, port: Number(port) }, () => socket.write(bytes));
    socket.setTimeout(2000, () => socket.destroy());
    socket.on("data", (chunk) => (received += chunk.toString("latin1")));
    socket.on("error", fail);
    socket.on("close", () => settle(received));
  });
}

/** Spends a ticket as the window does. */
export async function cookieOf(address: string): Promise<string> {
  const { origin, pathname, search } = new URL(address);
  const answer = await ask(origin, pathname + search);
  expect(answer.status).toBe(303);
  return answer.headers["set-cookie"]?.split(";")[0] ?? "";
}

/** Tries to open a socket; gives it, or the HTTP status it was refused with. */
export function openSocket(
  origin: string,
  headers: Readonly<Record<string, string>>,
  path = "/rpc",
): Promise<{ readonly socket: WebSocket } | { readonly status: number }> {
  return new Promise((settle, fail) => {
    const socket = new WebSocket(origin.replace("http:", "ws:") + path, { headers: { ...headers } });
    socket.once("open", () => settle({ socket }));
    socket.once("unexpected-response", (_request, response) => {
      expectSecurityHeaders({ headers: response.headers as Record<string, string> });
      response.resume();
      settle({ status: response.statusCode ?? 0 });
    });
    socket.once("error", fail);
  });
}

/** The window's client on a socket that was opened. */
export function callsOver(opened: Awaited<ReturnType<typeof openSocket>>): Client {
  if (!("socket" in opened)) throw new Error(`the socket was refused with ${opened.status}`);
  return createORPCClient(new RPCLink({ websocket: opened.socket as unknown as globalThis.WebSocket }));
}
