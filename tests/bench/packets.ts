/**
 * Packets: a game of 10,000 grades written, read and imported, and imported again: `node tests/bench/packets.ts`.
 *
 * The grades are of seven officials in five criteria on 286 plays, each given once and a tenth of them corrected, with 60 surveyed
 * moments; the library lies on disk. What is timed is all that follows the choice of a file.
 */
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { put } from "#core/game/changes";
import { criteria, emptyGame, type GameRecords, type Grade } from "#core/game/records";
import { writePacket } from "../../src-main/exchange/packet-file.ts";
import { readPacket } from "../../src-main/exchange/read-packet.ts";
import type { Library } from "../../src-main/store/library.ts";
import { openLibrary } from "../../src-main/store/open-library.ts";
import { aFilm, aGame, aGrade, aMark, aMoment, aPlay, aStake } from "../main/store/build-game.ts";
import { aroundOf, dump, packetOf } from "../main/exchange/a-packet.ts";
import { benchLine } from "./line.ts";

const gameId = "game-1";
const positions = ["R", "U", "H", "LJ", "FJ", "SJ", "BJ"];

function aSeason(): GameRecords {
  const film = aFilm(gameId, "film");
  const plays = Array.from({ length: 286 }, (_, index) =>
    aPlay(gameId, `play-${index}`, film.id, { number: index + 1 }),
  );
  const grades = plays
    .flatMap((play) =>
      positions.flatMap((position) =>
        criteria.slice(0, 5).map((criterion) =>
          aGrade(play, `grade-${play.id}-${position}-${criterion}`, {
            position,
            criterion,
            comment: "as the book asks",
          }),
        ),
      ),
    )
    .slice(0, 10_000);
  const moments = plays.slice(0, 60).map((play) => aMoment(play, `moment-${play.id}`));
  return {
    ...emptyGame,
    game: aGame(gameId),
    films: [film],
    plays,
    moments,
    stakes: moments.flatMap((moment) =>
      Array.from({ length: 6 }, (_, index) => aStake(moment, `${moment.id}-${index}`)),
    ),
    marks: moments.flatMap((moment) =>
      Array.from({ length: 20 }, (_, index) => aMark(moment, `${moment.id}-m${index}`)),
    ),
    grades,
  };
}

async function open(path: string): Promise<Library> {
  const result = await openLibrary({ path, clock: () => new Date(), newId: () => crypto.randomUUID() });
  if (!result.ok) throw new Error(result.failure.sentence);
  return result.library;
}

export async function bench(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-bench-"));
  try {
    const sender = await open(join(folder, "sender.crewglass"));
    const season = aSeason();
    sender.addGame(season);
    const corrected = season.grades.filter((_, index) => index % 10 === 0);
    const changes = corrected.map((grade: Grade) => put("grade", grade, { ...grade, points: 3 }));
    sender.commit(gameId, "Correct", changes);
    const path = join(folder, "season.crewpacket");
    let start = performance.now();
    await writePacket(path, packetOf(sender, gameId));
    benchLine("packet-write-of-10000-grades", (performance.now() - start) / 1000, "s", "<=", 3);
    benchLine("packet-size-of-10000-grades", statSync(path).size / 1e6, "MB", "<=", 10);

    const seconds = { first: [] as number[], again: [] as number[] };
    for (let round = 0; round < 3; round++) {
      const library = await open(join(folder, `library-${round}.crewglass`));
      const take = async () => {
        start = performance.now();
        const read = await readPacket(path);
        if (!read.ok) throw new Error(read.sentence);
        library.packets.take(read.packet, read.packetId, aroundOf(library));
        return (performance.now() - start) / 1000;
      };
      seconds.first.push(await take());
      const before = dump(library);
      seconds.again.push(await take());
      if (dump(library) !== before) throw new Error("the second import changed the library");
      library.close();
    }
    sender.close();
    const median = (list: number[]) => list.toSorted((a, b) => a - b)[1]!;
    benchLine("packet-import-of-10000-grades", median(seconds.first), "s", "<=", 2);
    benchLine("packet-import-of-10000-grades-again", median(seconds.again), "s", "<=", 2);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (import.meta.main) await bench();
