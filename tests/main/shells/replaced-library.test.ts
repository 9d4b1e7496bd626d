/** A library that is replaced, or cannot be opened, under the running browser shell: what its window can ask for. */
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { expect, onTestFinished, test, vi } from "vitest";
import { backupFolderOf } from "../../../src-main/backups/backup-names.ts";
import { listBackups } from "../../../src-main/backups/backup-shelf.ts";
import type { Client } from "../../../src-renderer/app/client.ts";
import { type LaunchedShell, launchShell } from "../../helpers/launch.ts";
import { aGame } from "../store/build-game.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { callsOver, cookieOf, openSocket } from "./ask.ts";

const { id: _, ...newGame } = aGame();

async function aWindow(shell: LaunchedShell) {
  const cookie = await cookieOf(shell.address);
  const open = async () => {
    const opened = await openSocket(shell.origin, { cookie, origin: shell.origin });
    if (!("socket" in opened)) throw new Error(`refused with ${opened.status}`);
    const { socket } = opened;
    const closed = new Promise<number>((settle) => socket.once("close", settle));
    return { client: callsOver(opened), closed, close: () => socket.close() };
  };
  return { ...(await open()), again: open };
}

/** The result of long work, and how often it said how far it was. */
async function resultOf<T>(
  work: Promise<AsyncIterable<{ kind: "progress"; done: number; total: number } | { kind: "done"; result: T }>>,
): Promise<{ result: T; said: number }> {
  let said = 0;
  for await (const event of await work) {
    if (event.kind === "done") return { result: event.result, said };
    expect(event.done).toBeLessThanOrEqual(event.total);
    said += 1;
  }
  throw new Error("the work ended without a result");
}

async function launch(libraryPath: string): Promise<LaunchedShell> {
  const shell = await launchShell({ libraryPath });
  onTestFinished(async () => void (await shell.stop()));
  return shell;
}

/** A closed library with one game beyond the demo, and backups of it. */
async function withBackups(): Promise<string> {
  const path = join(temporaryFolder(), "library.crewglass");
  const shell = await launchShell({ libraryPath: path });
  const window = await aWindow(shell);
  await window.client.games.create({ ...newGame, title: "Kept" });
  await resultOf(window.client.backups.make());
  window.close();
  expect(await shell.stop()).toBe(0);
  return path;
}

// Each starts the program more than once, which takes its time on a busy machine.
vi.setConfig({ testTimeout: 90_000 });

const titles = async (client: Client) => (await client.games.list()).map(({ title }) => title);

test("a backup is made, looked at and put in place while the window is open; what was there is kept", async () => {
  const path = join(temporaryFolder(), "library.crewglass");
  const shell = await launch(path);
  const window = await aWindow(shell);
  await window.client.games.create({ ...newGame, title: "Before" });
  const made = await resultOf(window.client.backups.make());
  expect(made.said).toBeGreaterThan(0);
  await window.client.games.create({ ...newGame, title: "After" });
  const { backups, failure, folder } = await window.client.backups.list();
  expect({ names: backups.map(({ name }) => name), failure, folder }).toEqual({
    names: [made.result.name],
    failure: null,
    folder: backupFolderOf(path),
  });
  const looked = await resultOf(window.client.backups.look({ name: made.result.name }));
  expect(looked.result).toMatchObject({ ok: true });
  expect(looked.result.ok && looked.result.holds.games.map(({ title }) => title)).toContain("Before");
  expect((await resultOf(window.client.library.check())).result).toEqual([]);

  const watched = (await window.client.games.watch({ gameId: (await window.client.games.list())[0]?.id ?? "" })).next();
  const restored = await resultOf(window.client.backups.restore({ name: made.result.name }));
  // 1012 of IANA's registry of WebSocket close codes: the service restarts.
  expect(await window.closed).toBe(1012);
  await expect(watched).rejects.toThrow();
  const anew = await window.again();
  expect(await anew.client.library.opening()).toEqual({ state: "open" });
  expect(await titles(anew.client)).toContain("Before");
  expect(await titles(anew.client)).not.toContain("After");
  await anew.client.games.create({ ...newGame, title: "Since" });
  expect(readdirSync(join(path, ".."))).toContain((restored.result.kept ?? "").split(/[\\/]/u).at(-1));
  anew.close();

  const kept = await launch(restored.result.kept ?? "");
  expect(await titles((await aWindow(kept)).client)).toEqual(expect.arrayContaining(["Before", "After"]));
});

