/**
 * Requests that two readers would split differently, and letters that would end a header: RFC 9112, 6.1, 6.3 and 11.2 (request
 * smuggling); OWASP WSTG-INPV-15 "Testing for HTTP Splitting Smuggling", WSTG-INPV-17 "Testing for Host Header Injection";
 * ASVS 5.0, 4.2.1. The shell talks to browsers directly, with nobody between; still a request must never hold another.
 */
import { afterAll, beforeAll, expect, test } from "vitest";
import { type LaunchedShell, launchShell } from "../../helpers/launch.ts";
import { ask, askRaw, cookieOf } from "./ask.ts";

let shell: LaunchedShell;
let origin: string;
let host: string;
let cookie: string;

beforeAll(async () => {
  shell = await launchShell();
  origin = shell.origin;
  host = new URL(origin).host;
  cookie = await cookieOf(shell.address);
}, 60_000);

afterAll(async () => {
  expect(await shell.stop()).toBe(0);
});

const own = () => `Host: ${host}\r\nCookie: ${cookie}\r\n`;
/** The request that must not come out of another one: with the cookie it would be answered with the page. */
const hidden = () => `GET / HTTP/1.1\r\n${own()}\r\n`;
const statuses = (answer: string): readonly string[] =>
  [...answer.matchAll(/HTTP\/1\.1 (\d{3}) /gu)].map((one) => one[1] ?? "");

test("a request hidden in another is seen when it is sent by itself, so that it would be seen here", async () => {
  expect(statuses(await askRaw(origin, `${hidden()}${hidden()}`))).toEqual(["200", "200"]);
});

test.each<readonly [string, (body: string) => string]>([
  ["both lengths", (body) => `Content-Length: ${body.length}\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n${body}`],
  ["both, the other way round", (body) => `Transfer-Encoding: chunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n${body}`],
  ["two lengths", (body) => `Content-Length: 0\r\nContent-Length: ${body.length}\r\n\r\n${body}`],
  ["a list of lengths", (body) => `Content-Length: 0, ${body.length}\r\n\r\n${body}`],
  ["a length with a sign", (body) => `Content-Length: +${body.length}\r\n\r\n${body}`],
  ["a length below nothing", (body) => `Content-Length: -1\r\n\r\n${body}`],
  ["a length in sixteens", (body) => `Content-Length: 0x${body.length.toString(16)}\r\n\r\n${body}`],
  ["an encoding that is none", (body) => `Transfer-Encoding: xchunked\r\nContent-Length: 0\r\n\r\n${body}`],
  ["chunked twice", (body) => `Transfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n\r\n0\r\n\r\n${body}`],
  ["a space before the colon", (body) => `Transfer-Encoding : chunked\r\nContent-Length: 3\r\n\r\n0\r\n\r\n${body}`],
  ["a folded header", (body) => `X: y\r\n Content-Length: 0\r\nTransfer-Encoding:\r\n chunked\r\n\r\n0\r\n\r\n${body}`],
  ["a bare line feed", (body) => `X: y\nTransfer-Encoding: chunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n${body}`],
  ["a bare carriage return", (body) => `X: y\rTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n${body}`],
  ["a chunk that is too long", (body) => `Transfer-Encoding: chunked\r\n\r\nffffffffffffffffff\r\n${body}`],
  ["a chunk with a sign", (body) => `Transfer-Encoding: chunked\r\n\r\n-1\r\n${body}`],
  ["NUL in a header", (body) => `X: a\0b\r\nContent-Length: 0\r\n\r\n${body}`],
])("a request with %s lets no other out, and its connection ends", async (_, rest) => {
  for (const method of ["POST", "GET"]) {
    const answer = await askRaw(origin, `${method} /no-such HTTP/1.1\r\n${own()}${rest(hidden())}`);
    expect(statuses(answer).length, answer).toBeLessThanOrEqual(1);
    expect(statuses(answer)).not.toContain("200");
  }
});

test("the body of a request that reads is not read as a request", async () => {
  const body = hidden();
  const answer = await askRaw(origin, `GET /no-such HTTP/1.1\r\n${own()}Content-Length: ${body.length}\r\n\r\n${body}`);
  expect(statuses(answer)).toEqual(["404"]);
});

test("a write is refused before its body, and the connection with it", async () => {
  const answer = await askRaw(origin, `POST / HTTP/1.1\r\n${own()}Content-Length: 3\r\n\r\nabc${hidden()}`);
  expect(statuses(answer)).toEqual(["405"]);
  expect(answer.toLowerCase()).toContain("connection: close");
});

test("what is asked for never comes back in a header", async () => {
  const split = "%0d%0aSet-Cookie:%20stolen=1%0d%0a%0d%0a<script>1</script>";
  const lines = "\r\nSet-Cookie: stolen=1";
  for (const path of [`/open?ticket=${split}`, `/${split}`, `/film/${split}`, `/?${split}`, `/open/..${split}`]) {
    const answer = await ask(origin, path, { headers: { cookie } });
    const { "content-security-policy": _, ...headers } = answer.headers;
    expect(JSON.stringify(headers)).not.toMatch(/stolen|script/iu);
    if (answer.status !== 200) expect(answer.body.toString()).not.toContain("<script");
  }
  // The same as bytes on the line: a second header of the request, which is none of the answer.
  const raw = await askRaw(origin, `GET /open?ticket=x${lines} HTTP/1.1\r\n${own()}Connection: close\r\n\r\n`);
  expect(raw).not.toMatch(/set-cookie/iu);
  for (const name of ["range", "if-range", "if-none-match", "x-forwarded-host", "x-original-url", "referer"]) {
    const answer = await ask(origin, "/", { headers: { cookie, [name]: "http://evil.example/stolen" } });
    expect(answer.status).toBe(200);
    expect(JSON.stringify(answer.headers)).not.toContain("evil");
  }
});

test("another host named beside the own one moves nothing", async () => {
  for (const name of ["x-forwarded-host", "x-host", "forwarded", "x-http-host-override", "x-forwarded-server"]) {
    const { pathname, search } = new URL(shell.address);
    const answer = await ask(origin, pathname + search, { headers: { [name]: "evil.example" } });
    expect([answer.status, answer.headers["location"]]).toEqual([401, undefined]);
  }
  // RFC 9112, 3.2: a request with two is refused, whichever comes first and whatever it asks for.
  const socket = `Origin: ${origin}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n`;
  const asked = [`GET / HTTP/1.1\r\n`, `GET /rpc HTTP/1.1\r\nSec-WebSocket-Key: ${"A".repeat(22)}==\r\n${socket}`];
  for (const start of asked) {
    for (const hosts of [
      `Host: evil.example\r\n${own()}`,
      `${own()}Host: evil.example\r\n`,
      `${own()}HOST: ${host}\r\n`,
    ])
      expect(statuses(await askRaw(origin, `${start}${hosts}\r\n`))).toEqual(["400"]);
    expect(statuses(await askRaw(origin, `${start}${own()}\r\n`))[0]).toMatch(/200|101/u);
  }
});
