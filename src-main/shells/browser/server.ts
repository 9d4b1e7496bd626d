/**
 * The loopback server of the browser shell: pages and film over HTTP, calls over one WebSocket. Calls do not use HTTP
 * because a browser allows six connections a host, and open streams would starve film of them.
 */
import { createServer, type IncomingMessage, type ServerResponse, STATUS_CODES } from "node:http";
import { type AddressInfo, Socket } from "node:net";
import { Readable, type Duplex } from "node:stream";
import { pipeline } from "node:stream/promises";
import { WebSocketServer, type WebSocket } from "ws";
import { answer, type Pages, type ServeFilm } from "../pages.ts";
import { plainPage } from "../plain-page.ts";
import { contentSecurityPolicy, securityHeaders } from "../policy.ts";
import { createGate, type Gate } from "./gate.ts";

export type ShellServer = {
  /** `http://127.0.0.1:PORT` */
  readonly origin: string;
  /** A new address that opens the window once. */
  readonly issueAddress: () => string;
  readonly close: () => Promise<void>;
};

export type ShellServerOptions = {
  readonly port: number;
  readonly pages: Pages;
  readonly serveFilm: ServeFilm;
  readonly serveSocket: (socket: WebSocket) => void;
  readonly logBug: (error: unknown) => void;
  /** The content security policy for a socket origin, where it is not the product's own. */
  readonly policy?: (socketOrigin: string) => string;
};

/** The largest commit the contract allows (5,000 changes, each row before and after) is about 4 MB. */
const maxMessageBytes = 8 * 1024 * 1024;
const maxSockets = 32;

/** Listens on 127.0.0.1. Rejects with the system's error when the port is taken. */
export async function startShellServer(options: ShellServerOptions): Promise<ShellServer> {
  const server = createServer({
    maxHeaderSize: 16 * 1024,
    headersTimeout: 10_000,
    requestTimeout: 30_000,
    // How often connections are held to the two: by itself every 30 s, so that one said nothing for 40.
    connectionsCheckingInterval: 2000,
    // Node would answer a request without Host by itself, without the headers below; the gate refuses it.
    requireHostHeader: false,
  });
  await new Promise<void>((settle, fail) => {
    server.once("error", fail);
    server.listen(options.port, "127.0.0.1", settle);
  });
  const host = `127.0.0.1:${(server.address() as AddressInfo).port}`;
  const origin = `http://${host}`;
  const gate = createGate(host);
  const headers = securityHeaders((options.policy ?? contentSecurityPolicy)(`ws://${host}`));

  const onRequest = (request: IncomingMessage, response: ServerResponse): void => {
    for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
    respond(request, response, gate, options, origin).catch((error: unknown) => {
      options.logBug(error);
      if (response.headersSent) response.destroy();
      else refuse(response, { status: 500, sentence: "Crewglass failed to answer; its log says where." });
    });
  };
  server.on("request", onRequest);
  server.on("checkExpectation", onRequest);
  server.on("clientError", (_error, socket) => {
    if (!socket.writable) return;
    // What comes after an answer gets none of its own: whoever reads could take it for the answer to something else.
    const isAnswered = socket instanceof Socket && socket.bytesWritten > 0;
    socket.end(isAnswered ? "" : rawResponse(400, headers));
  });

  const sockets = new WebSocketServer({ noServer: true, maxPayload: maxMessageBytes, perMessageDeflate: false });
  sockets.on("wsClientError", (_error, socket) => socket.end(rawResponse(400, headers)));
  server.on("upgrade", (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    socket.on("error", () => socket.destroy());
    const full = sockets.clients.size >= maxSockets;
    const status = request.url !== "/rpc" ? 404 : (upgradeFault(request, gate) ?? (full ? 503 : null));
    if (status !== null) {
      socket.end(rawResponse(status, headers));
      return;
    }
    sockets.handleUpgrade(request, socket, head, (opened) => {
      // A frame that breaks the protocol or the size limit closes this socket and nothing else.
      opened.on("error", () => opened.terminate());
      options.serveSocket(opened);
    });
  });

  return {
    origin,
    issueAddress: () => `${origin}/open?ticket=${gate.issueTicket()}`,
    close: async () => {
      for (const socket of sockets.clients) socket.terminate();
      await new Promise<void>((settle) => {
        server.close(() => settle());
        server.closeAllConnections();
      });
    },
  };
}

