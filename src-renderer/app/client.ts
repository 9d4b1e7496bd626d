/**
 * The window's line to the service: one typed client, whatever shell carries it. In Electron the preload hands over a
 * message port; in the browser shell a WebSocket runs to the origin the page came from. A line that breaks is opened
 * again, and its state can be shown.
 */
import { createORPCClient, type ClientLink } from "@orpc/client";
import { RPCLink as PortLink } from "@orpc/client/message-port";
import { RPCLink as SocketLink } from "@orpc/client/websocket";
import type { ContractRouterClient } from "@orpc/contract";
import type { Contract } from "#core/contract/contract";

export type Client = ContractRouterClient<Contract>;

/** "lost": broken or not answering, being tried again; calls made meanwhile wait for it. */
export type ConnectionState = "connecting" | "open" | "lost";

/** Shaped for React's useSyncExternalStore. */
export type Connection = {
  readonly subscribe: (listener: () => void) => () => void;
  readonly getState: () => ConnectionState;
};

type Link = ClientLink<Record<never, never>>;

/** One opened line: the link that calls go through, and a promise that settles when it breaks. */
export type Line = { readonly link: Link; readonly broken: Promise<void> };

/** Thrown by a call when the line stayed broken; the call was not sent. */
export class ConnectionLost extends Error {
  constructor() {
    super("Crewglass is not answering. If it was closed, start it again; nothing that was saved is lost.");
    this.name = "ConnectionLost";
  }
}

export type Reconnecting = { readonly client: Client; readonly connection: Connection; readonly close: () => void };

/**
 * Keeps a line open: opens one, waits until it breaks, opens the next. Times in milliseconds: `retryMs` between tries,
 * `patienceMs` that a call waits for a line. A call under way when the line breaks rejects: whether it was carried
 * out is not known, and the caller must look.
 */
export function keepConnected(
  open: () => Promise<Line>,
  { retryMs = 500, patienceMs = 5000 }: { readonly retryMs?: number; readonly patienceMs?: number } = {},
): Reconnecting {
  const listeners = new Set<() => void>();
  let state: ConnectionState = "connecting";
  let current: Link | null = null;
  let closed = false;
  const become = (next: ConnectionState): void => {
    if (state === next) return;
    state = next;
    for (const listener of listeners) listener();
  };
  const run = async (): Promise<void> => {
    while (!closed) {
      const line = await open().catch(() => null);
      if (line !== null) {
        current = line.link;
        become("open");
        await line.broken;
        current = null;
      }
      if (closed) return;
      become("lost");
      await new Promise((settle) => setTimeout(settle, retryMs));
    }
  };
  const subscribe = (listener: () => void): (() => void) => {
    listeners.add(listener);
    return () => void listeners.delete(listener);
  };
  const opened = (signal: AbortSignal | undefined): Promise<Link> =>
    new Promise((settle, fail) => {
      const finish = (act: () => void): void => {
        clearTimeout(timer);
        unsubscribe();
        signal?.removeEventListener("abort", onAbort);
        act();
      };
      const onAbort = (): void => finish(() => fail(signal?.reason as Error));
      const timer = setTimeout(() => finish(() => fail(new ConnectionLost())), patienceMs);
      const unsubscribe = subscribe(() => {
        const link = current;
        if (link !== null) finish(() => settle(link));
      });
      signal?.addEventListener("abort", onAbort);
      if (signal?.aborted === true) onAbort();
    });
  const link: Link = {
    call: async (path, input, options) => (current ?? (await opened(options.signal))).call(path, input, options),
  };
  void run();
  return {
    client: createORPCClient<Client>(link),
    connection: { subscribe, getState: () => state },
    close: () => void (closed = true),
  };
}

/**
 * Waits until a line that is about to be ended has been, and the next one is open; not longer than the patience, in
 * milliseconds, as the line may have been ended before anybody waited.
 */
export function nextLine({ subscribe, getState }: Connection, patienceMs = 3000): Promise<void> {
  return new Promise((settle) => {
    let wasLost = getState() !== "open";
    const finish = (): void => {
      clearTimeout(timer);
      unsubscribe();
      settle();
    };
    const timer = setTimeout(finish, patienceMs);
    const unsubscribe = subscribe(() => {
      if (getState() !== "open") wasLost = true;
      else if (wasLost) finish();
    });
  });
}

/** Opens a WebSocket line; rejects when it does not open. */
export function openSocketLine(create: () => WebSocket): Promise<Line> {
  const socket = create();
  const link: Link = new SocketLink({ websocket: socket });
  const broken = new Promise<void>((settle) => socket.addEventListener("close", () => settle()));
  return new Promise((settle, fail) => {
    socket.addEventListener("open", () => settle({ link, broken }));
    socket.addEventListener("close", () => fail(new ConnectionLost()));
  });
}

/** Makes a line of a message port that the preload handed over. */
export function portLine(port: MessagePort): Line {
  const link: Link = new PortLink({ port });
  const broken = new Promise<void>((settle) => port.addEventListener("close", () => settle()));
  port.start();
  return { link, broken };
}

/** Asks the preload for a port; it answers with a message from this same window. */
function openPortLine(): Promise<Line> {
  return new Promise((settle) => {
    const onMessage = (event: MessageEvent<unknown>): void => {
      const port = event.ports[0];
      if (event.source !== window || event.data !== "crewglass:port" || port === undefined) return;
      window.removeEventListener("message", onMessage);
      settle(portLine(port));
    };
    window.addEventListener("message", onMessage);
    window.postMessage("crewglass:connect", window.location.origin);
  });
}

let shared: Reconnecting | null = null;

function sharedLine(): Reconnecting {
  shared ??= keepConnected(() =>
    window.location.protocol === "app:"
      ? openPortLine()
      : openSocketLine(() => new WebSocket(`ws://${window.location.host}/rpc`)),
  );
  return shared;
}

/** The window's client; every call shares one line. */
export function createClient(): Client {
  return sharedLine().client;
}

/** The state of the line that `createClient` uses. */
export function watchConnection(): Connection {
  return sharedLine().connection;
}
