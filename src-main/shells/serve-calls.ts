/** Carries the service over whatever line a shell has. The service is the same; only the line differs. */
import { onError, ORPCError, type AnyRouter } from "@orpc/server";
import { RPCHandler as PortHandler } from "@orpc/server/message-port";
import { RPCHandler as SocketHandler } from "@orpc/server/ws";
import type { WebSocket } from "ws";

/** Electron's MessagePortMain, or anything of its shape: what arrives is an event whose `data` is the message. */
export type MainPort = {
  on(event: "close", listener: () => void): unknown;
  on(event: "message", listener: (event: { data: unknown }) => void): unknown;
  postMessage: (message: unknown) => void;
  start: () => void;
  close: () => void;
};

/** Expected failures are typed errors and reach the window; anything else is a bug, whose stack stays here. */
function logBug(error: unknown): void {
  const isAbort = error instanceof Error && error.name === "AbortError";
  if (!(error instanceof ORPCError) && !isAbort) console.error(error);
}

/** Serves calls on every socket given. */
export function createSocketService(router: AnyRouter): (socket: WebSocket) => void {
  const handler = new SocketHandler(router, { interceptors: [onError(logBug)] });
  return (socket) => void handler.upgrade(socket);
}

/** Serves calls on every port given. A message that is no call closes its port, and leaves the others alone. */
export function createPortService(router: AnyRouter): (port: MainPort) => void {
  const handler = new PortHandler(router, { interceptors: [onError(logBug)] });
  return (port) => {
    handler.upgrade({
      on: (event, listener: (event?: { data: unknown }) => unknown) => {
        if (event === "close") return void port.on("close", listener);
        // The handler's own promise is dropped by an event emitter: unhandled, it would end the main process.
        port.on("message", (message) => void Promise.resolve(listener(message)).catch(() => port.close()));
      },
      postMessage: (message: unknown) => port.postMessage(message),
    });
    port.start();
  };
}