test("a damaged library is offered its backups, and is kept as it is", async () => {
  const path = await withBackups();
  truncateSync(path, statSync(path).size >> 1);
  const damaged = readFileSync(path);
  const shell = await launch(path);
  expect(shell.output()).toContain("is damaged and was left as it is");
  const window = await aWindow(shell);
  const opening = await window.client.library.opening();
  expect(opening).toMatchObject({ state: "closed", reason: "damaged", canReplace: true, path });
  await expect(window.client.games.list()).rejects.toMatchObject({ code: "LIBRARY_FAILED" });
  await expect(window.client.library.info()).rejects.toMatchObject({ code: "LIBRARY_FAILED" });
  await expect(resultOf(window.client.backups.make())).rejects.toMatchObject({ code: "LIBRARY_FAILED" });
  expect(await window.client.library.tryAgain()).toMatchObject({ state: "closed" });
  expect((await window.client.diagnostics.read()).facts).toContainEqual({ of: "Library", is: "not open" });
  const second = window;
  const [last] = (await second.client.backups.list()).backups;
  await expect(resultOf(second.client.backups.restore({ name: "../../library.crewglass" }))).rejects.toMatchObject({
    code: "NOT_FOUND",
  });
  const { result } = await resultOf(second.client.backups.restore({ name: last?.name ?? "" }));
  expect(readFileSync(result.kept ?? "")).toEqual(damaged);
  await second.closed;
  expect(await titles((await window.again()).client)).toContain("Kept");
});

test("a backup that is damaged too is not put in place", async () => {
  const path = await withBackups();
  const [backup] = listBackups(path);
  truncateSync(backup?.path ?? "", (backup?.sizeBytes ?? 0) >> 1);
  writeFileSync(path, "no library");
  const window = await aWindow(await launch(path));
  await expect(resultOf(window.client.backups.restore({ name: backup?.name ?? "" }))).rejects.toMatchObject({
    code: "LIBRARY_FAILED",
    message: expect.stringContaining("choose an earlier one"),
  });
  expect(readFileSync(path, "utf8")).toBe("no library");
  const { kept } = await window.client.library.startAnew();
  expect(readFileSync(kept ?? "", "utf8")).toBe("no library");
  await window.closed;
  const anew = await window.again();
  expect(await anew.client.library.opening()).toEqual({ state: "open" });
  expect(await titles(anew.client)).not.toContain("Kept");
  await expect(anew.client.library.startAnew()).rejects.toMatchObject({ code: "INVALID" });
});

test("a library that is gone is not silently begun anew where backups of it are", async () => {
  const path = await withBackups();
  renameSync(path, `${path}-elsewhere`);
  const window = await aWindow(await launch(path));
  expect(await window.client.library.opening()).toMatchObject({ state: "closed", reason: "gone", canReplace: true });
  // The disk is connected again.
  renameSync(`${path}-elsewhere`, path);
  expect(await window.client.library.tryAgain()).toEqual({ state: "open" });
  await window.closed;
  expect(await titles((await window.again()).client)).toContain("Kept");
});

test("what cannot be replaced still ends a program without a window, with its sentence", async () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, "a-file"), "");
  mkdirSync(join(folder, "library.crewglass"));
  await expect(launchShell({ libraryPath: join(folder, "a-file", "library.crewglass") })).rejects.toThrow(
    /ended with code 1:\n.*cannot be made/u,
  );
});

test("an ended program has backed up what was edited, and the next start makes none for nothing", async () => {
  const path = await withBackups();
  expect(listBackups(path).length).toBeGreaterThanOrEqual(1);
  const before = listBackups(path).map(({ name }) => name);
  const shell = await launchShell({ libraryPath: path });
  expect(await shell.stop()).toBe(0);
  expect(listBackups(path).map(({ name }) => name)).toEqual(before);
  const edited = await launchShell({ libraryPath: path });
  const window = await aWindow(edited);
  await window.client.games.create({ ...newGame, title: "At the end" });
  expect(await edited.stop()).toBe(0);
  await vi.waitFor(() => expect(listBackups(path)).toHaveLength(before.length + 1));
  rmSync(path);
  renameSync(listBackups(path)[0]?.path ?? "", path);
  expect(await titles((await aWindow(await launch(path))).client)).toContain("At the end");
});
