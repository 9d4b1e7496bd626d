/** Carries the service over whatever line a shell has. The service and the messages are the same; only the line differs. */
import { onError, ORPCError } from "@orpc/server";
import { StandardRPCHandler } from "@orpc/server/standard";
import { createServerPeerHandleRequestFn } from "@orpc/server/standard-peer";
import { type EncodedMessage, ServerPeer } from "@orpc/standard-server-peer";
import type { WebSocket } from "ws";
import type { ServiceSource } from "./workstation.ts";

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
  /** Ends the line: something came on it that is no call, or its service has been replaced. */
  readonly end: (why: "no call" | "replaced") => void;
};

type Served = { readonly receive: (message: EncodedMessage) => void; readonly closed: () => void };

/** A last answer is on its way when its service is replaced: a line is ended a moment later, and the window opens another. */
const lastAnswerMs = 250;

/**
 * The library's own handlers for sockets and ports drop or only print the rejection that a malformed message causes;
 * dropped, it would end the whole program. Hence the peer is driven here.
 */
function createLineService({ router, onReplaced }: ServiceSource, logBug: (error: unknown) => void) {
  // Expected failures are typed errors and reach the window; anything else is a bug.
  const told = (error: unknown): void => {
    const isAbort = error instanceof Error && error.name === "AbortError";
    if (!(error instanceof ORPCError) && !isAbort) logBug(error);
  };
  const handleOf = () =>
    createServerPeerHandleRequestFn(new StandardRPCHandler(router(), { interceptors: [onError(told)] }), {
      context: {},
    });
  let handle = handleOf();
  let lines = new Set<Line>();
  onReplaced(() => {
    const before = lines;
    handle = handleOf();
    lines = new Set();
    setTimeout(() => {
      for (const line of before) line.end("replaced");
    }, lastAnswerMs);
  });
  return (line: Line): Served => {
    const own = handle;
    const among = lines.add(line);
    const peer = new ServerPeer(line.send);
    return {
      receive: (message) => void peer.message(message, own).catch(() => line.end("no call")),
      closed: () => {
        among.delete(line);
        peer.close();
      },
    };
  };
}

/**
 * Serves calls on every socket given. 1008 of RFC 6455, 7.4.1, is a message that violates the policy; 1012 of IANA's registry of
 * close codes is a service that restarts.
 */
export function createSocketService(
  source: ServiceSource,
  logBug: (error: unknown) => void,
): (socket: WebSocket) => void {
  const serve = createLineService(source, logBug);
  return (socket) => {
    const line = serve({
      send: (message) => socket.send(message),
      end: (why) => socket.close(why === "no call" ? 1008 : 1012),
    });
    socket.on("message", (data, isBinary) => {
      // One Buffer each: the socket is made with ws's default binary type.
      const bytes = data as Buffer<ArrayBuffer>;
      line.receive(isBinary ? bytes : bytes.toString());
    });
    socket.on("close", line.closed);
  };
}

/** Serves calls on every port given. */
export function createPortService(source: ServiceSource, logBug: (error: unknown) => void): (port: MainPort) => void {
  const serve = createLineService(source, logBug);
  return (port) => {
    const line = serve({ send: (message) => port.postMessage(message), end: () => port.close() });
    port.on("message", ({ data }) => {
      if (typeof data === "string" || data instanceof Uint8Array) line.receive(data);
      else port.close();
    });
    port.on("close", line.closed);
    port.start();
  };
}
