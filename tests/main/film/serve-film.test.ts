import { mkdtempSync, readdirSync, readlinkSync, rmSync, truncateSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { fingerprintFilm } from "../../../src-main/film/fingerprint.ts";
import { serveFilm } from "../../../src-main/film/serve-film.ts";

const sizeBytes = 3_000_017;
const content = Buffer.alloc(sizeBytes, 0).map((_, at) => (at * 31 + (at >> 8)) & 255);
let folder = "";
let path = "";

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "crewglass-serve-"));
  path = join(folder, "film.mp4");
  writeFileSync(path, content);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function ask(
  init: RequestInit = {},
  url = "http://127.0.0.1/film/one",
  file = path,
  fingerprint: string | null = null,
): Promise<Response> {
  return serveFilm(new Request(url, init), (filmId) => (filmId === "one" ? { path: file, fingerprint } : null));
}

/** How many times this process holds the file open, as the kernel sees it. */
function openCount(file = path): number {
  return readdirSync("/proc/self/fd").filter((fd) => {
    try {
      return readlinkSync(`/proc/self/fd/${fd}`) === file;
    } catch {
      return false;
    }
  }).length;
}

async function statusOf(asked: Promise<Response>): Promise<number> {
  const response = await asked;
  await response.body?.cancel();
  return response.status;
}

async function bytesOf(response: Response): Promise<Buffer> {
  return Buffer.from(await response.arrayBuffer());
}

describe("answers (status codes and fields of RFC 9110 sections 14 and 15)", () => {
  test("200 carries the whole file and offers ranges", async () => {
    const response = await ask();
    expect(response.status).toBe(200);
    expect(response.headers.get("accept-ranges")).toBe("bytes");
    expect(response.headers.get("content-type")).toBe("video/mp4");
    expect(response.headers.get("cache-control")).toBe("no-store");
    expect(response.headers.get("content-length")).toBe(String(sizeBytes));
    expect((await bytesOf(response)).equals(content)).toBe(true);
  });

  test.each([
    ["bytes=0-0", 0, 1],
    ["bytes=1000000-2000000", 1_000_000, 2_000_001],
    ["bytes=-17", sizeBytes - 17, sizeBytes],
    ["bytes=2999999-", 2_999_999, sizeBytes],
  ])("206 for %s carries exactly those bytes and says which", async (range, first, end) => {
    const response = await ask({ headers: { range } });
    expect(response.status).toBe(206);
    expect(response.headers.get("content-range")).toBe(`bytes ${first}-${end - 1}/${sizeBytes}`);
    expect(response.headers.get("content-length")).toBe(String(end - first));
    expect((await bytesOf(response)).equals(content.subarray(first, end))).toBe(true);
  });

  test("416 says how long the film is", async () => {
    const response = await ask({ headers: { range: `bytes=${sizeBytes}-` } });
    expect(response.status).toBe(416);
    expect(response.headers.get("content-range")).toBe(`bytes */${sizeBytes}`);
    expect(await response.json()).toMatchObject({ code: "range-not-satisfiable" });
  });

  test("HEAD has the same fields as GET, no body, and ignores Range (14.2)", async () => {
    const response = await ask({ method: "HEAD", headers: { range: "bytes=0-9" } });
    expect(response.status).toBe(200);
    expect(response.headers.get("content-length")).toBe(String(sizeBytes));
    expect(response.body).toBeNull();
  });

  test("If-Range of another version gets the whole file (13.1.5)", async () => {
    const etag = (await ask({ method: "HEAD" })).headers.get("etag") ?? "";
    const same = await ask({ headers: { range: "bytes=0-9", "if-range": etag } });
    const other = await ask({ headers: { range: "bytes=0-9", "if-range": '"older"' } });
    expect([same.status, other.status]).toEqual([206, 200]);
    await Promise.all([same.body?.cancel(), other.body?.cancel()]);
  });

  test("405 for anything but reading", async () => {
    const response = await ask({ method: "PUT", body: "x" });
    expect(response.status).toBe(405);
    expect(response.headers.get("allow")).toBe("GET, HEAD");
  });

  test("an empty film is an empty answer", async () => {
    const empty = join(folder, "empty.mp4");
    writeFileSync(empty, "");
    const response = await ask({}, undefined, empty);
    expect([response.status, (await bytesOf(response)).length]).toEqual([200, 0]);
  });
});

