/** Carries the service over whatever line a shell has. The service and the messages are the same; only the line differs. */
import { onError, ORPCError, type AnyRouter } from "@orpc/server";
import { StandardRPCHandler } from "@orpc/server/standard";
import { createServerPeerHandleRequestFn } from "@orpc/server/standard-peer";
import { type EncodedMessage, ServerPeer } from "@orpc/standard-server-peer";
import type { WebSocket } from "ws";

/** Electron's MessagePortMain, or anything of its shape: what arrives is an event whose `data` is the message. */
export type MainPort = {
  on(event: "close", listener: () => void): unknown;
  on(event: "message", listener: (event: { data: unknown }) => void): unknown;
  postMessage: (message: unknown) => void;
  start: () => void;
  close: () => void;
};

type Line = {
  readonly send: (message: EncodedMessage) => void;
  /** Ends the line on which something came that is no call. */
  readonly refuse: () => void;
};

type Served = { readonly receive: (message: EncodedMessage) => void; readonly closed: () => void };

/** Expected failures are typed errors and reach the window; anything else is a bug, whose stack stays here. */
function logBug(error: unknown): void {
  const isAbort = error instanceof Error && error.name === "AbortError";
  if (!(error instanceof ORPCError) && !isAbort) console.error(error);
}

/**
 * The library's own handlers for sockets and ports drop or only print the rejection that a malformed message causes;
 * dropped, it would end the whole program. Hence the peer is driven here.
 */
function createLineService(router: AnyRouter): (line: Line) => Served {
  const handler = new StandardRPCHandler(router, { interceptors: [onError(logBug)] });
  const handle = createServerPeerHandleRequestFn(handler, { context: {} });
  return (line) => {
    const peer = new ServerPeer(line.send);
    return {
      receive: (message) => void peer.message(message, handle).catch(line.refuse),
      closed: () => peer.close(),
    };
  };
}

/** Serves calls on every socket given. 1008 of RFC 6455, 7.4.1: a message that violates the policy. */
export function createSocketService(router: AnyRouter): (socket: WebSocket) => void {
  const serve = createLineService(router);
  return (socket) => {
    const line = serve({ send: (message) => socket.send(message), refuse: () => socket.close(1008) });
    socket.on("message", (data, isBinary) => {
      // One Buffer each: the socket is made with ws's default binary type.
      const bytes = data as Buffer<ArrayBuffer>;
      line.receive(isBinary ? bytes : bytes.toString());
    });
    socket.on("close", line.closed);
  };
}

/** Serves calls on every port given. */
export function createPortService(router: AnyRouter): (port: MainPort) => void {
  const serve = createLineService(router);
  return (port) => {
    const line = serve({ send: (message) => port.postMessage(message), refuse: () => port.close() });
    port.on("message", ({ data }) => {
      if (typeof data === "string" || data instanceof Uint8Array) line.receive(data);
      else port.close();
    });
    port.on("close", line.closed);
    port.start();
  };
}
