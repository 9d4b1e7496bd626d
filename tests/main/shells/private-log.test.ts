/** What the running program writes down of people: nothing, whatever is asked of it and whatever goes wrong. */
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import BetterSqlite3 from "better-sqlite3";
import { expect, test } from "vitest";
import { put } from "#core/game/changes";
import { launchShell } from "../../helpers/launch.ts";
import { aGame, aWholeGame } from "../store/build-game.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { ask, askRaw, callsOver, cookieOf, openSocket } from "./ask.ts";

const secret = "Ottoline";
const { id: _, ...newGame } = aGame();

/** Everything that is in a folder and below, as text. */
function textIn(folder: string): string {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => `${entry.name}\n${readFileSync(join(entry.parentPath, entry.name), "latin1")}`)
    .join("\n");
}

test("names of people, games, sides, films and folders are in no log, nor in what the program prints or says of itself", async () => {
  const home = temporaryFolder();
  const folder = join(home, `The season of ${secret}`);
  mkdirSync(folder);
  const libraryPath = join(folder, "library.crewglass");
  const state = join(home, "state");
  const shell = await launchShell({ libraryPath, env: { XDG_STATE_HOME: state } });
  const cookie = await cookieOf(shell.address);
  const client = callsOver(await openSocket(shell.origin, { cookie, origin: shell.origin }));
  const failing: Promise<unknown>[] = [];
  const fails = (call: Promise<unknown>) => {
    failing.push(
      call.then(
        () => Promise.reject(new Error("nothing was refused")),
        () => undefined,
      ),
    );
  };

  const game = await client.games.create({ ...newGame, title: `${secret} v others`, homeName: secret, level: secret });
  await client.library.set({ observerName: secret });
  const [moment] = aWholeGame().moments;
  fails(client.games.commit({ gameId: game.id, label: secret, changes: [put("moment", null, moment!)] }));
  fails(client.games.commit({ gameId: secret, label: secret, changes: [] }));
  fails(client.games.open({ gameId: secret }));
  fails(client.films.attach({ gameId: game.id, path: join(folder, `${secret}.mp4`) }));
  fails(client.files.browse({ folder: join(folder, secret), of: "film" }));
  writeFileSync(join(folder, `${secret}.cgpacket`), secret);
  fails(client.packets.look({ path: join(folder, `${secret}.cgpacket`) }));
  fails(client.packets.import({ path: join(folder, `${secret}.cgpacket`) }));
  fails(client.books.import({ text: `{"name": "${secret}"` }).then((read) => read.ok || Promise.reject(new Error())));
  fails(client.exports.begin({ folder: join(libraryPath, secret), name: secret }));
  fails(
    (async () => {
      for await (const _event of await client.backups.look({ name: secret }));
    })(),
  );
  await client.diagnostics.windowFailed({
    name: "Error",
    message: `${secret} is not what it was`,
    stack: `Error: ${secret} is not what it was\n    at ${secret} (/home/${secret}/a.ts:1:1)`,
  });
  await Promise.all(failing);
  // Bytes and addresses that name somebody.
  await ask(shell.origin, `/${secret}?${secret}`, { headers: { cookie } });
  await askRaw(shell.origin, `GET /${secret} HTTP/1.1\r\nHost: ${secret}\r\n\r\n`);
  const socket = await openSocket(shell.origin, { cookie, origin: shell.origin });
  if ("socket" in socket) socket.socket.send(`{"i":"1","p":{"u":"http://${secret}/"}}`);

  const { facts, log } = await client.diagnostics.read();
  expect(log.some((line) => line.includes("refused operation=films.attach code=FILE_MISSING"))).toBe(true);
  expect(log.some((line) => line.includes("window failed"))).toBe(true);
  expect(JSON.stringify({ facts, log })).not.toContain(secret);
  expect(await shell.stop()).toBe(0);

  // A row that cannot be read, and a library that is no more.
  const raw = new BetterSqlite3(libraryPath);
  raw.prepare("UPDATE game SET crew_json = ? WHERE id = ?").run(secret, game.id);
  raw.close();
  const again = await launchShell({ libraryPath, env: { XDG_STATE_HOME: state } });
  const second = callsOver(
    await openSocket(again.origin, { cookie: await cookieOf(again.address), origin: again.origin }),
  );
  await expect(second.games.open({ gameId: game.id })).rejects.toMatchObject({ code: "LIBRARY_FAILED" });
  expect(await again.stop()).toBe(0);
  rmSync(join(folder, "library backups"), { recursive: true });
  writeFileSync(libraryPath, secret);
  await expect(launchShell({ libraryPath, env: { XDG_STATE_HOME: state } })).rejects.toThrow(/ended with code/u);

  expect(existsSync(join(state, "crewglass", "logs", "crewglass.log"))).toBe(true);
  const written = textIn(state);
  expect(written).toContain("closed reason=not-a-library");
  expect(written).not.toContain(secret);
  // The address lines aside, nothing of it is printed either while the library opens.
  expect(shell.output() + again.output()).not.toContain(secret);
});
