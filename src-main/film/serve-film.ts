import { open, type FileHandle } from "node:fs/promises";
import { extname } from "node:path";
import { fingerprintFilm } from "./fingerprint.ts";
import { parseRange } from "./range.ts";
import { readOnly } from "./read-only.ts";

/** Where a film lies on disk, and the content it must have there; null serves whatever lies there. */
export type FilmFile = { readonly path: string; readonly fingerprint: string | null };

/** Why a film was not served; the body of the answer is `{ code, message }`. */
export type FilmServeCode =
  | "film-unknown"
  | "film-missing"
  | "film-unreadable"
  | "film-changed"
  | "method-not-allowed"
  | "range-not-satisfiable";

const chunkBytes = 256 * 1024;

const contentTypes: Readonly<Record<string, string>> = {
  ".mp4": "video/mp4",
  ".m4v": "video/mp4",
  ".mov": "video/quicktime",
  ".webm": "video/webm",
  ".mkv": "video/x-matroska",
  ".ts": "video/mp2t",
  ".m2ts": "video/mp2t",
  ".mts": "video/mp2t",
  ".avi": "video/x-msvideo",
};

/** The film id in an address such as `http://127.0.0.1:1234/film/ID` or `film://library/ID`, or null. Never a path. */
export function filmIdOf(url: string): string | null {
  return /^\/(?:film\/)?([A-Za-z0-9_-]{1,64})$/.exec(new URL(url).pathname)?.[1] ?? null;
}

/**
 * Answers a request for a film by its id, whole or in one part (RFC 9110 sections 14 and 15). The same function serves
 * both shells. The body reads the file only as it is pulled, and closes it at the end, on cancel, and when
 * `request.signal` aborts: a browser gives up most of its range requests half-way.
 *
 * A file whose content is no longer that of the film is refused with 409, and one that is written to while it is read
 * breaks the answer: frames of another film under this one's numbers would be measured without anybody noticing.
 *
 * The page must have the same origin as the address (or the shell must add CORS headers), else the page may not read
 * the pixels of its own film.
 */
export async function serveFilm(
  request: Request,
  resolve: (filmId: string) => FilmFile | null | Promise<FilmFile | null>,
): Promise<Response> {
  if (request.method !== "GET" && request.method !== "HEAD") {
    return refusal(405, "method-not-allowed", "A film can only be read.", { Allow: "GET, HEAD" });
  }
  const filmId = filmIdOf(request.url);
  const film = filmId === null ? null : await resolve(filmId);
  if (film === null) return refusal(404, "film-unknown", "No film has this id.");

  const opened = await openFile(film.path);
  if (!opened.ok) {
    return opened.missing
      ? refusal(404, "film-missing", "The film's file is no longer where it was. Say where it is now.")
      : refusal(403, "film-unreadable", "The film's file cannot be read. Check the permissions of the file.");
  }
  const { handle, sizeBytes, mtimeMs } = opened;
  if (film.fingerprint !== null && (await contentOf(film.path, opened)) !== film.fingerprint) {
    await handle.close();
    return refusal(409, "film-changed", "The film's file has another content now than when it was attached.");
  }
  const etag = `"${sizeBytes.toString(16)}-${Math.round(mtimeMs).toString(16)}"`;
  const headers: Record<string, string> = {
    "Accept-Ranges": "bytes",
    "Cache-Control": "no-store",
    "Content-Type": contentTypes[extname(film.path).toLowerCase()] ?? "application/octet-stream",
    "X-Content-Type-Options": "nosniff",
    ETag: etag,
  };

  // Range is defined for GET only (14.2), and counts only while If-Range names the file as it is now (13.1.5).
  const ifRange = request.headers.get("if-range");
  const counts = request.method === "GET" && (ifRange === null || ifRange === etag);
  const range = parseRange(counts ? request.headers.get("range") : null, sizeBytes);
  if (range.kind === "unsatisfiable") {
    await handle.close();
    return refusal(416, "range-not-satisfiable", "The film is shorter than that.", {
      ...headers,
      "Content-Range": `bytes */${sizeBytes}`,
    });
  }
  const firstByte = range.kind === "part" ? range.firstByte : 0;
  const endByte = range.kind === "part" ? range.lastByte + 1 : sizeBytes;
  headers["Content-Length"] = String(endByte - firstByte);
  if (range.kind === "part") headers["Content-Range"] = `bytes ${firstByte}-${endByte - 1}/${sizeBytes}`;
  const status = range.kind === "part" ? 206 : 200;
  if (request.method === "HEAD" || endByte === firstByte) {
    await handle.close();
    return new Response(null, { status, headers });
  }
  return new Response(fileStream(opened, firstByte, endByte, request.signal), { status, headers });
}

