/**
 * What the service can be made to read. It runs with the rights of whoever started it and names files by their whole paths, by
 * design: films and packets lie where people keep them. What it gives of them is bounded: names, kinds and sizes of folders, films
 * and packets, and what a film or a packet of the right make holds. OWASP Server-Side Request Forgery Prevention Cheat Sheet,
 * OWASP WSTG-ATHZ-01 "Directory Traversal File Include", ASVS 5.0, 5.3.2.
 */
import { spawnSync } from "node:child_process";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { mkdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { zipSync } from "fflate";
import { expect, onTestFinished, test } from "vitest";
import { put } from "#core/game/changes";
import { createFilmTools } from "../../../src-main/film/film-tools.ts";
import { fingerprintFilm } from "../../../src-main/film/fingerprint.ts";
import { serveFilm } from "../../../src-main/film/serve-film.ts";
import { aFilm, aWholeGame } from "../store/build-game.ts";
import { openTemporary, temporaryFolder } from "../store/temporary-library.ts";
import { aService } from "./a-service.ts";

const secret = "TOP-SECRET-9f31c2";

async function aFolder() {
  const folder = temporaryFolder();
  const putFile = (name: string, content: string | Uint8Array) => {
    const path = join(folder, name);
    writeFileSync(path, content);
    return path;
  };
  const library = await openTemporary();
  library.addGame(aWholeGame());
  const { client, logged } = aService(library, { filmTools: createFilmTools() });
  return { folder, putFile, library, client, logged };
}

const saidBy = async (call: Promise<unknown>): Promise<string> =>
  JSON.stringify(await call.catch((error: unknown) => ({ ...(error as object), message: String(error) })));

test("no answer about a file that is neither film nor packet holds a byte of it, whatever it is called", async () => {
  const { putFile, folder, client, logged } = await aFolder();
  const content = `${secret}\n`.repeat(1000);
  const zip = zipSync({ [`${secret.toLowerCase()}`]: Buffer.from(content) });
  const files = ["id_rsa", "film.mp4", "film.webm", "page.html", "a.crewpacket", "a.svg"].map((name) =>
    putFile(name, content),
  );
  files.push(putFile("zip.crewpacket", zip), putFile("empty.mp4", ""));
  symlinkSync(files[0]!, join(folder, "link.mp4"));
  for (const path of [...files, join(folder, "link.mp4"), "/etc/passwd", "/proc/self/environ", "/proc/self/mem"]) {
    const answers = await Promise.all([
      saidBy(client.films.attach({ gameId: "game-1", path })),
      saidBy(client.films.relocate({ gameId: "game-1", filmId: "game-1-film", path })),
      saidBy(client.packets.look({ path })),
      saidBy(client.packets.import({ path })),
      saidBy(client.files.browse({ folder: path })),
    ]);
    for (const said of answers) {
      expect(said).not.toContain(secret);
      expect(said).not.toMatch(/root:.:0:0|PATH=/u);
      expect(said).toMatch(/"code":"(?:FILM_CODEC|FILM_DIFFERS|INVALID|FILE_MISSING|FILE_UNREADABLE)"/u);
    }
  }
  expect(logged).toEqual([]);
});

test("a folder tells the names of its folders, films and packets, and of nothing else", async () => {
  const { putFile, folder, client } = await aFolder();
  for (const name of ["id_rsa", "passwords.txt", ".env", ".film.mp4", "film.mp4.key"]) putFile(name, secret);
  mkdirSync(join(folder, ".ssh"));
  putFile("film.mp4", "");
  putFile("a.crewpacket", "");
  expect((await client.files.browse({ folder })).entries.map(({ name }) => name)).toEqual(["film.mp4"]);
  expect((await client.files.browse({ folder, of: "packet" })).entries.map(({ name }) => name)).toEqual([
    "a.crewpacket",
  ]);
});

test("an address is no path: nothing is fetched", async () => {
  const { client } = await aFolder();
  const asked: string[] = [];
  const server = createServer((request, response) => (asked.push(request.url ?? ""), response.end(secret)));
  await new Promise<void>((settle) => server.listen(0, "127.0.0.1", settle));
  onTestFinished(() => void server.close());
  const { port } = server.address() as AddressInfo;
  const addresses = [
    `http://127.0.0.1:${port}/a.mp4`,
    `//127.0.0.1:${port}/a.mp4`,
    `file:///etc/passwd`,
    "http://169.254.169.254/",
  ];
  for (const path of addresses) {
    expect(await saidBy(client.films.attach({ gameId: "game-1", path }))).toMatch(/"code":"(?:INVALID|FILE_MISSING)"/u);
    expect(await saidBy(client.packets.look({ path }))).toMatch(/"code":"(?:INVALID|FILE_MISSING)"/u);
  }
  expect(asked).toEqual([]);
});

test("a film's record that names another file serves it only to whoever knows its content, and never as a page", async () => {
  const { putFile, library } = await aFolder();
  const path = putFile("page.html", `<script>${secret}</script>`);
  const serve = () => serveFilm(new Request("http://127.0.0.1/film/game-1-film-3"), (id) => library.film(id));
  const film = aFilm("game-1", "game-1-film-3", { path, sizeBytes: statSync(path).size });
  library.commit("game-1", "Attach", [put("film", null, film)]);
  const guessed = await serve();
  expect([guessed.status, (await guessed.text()).includes(secret)]).toEqual([409, false]);
  const { fingerprint } = await fingerprintFilm(path);
  library.commit("game-1", "Say its content", [put("film", film, { ...film, fingerprint })]);
  const known = await serve();
  expect(known.status).toBe(200);
  expect(known.headers.get("content-type")).toBe("application/octet-stream");
  expect(known.headers.get("x-content-type-options")).toBe("nosniff");
  await known.body?.cancel();
});

test.skipIf(process.platform === "win32")(
  "a pipe that nobody writes to, and a device without end, are refused at once and keep nobody waiting",
  async () => {
    const { folder, putFile, client, library } = await aFolder();
    const pipe = join(folder, "pipe.mp4");
    expect(spawnSync("mkfifo", [pipe]).status).toBe(0);
    // A wait for a writer would keep one of the four threads that files are read by.
    const film = aFilm("game-1", "game-1-film-3", { path: pipe });
    library.commit("game-1", "Attach", [put("film", null, film)]);
    const tries = Array.from({ length: 8 }, () => [
      saidBy(client.packets.look({ path: pipe })),
      saidBy(client.packets.look({ path: "/dev/zero" })),
      saidBy(client.films.attach({ gameId: "game-1", path: pipe })),
      saidBy(client.films.attach({ gameId: "game-1", path: "/dev/zero" })),
      serveFilm(new Request("http://127.0.0.1/film/game-1-film-3"), (id) => library.film(id)).then(({ status }) =>
        String(status),
      ),
    ]).flat();
    const late = new Promise<"late">((settle) => setTimeout(() => settle("late"), 5000).unref());
    const said = await Promise.race([Promise.all(tries), late]);
    // Lets go of whoever waits, so that a failure here does not keep the process from ending.
    spawnSync("sh", ["-c", `timeout 1 sh -c 'for i in 1 2 3 4 5 6 7 8 9; do : > "$0"; done' "${pipe}"`]);
    expect(said).not.toBe("late");
    for (const one of said) expect(one).toMatch(/^403$|"code":"(?:INVALID|FILE_UNREADABLE)"/u);
    expect(readFileSync(putFile("still.txt", "read"), "utf8")).toBe("read");
  },
);
