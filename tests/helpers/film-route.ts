import type { IncomingMessage, ServerResponse } from "node:http";
import { Readable } from "node:stream";
import type { ReadableStream as WebStream } from "node:stream/web";
import { pipeline } from "node:stream/promises";
import type { Plugin } from "vite";
import { fingerprintFilm } from "../../src-main/film/fingerprint.ts";
import { serveFilm } from "../../src-main/film/serve-film.ts";

/** Serves films to browser tests at /film/ID through the product's own function, so that every test exercises it. */
export function filmRoute(resolvePath: (filmId: string) => string | null): Plugin {
  return {
    name: "film-route",
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        if (request.url === undefined || !request.url.startsWith("/film/")) return next();
        answer(request, response, resolvePath).catch(next);
      });
    },
  };
}

/** As the library does when a film is attached: keeps what was in each file when it was first met. */
const attached = new Map<string, string>();

async function attachedContent(path: string): Promise<string | null> {
  const known = attached.get(path);
  if (known !== undefined) return known;
  const content = await fingerprintFilm(path).catch(() => null);
  if (content !== null) attached.set(path, content.fingerprint);
  return content?.fingerprint ?? null;
}

/** Carries one Node request through serveFilm; the request's signal aborts when the browser hangs up. */
export async function answer(
  incoming: IncomingMessage,
  outgoing: ServerResponse,
  resolvePath: (filmId: string) => string | null,
): Promise<void> {
  const hungUp = new AbortController();
  outgoing.on("close", () => hungUp.abort());
  const headers = new Headers();
  for (const name of ["range", "if-range"]) {
    const value = incoming.headers[name];
    if (typeof value === "string") headers.set(name, value);
  }
  const url = new URL(incoming.url ?? "/", "http://127.0.0.1");
  const request = new Request(url, {
    method: incoming.method ?? "GET",
    headers,
    signal: hungUp.signal,
  });
  const response = await serveFilm(request, async (filmId) => {
    const path = resolvePath(filmId);
    return path === null ? null : { path, fingerprint: await attachedContent(path) };
  });
  outgoing.writeHead(response.status, Object.fromEntries(response.headers));
  if (response.body === null) {
    outgoing.end();
    return;
  }
  try {
    await pipeline(Readable.fromWeb(response.body as WebStream), outgoing);
  } catch {
    // The browser hung up, which is how it ends most range requests; the stream closed its file by then.
    outgoing.destroy();
  }
}
