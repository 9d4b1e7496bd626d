/**
 * Run as a process of its own: opens the library given, and renames its only game over and over, saying each edit's
 * sequence on its own line after the commit has returned. `--hold` only opens it and says so. Both say when they begin to.
 */
import { writeSync } from "node:fs";
import { put } from "#core/game/changes";
import { openLibrary } from "../../../src-main/store/open-library.ts";

const [path = "", mode = ""] = process.argv.slice(2);
writeSync(1, "opening\n");
const opened = await openLibrary({ path, clock: () => new Date(), newId: () => "unused" });
if (!opened.ok) throw new Error(opened.failure.sentence);
const { library } = opened;
writeSync(1, "open\n");
if (mode === "--hold") await new Promise<void>((resolve) => setTimeout(resolve, 60_000));
for (;;) {
  const [summary] = library.listGames();
  if (summary === undefined) throw new Error("there is no game to edit");
  const { game, sequence } = library.openGame(summary.id);
  const edited = library.commit(game.id, "Rename", [put("game", game, { ...game, title: `Title ${sequence + 1}` })]);
  writeSync(1, `${edited.sequence}\n`);
}