/** What was found in each file when its size and time of change were last as they are now. */
const contents = new Map<string, { readonly sizeBytes: number; readonly mtimeMs: number; readonly content: string }>();

/** The fingerprint of a file, read again only after its size or its time of change moved; null when it cannot be read. */
async function contentOf(path: string, { sizeBytes, mtimeMs }: Version): Promise<string | null> {
  const known = contents.get(path);
  if (known?.sizeBytes === sizeBytes && known.mtimeMs === mtimeMs) return known.content;
  try {
    const { fingerprint } = await fingerprintFilm(path);
    contents.set(path, { sizeBytes, mtimeMs, content: fingerprint });
    return fingerprint;
  } catch {
    return null;
  }
}

type Version = { readonly sizeBytes: number; readonly mtimeMs: number };
type OpenedFile = Version & { readonly ok: true; readonly handle: FileHandle };
type Opened = OpenedFile | { readonly ok: false; readonly missing: boolean };

async function openFile(path: string): Promise<Opened> {
  let handle: FileHandle;
  try {
    handle = await open(path, readOnly);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    return { ok: false, missing: code === "ENOENT" || code === "ENOTDIR" };
  }
  try {
    const stat = await handle.stat();
    if (stat.isFile()) return { ok: true, handle, sizeBytes: stat.size, mtimeMs: stat.mtimeMs };
  } catch {
    // Falls through: a file that cannot be examined is closed and reported like one that cannot be opened.
  }
  await handle.close();
  return { ok: false, missing: false };
}

function fileStream(
  { handle, mtimeMs }: OpenedFile,
  firstByte: number,
  endByte: number,
  signal: AbortSignal,
): ReadableStream<Uint8Array<ArrayBuffer>> {
  let position = firstByte;
  let closed = false;
  const close = async (): Promise<void> => {
    if (closed) return;
    closed = true;
    signal.removeEventListener("abort", onAbort);
    await handle.close();
  };
  const onAbort = (): void => void close();
  return new ReadableStream(
    {
      async start() {
        if (signal.aborted) await close();
        else signal.addEventListener("abort", onAbort);
      },
      async pull(controller) {
        try {
          if (closed) throw new DOMException("The request was given up.", "AbortError");
          const buffer = new Uint8Array(Math.min(chunkBytes, endByte - position));
          const { bytesRead } = await handle.read(buffer, 0, buffer.length, position);
          // The length is promised already: a file that shrank must break the answer, not end it early.
          if (bytesRead === 0) throw new Error("The film's file became shorter while it was read.");
          const now = await handle.stat();
          if (now.size < endByte) throw new Error("The film's file became shorter while it was read.");
          if (now.mtimeMs !== mtimeMs) throw new Error("The film's file changed while it was read.");
          position += bytesRead;
          controller.enqueue(bytesRead === buffer.length ? buffer : buffer.subarray(0, bytesRead));
          if (position < endByte) return;
          await close();
          controller.close();
        } catch (error) {
          await close();
          controller.error(error);
        }
      },
      cancel: close,
    },
    { highWaterMark: 0 },
  );
}

function refusal(
  status: number,
  code: FilmServeCode,
  message: string,
  headers: Readonly<Record<string, string>> = {},
): Response {
  return Response.json(
    { code, message },
    {
      status,
      headers: { "Cache-Control": "no-store", ...headers, "Content-Type": "application/json" },
    },
  );
}
