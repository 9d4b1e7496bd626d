/**
 * A port shaped like Electron's MessagePortMain over one end of Node's MessageChannel: messages arrive as events with
 * `data`, nothing arrives before `start`, and closing either end closes both.
 */
import type { MessagePort } from "node:worker_threads";
import type { MainPort } from "../../../src-main/shells/serve-calls.ts";

export function mainPortOver(port: MessagePort): MainPort {
  const waiting: unknown[] = [];
  const listeners: ((event: { data: unknown }) => void)[] = [];
  let started = false;
  port.on("message", (data: unknown) => {
    if (started) for (const listener of listeners) listener({ data });
    else waiting.push(data);
  });
  return {
    on(event: "message" | "close", listener: ((event: { data: unknown }) => void) & (() => void)): unknown {
      if (event === "message") return listeners.push(listener);
      return port.on("close", listener);
    },
    postMessage: (message) => port.postMessage(message),
    start: () => {
      started = true;
      for (const data of waiting.splice(0)) for (const listener of listeners) listener({ data });
    },
    close: () => port.close(),
  };
}
