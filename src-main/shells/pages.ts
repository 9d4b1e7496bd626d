/**
 * What a window may fetch: the built renderer's files and films by id. The files are listed once at start and looked
 * up whole, so no part of an address ever becomes part of a path.
 */
import { readdirSync, readFileSync } from "node:fs";
import { extname, join } from "node:path";

export type Page = { readonly type: string; readonly body: Uint8Array<ArrayBuffer> };
/** Finds a page by its path, as sent; the query is of use to a server of sources only. */
export type Pages = {
  readonly get: (path: string, query: string) => Page | undefined | Promise<Page | undefined>;
};
export type ServeFilm = (request: Request) => Promise<Response>;

const types: Readonly<Record<string, string>> = {
  ".css": "text/css; charset=utf-8",
  ".html": "text/html; charset=utf-8",
  ".ico": "image/x-icon",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".png": "image/png",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
  ".woff2": "font/woff2",
};

/** Reads a built renderer into memory. Files of a type that no window loads (source maps) are left out. */
export function readPages(root: string): Pages {
  const pages = new Map<string, Page>();
  for (const entry of readdirSync(root, { recursive: true, withFileTypes: true })) {
    const type = types[extname(entry.name)];
    if (!entry.isFile() || type === undefined) continue;
    const file = join(entry.parentPath, entry.name);
    const address = file.slice(root.length).replaceAll("\\", "/");
    pages.set(address.startsWith("/") ? address : `/${address}`, { type, body: new Uint8Array(readFileSync(file)) });
  }
  const index = pages.get("/index.html");
  if (index === undefined) throw new Error(`The built window is missing from ${root}: run npm run build.`);
  pages.set("/", index);
  return pages;
}

const filmAddress = /^\/film\/[A-Za-z0-9_-]{1,64}$/u;

/** Answers GET and HEAD for `path` and `query` (as sent, never decoded); everything not listed is 404. */
export async function answer(
  request: Request,
  { path, query = "" }: { readonly path: string; readonly query?: string },
  pages: Pages,
  serveFilm: ServeFilm,
): Promise<Response> {
  if (request.method !== "GET" && request.method !== "HEAD") {
    return new Response(null, { status: 405, headers: { allow: "GET, HEAD" } });
  }
  if (filmAddress.test(path)) return await serveFilm(request);
  const page = await pages.get(path, query);
  if (page === undefined) return new Response(null, { status: 404 });
  const headers = {
    "content-type": page.type,
    "content-length": String(page.body.byteLength),
    "cache-control": "no-store",
  };
  return new Response(request.method === "HEAD" ? null : page.body, { headers });
}