/** Node gives the first of several Hosts and drops the others; RFC 9112, 3.2 has such a request refused. */
function hasOneHost({ rawHeaders }: IncomingMessage): boolean {
  return rawHeaders.filter((name, index) => index % 2 === 0 && name.toLowerCase() === "host").length <= 1;
}

function sourceFault(
  request: IncomingMessage,
  gate: Gate,
): { readonly status: number; readonly sentence: string } | null {
  if (!hasOneHost(request)) return { status: 400, sentence: "A request names one address." };
  return gate.checkSource(request.headers);
}

function upgradeFault(request: IncomingMessage, gate: Gate): number | null {
  return hasOneHost(request) ? (gate.checkUpgrade(request.headers)?.status ?? null) : 400;
}

async function respond(
  request: IncomingMessage,
  response: ServerResponse,
  gate: Gate,
  options: ShellServerOptions,
  origin: string,
): Promise<void> {
  const source = sourceFault(request, gate);
  if (source !== null) return refuse(response, source);
  const [path = "/", query = ""] = (request.url ?? "/").split("?", 2);
  if (path === "/open" && request.method === "GET") return open(response, gate, query);
  if (request.method !== "GET" && request.method !== "HEAD") {
    response.setHeader("allow", "GET, HEAD");
    return refuse(response, { status: 405, sentence: "Nothing is written over HTTP." });
  }
  const cookie = gate.checkCookie(request.headers);
  if (cookie !== null) return refuse(response, cookie);

  const gone = new AbortController();
  response.once("close", () => gone.abort());
  const sent = new Headers();
  for (const name of ["range", "if-range", "if-none-match"] as const) {
    const value = request.headers[name];
    if (typeof value === "string") sent.set(name, value);
  }
  // The address given on is rebuilt from a path of the allow-list's own alphabet, never parsed from what was sent.
  const address = /^[A-Za-z0-9_./-]*$/u.test(path) ? `${origin}${path}` : origin;
  const asked = new Request(address, { method: request.method, headers: sent, signal: gone.signal });
  const reply = await answer(asked, { path, query }, options.pages, options.serveFilm);
  await send(response, reply);
}

function open(response: ServerResponse, gate: Gate, query: string): void {
  const cookie = gate.spendTicket(new URLSearchParams(query).get("ticket") ?? "");
  if (cookie === null) {
    const sentence = "This address was used already. Use the window that is open, or start Crewglass again.";
    return refuse(response, { status: 401, sentence });
  }
  response.writeHead(303, { location: "/", "set-cookie": cookie, "cache-control": "no-store", "content-length": 0 });
  response.end();
}

async function send(response: ServerResponse, reply: Response): Promise<void> {
  for (const [name, value] of reply.headers) if (!response.hasHeader(name)) response.setHeader(name, value);
  response.writeHead(reply.status);
  if (reply.body === null) {
    response.end();
    return;
  }
  const body = Readable.fromWeb(reply.body);
  // A window drops most range requests half way; the pipeline then cancels the film's stream, which closes its file.
  await pipeline(body, response).catch((error: unknown) => {
    if (!response.destroyed) throw error;
  });
}

function refuse(response: ServerResponse, refusal: { readonly status: number; readonly sentence: string }): void {
  const page = Buffer.from(plainPage("Crewglass", [refusal.sentence]));
  response.writeHead(refusal.status, {
    "content-type": "text/html; charset=utf-8",
    "content-length": page.byteLength,
    "cache-control": "no-store",
    connection: "close",
  });
  response.end(response.req.method === "HEAD" ? undefined : page);
}

function rawResponse(status: number, headers: Readonly<Record<string, string>>): string {
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}`);
  return [
    `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ""}`,
    "connection: close",
    "content-length: 0",
    ...lines,
    "",
    "",
  ].join("\r\n");
}
