/**
 * The program killed while it makes a backup or puts one in place, and a library damaged under it: no backup that has its name
 * is anything but whole, what was acknowledged is in the library or in what is kept of it, and a damaged one is offered its
 * backups and kept byte by byte.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import type BetterSqlite3 from "better-sqlite3";
import { put } from "#core/game/changes";
import { backupFolderOf } from "../../src-main/backups/backup-names.ts";
import { listBackups } from "../../src-main/backups/backup-shelf.ts";
import { callsOf, type Calls, resultOf } from "./shared/calls.ts";
import type { Dice } from "./shared/dice.ts";
import { eachTry } from "./shared/each-try.ts";
import type { Fault, Tally } from "./shared/fault.ts";
import { startProgram } from "./shared/program.ts";
import { rawFaults } from "./shared/raw-check.ts";

const demo = "demo-game";

export const backups: Fault = (options) =>
  eachTry("backups", options, async ({ folder, dice, tally, index }) => {
    const path = join(folder, "Crewglass", "library.crewglass");
    mkdirSync(dirname(path));
    const kinds = [killedWhileMaking, killedWhilePutting, damaged] as const;
    return kinds[index % kinds.length]!(path, dice, tally);
  });

/** Renames the demo game so often, and gives the last name that was acknowledged. */
async function edit({ client }: Calls, name: string, times: number): Promise<string> {
  for (let time = 0; time < times; time++) {
    const { game } = await client.games.open({ gameId: demo });
    await client.games.commit({
      gameId: demo,
      label: "Rename",
      changes: [put("game", game, { ...game, title: `${name} ${time}` })] as never,
    });
  }
  return `${name} ${times - 1}`;
}

async function killedWhileMaking(path: string, dice: Dice, tally: Tally): Promise<string[]> {
  const program = startProgram(path);
  const calls = await callsOf(await program.address);
  const title = await edit(calls, "Acknowledged", 1 + dice.below(4));
  const count = dice.below(3);
  for (let made = 0; made < count; made++) await resultOf(calls.client.backups.make());
  const whole = new Set(listBackups(path).map(({ name }) => name));
  const making = resultOf(calls.client.backups.make()).then(
    () => tally.add("killed after the backup was made"),
    () => tally.add("killed while the backup was made"),
  );
  await Promise.race([making, pause(dice.share() * 400)]);
  await program.kill();
  await making;
  return [
    ...[...whole]
      .filter((name) => !listBackups(path).some((backup) => backup.name === name))
      .map((name) => `${name} is gone`),
    ...faultsOfBackups(path),
    ...(await faultsAfter(path, [title])),
  ];
}

async function killedWhilePutting(path: string, dice: Dice, tally: Tally): Promise<string[]> {
  const program = startProgram(path);
  const calls = await callsOf(await program.address);
  const before = await edit(calls, "Backed up", 1 + dice.below(3));
  const { name } = await resultOf(calls.client.backups.make());
  const after = await edit(calls, "Since", 1 + dice.below(3));
  const putting = resultOf(calls.client.backups.restore({ name })).then(
    () => tally.add("killed after it was put in place"),
    () => tally.add("killed while it was put in place"),
  );
  await Promise.race([putting, pause(dice.share() * 600)]);
  await program.kill();
  await putting;
  if (!existsSync(path)) tally.add("of these, with the place empty for the moment");
  const kept = [path, ...keptBeside(path)].map(titleIn);
  return [
    ...(kept.includes(after)
      ? []
      : [`what was acknowledged last (${after}) is neither in the library nor in what is kept`]),
    ...faultsOfBackups(path),
    ...(await faultsAfter(path, [before, after])),
  ];
}

async function damaged(path: string, dice: Dice, tally: Tally): Promise<string[]> {
  const first = startProgram(path);
  const calls = await callsOf(await first.address);
  const title = await edit(calls, "Backed up", 1 + dice.below(4));
  calls.close();
  if ((await first.stop()) !== 0) return [`the program ended with ${first.output()}`];
  const bytes = readFileSync(path);
  if (dice.share() < 0.4) truncateSync(path, 1 + dice.below(bytes.length - 1));
  else {
    const from = dice.below(bytes.length);
    bytes.fill(dice.below(256), from, Math.min(bytes.length, from + 1 + dice.below(bytes.length / 2)));
    writeFileSync(path, bytes);
  }
  const harmed = readFileSync(path);
  const program = startProgram(path);
  const again = await callsOf(await program.address);
  try {
    const opening = await again.client.library.opening();
    if (opening.state === "open") {
      tally.add("harmed where nothing is kept, or read as another value");
      return [];
    }
    tally.add("found damaged");
    if (!opening.canReplace) return [`a damaged library is not offered its backups: ${opening.sentence}`];
    const [last] = (await again.client.backups.list()).backups;
    const { kept } = await resultOf(again.client.backups.restore({ name: last?.name ?? "" }));
    if (kept === null || !readFileSync(kept).equals(harmed)) return ["the damaged file was not kept as it was"];
    const anew = await again.again();
    const { game } = await anew.client.games.open({ gameId: demo });
    anew.close();
    return game.title === title ? [] : [`the last backup has "${game.title}", and "${title}" was acknowledged`];
  } finally {
    await program.kill();
  }
}

/** The names that the library may have after a kill: what a start finds, and an edit and its undo in it. */
async function faultsAfter(path: string, titles: readonly string[]): Promise<string[]> {
  const program = startProgram(path);
  const calls = await callsOf(await program.address);
  try {
    const opening = await calls.client.library.opening();
    let { client } = calls;
    if (opening.state === "closed") {
      if (opening.reason !== "gone") return [`the library did not open: ${opening.sentence}`];
      const [last] = (await client.backups.list()).backups;
      await resultOf(client.backups.restore({ name: last?.name ?? "" }));
      client = (await calls.again()).client;
    }
    const { game } = await client.games.open({ gameId: demo });
    await edit({ client, close: () => {} }, "After", 1);
    await client.games.undo({ gameId: demo });
    const back = (await client.games.open({ gameId: demo })).game.title;
    return [
      ...(titles.includes(game.title) ? [] : [`the library has "${game.title}", none of ${titles.join(", ")}`]),
      ...(back === game.title ? [] : [`undo gave "${back}" for "${game.title}"`]),
      ...(await resultOf(client.library.check())),
    ];
  } finally {
    await program.kill();
  }
}

function faultsOfBackups(path: string): string[] {
  const folder = backupFolderOf(path);
  return listBackups(path).flatMap(({ name }) => rawFaults(join(folder, name)).map((fault) => `${name}: ${fault}`));
}

const keptBeside = (path: string): string[] =>
  readdirSync(dirname(path))
    .filter((name) => /\((?:replaced|damaged) [^)]*\)\.crewglass$/u.test(name))
    .map((name) => join(dirname(path), name));

/** The demo game's title in a library's file, with its log; null where there is no such file. */
function titleIn(path: string): string | null {
  if (!existsSync(path)) return null;
  let title: string | null = null;
  const faults = rawFaults(path, (db: BetterSqlite3.Database) => {
    title = db.prepare<[string], string>("SELECT title FROM game WHERE id = ?").pluck().get(demo) ?? null;
    return [];
  });
  return faults.length === 0 ? title : null;
}
