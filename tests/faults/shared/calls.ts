/** The calls of a window without a window: the line that it would open, for what takes no looking at. */
import { request } from "node:http";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/websocket";
import { WebSocket } from "ws";
import type { Client } from "../../../src-renderer/app/client.ts";

export type Calls = { readonly client: Client; readonly close: () => void };

/** Spends the address, which opens once; `again` opens further lines with what it gave. */
export async function callsOf(address: string): Promise<Calls & { readonly again: () => Promise<Calls> }> {
  const { origin, pathname, search } = new URL(address);
  const cookie = await new Promise<string>((settle, fail) => {
    const asked = request(origin + pathname + search, (reply) => {
      reply.resume();
      settle(reply.headers["set-cookie"]?.[0]?.split(";")[0] ?? "");
    });
    asked.once("error", fail);
    asked.end();
  });
  const open = async (): Promise<Calls> => {
    const socket = new WebSocket(`${origin.replace("http:", "ws:")}/rpc`, { headers: { cookie, origin } });
    await new Promise<void>((settle, fail) => {
      socket.once("open", settle);
      socket.once("error", fail);
    });
    socket.on("error", () => {});
    return {
      client: createORPCClient(new RPCLink({ websocket: socket as unknown as globalThis.WebSocket })),
      close: () => socket.terminate(),
    };
  };
  return { ...(await open()), again: open };
}

type WorkEvent<T> = { kind: "progress"; done: number; total: number } | { kind: "done"; result: T };

/** The result of long work. */
export async function resultOf<T>(work: Promise<AsyncIterable<WorkEvent<T>>>): Promise<T> {
  for await (const event of await work) if (event.kind === "done") return event.result;
  throw new Error("the work ended without a result");
}