describe("films are named by id, never by path", () => {
  test.each([
    "/film/one/../../etc/passwd",
    "/film/%2e%2e%2fone",
    "/film/%2Fetc%2Fpasswd",
    "/film/one.mp4",
    "/film/one%00",
    "/film/",
    "/film/one/",
    `/film/${"a".repeat(65)}`,
  ])("%s is refused before anything is looked up", async (pathname) => {
    const asked: string[] = [];
    const response = await serveFilm(new Request(`http://127.0.0.1${pathname}`), (filmId) => {
      asked.push(filmId);
      return { path, fingerprint: null };
    });
    expect([response.status, asked]).toEqual([404, []]);
    expect(await response.json()).toMatchObject({ code: "film-unknown" });
  });

  test("an id that the library does not have is unknown", async () => {
    const response = await ask({}, "http://127.0.0.1/film/two");
    expect(response.status).toBe(404);
    expect(await response.json()).toMatchObject({ code: "film-unknown" });
  });

  test("the film scheme's address names the same id", async () => {
    const response = await ask({ method: "HEAD" }, "film://library/one");
    expect(response.status).toBe(200);
  });
});

describe("a file that is not as it was", () => {
  test("vanished: 404 with a sentence", async () => {
    const response = await ask({}, undefined, join(folder, "gone.mp4"));
    expect(response.status).toBe(404);
    expect(await response.json()).toMatchObject({
      code: "film-missing",
      message: expect.stringMatching(/where/),
    });
  });

  test("a folder in its place is not a film", async () => {
    const response = await ask({}, undefined, folder);
    expect(response.status).toBe(403);
    expect(openCount(folder)).toBe(0);
  });

  test("shorter than promised: the answer breaks off instead of ending as if it were whole", async () => {
    const shrinking = join(folder, "shrinking.mp4");
    writeFileSync(shrinking, content);
    const response = await ask({}, undefined, shrinking);
    truncateSync(shrinking, 100);
    await expect(response.arrayBuffer()).rejects.toThrow(/shorter/);
    expect(openCount(shrinking)).toBe(0);
  });

  test("another content in its place: refused by 409 for every way of asking, and served again when it is back", async () => {
    const swapped = join(folder, "swapped.mp4");
    writeFileSync(swapped, content);
    const { fingerprint } = await fingerprintFilm(swapped);
    const asked = (init: RequestInit = {}) => ask(init, undefined, swapped, fingerprint);
    expect(await statusOf(asked())).toBe(200);
    // As long as before, and one byte of it another.
    writeFileSync(swapped, content.with(1_500_000, (content[1_500_000] ?? 0) ^ 1));
    expect(await statusOf(asked())).toBe(409);
    expect(await statusOf(asked({ method: "HEAD" }))).toBe(409);
    expect(await (await asked({ headers: { range: "bytes=0-9" } })).json()).toMatchObject({ code: "film-changed" });
    expect(openCount(swapped)).toBe(0);
    writeFileSync(swapped, content);
    expect((await bytesOf(await asked())).equals(content)).toBe(true);
  });

  test("its time of change alone does not make it another film", async () => {
    const touched = join(folder, "touched.mp4");
    writeFileSync(touched, content);
    const { fingerprint } = await fingerprintFilm(touched);
    utimesSync(touched, new Date(2_000), new Date(2_000));
    expect(await statusOf(ask({}, undefined, touched, fingerprint))).toBe(200);
  });

  test("written to while it is read: the answer breaks off before it mixes the two", async () => {
    const rewritten = join(folder, "rewritten.mp4");
    writeFileSync(rewritten, content);
    utimesSync(rewritten, new Date(2_000), new Date(2_000));
    const response = await ask({}, undefined, rewritten);
    const reader = response.body?.getReader();
    await reader?.read();
    writeFileSync(rewritten, content.toReversed());
    await expect(reader?.read()).rejects.toThrow(/changed/);
    expect(openCount(rewritten)).toBe(0);
  });
});

describe.runIf(process.platform === "linux")("the file is closed", () => {
  test("when the body was read to its end", async () => {
    const response = await ask();
    expect(openCount()).toBe(1);
    await bytesOf(response);
    expect(openCount()).toBe(0);
  });

  test("when the reader cancels half-way", async () => {
    const response = await ask();
    const reader = response.body?.getReader();
    await reader?.read();
    expect(openCount()).toBe(1);
    await reader?.cancel();
    expect(openCount()).toBe(0);
  });

  test("when the request aborts, read or not", async () => {
    const aborts = [new AbortController(), new AbortController()];
    const responses = await Promise.all(aborts.map((abort) => ask({ signal: abort.signal })));
    await responses[0]?.body?.getReader().read();
    expect(openCount()).toBe(2);
    for (const abort of aborts) abort.abort();
    await expect.poll(() => openCount()).toBe(0);
  });

  test("at once for HEAD and 416", async () => {
    await ask({ method: "HEAD" });
    await ask({ headers: { range: "bytes=9-1" } });
    expect(openCount()).toBe(0);
  });
});

test("reads only as much as is pulled", async () => {
  const response = await ask();
  const reader = response.body?.getReader();
  const first = await reader?.read();
  expect(first?.value?.length).toBeLessThanOrEqual(256 * 1024);
  await reader?.cancel();
});
