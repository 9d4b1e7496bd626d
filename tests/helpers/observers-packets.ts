/** Packets of invented observers who graded the same invented games in libraries of their own, as files in a folder. */
import { randomUUID } from "node:crypto";
import { mkdtempSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { makePacket } from "#core/exchange/make-packet";
import { packetEnding } from "#core/exchange/packet";
import { seededRandom } from "#core/field/random";
import { asTheTemplate } from "#core/field/field-choices";
import { emptyGame, type Game, type Grade, nothingSaid, type Play } from "#core/game/records";
import { packetBytes } from "../../src-main/exchange/packet-file.ts";
import { personIdBy } from "../../src-main/exchange/person-id.ts";
import { openLibrary } from "../../src-main/store/open-library.ts";

export type Observed = { readonly name: string; readonly severity: number };

const crewOf = (game: number) => [
  { position: "R", name: ["Tamsin Orrelby", "Casper Dunwick"][game % 2] ?? "" },
  { position: "LJ", name: ["Ivo Brandwick", "Linnet Sawbridge", "Otho Fenn"][game % 3] ?? "" },
];
const criteriaGraded = ["station", "look"] as const;

/** A file for each observer and game; everybody sees every game, each as strict as they are. */
export async function observersPackets(
  folder: string,
  observers: readonly Observed[],
  games: number,
): Promise<{ readonly paths: string[]; readonly grades: number }> {
  const paths: string[] = [];
  let grades = 0;
  const libraries = mkdtempSync(join(folder, "libraries-"));
  for (const [seat, observer] of observers.entries()) {
    const opened = await openLibrary({
      path: join(libraries, `observer-${seat}.crewglass`),
      clock: () => new Date("2026-09-22T12:00:00Z"),
      newId: randomUUID,
    });
    if (!opened.ok) throw new Error(opened.failure.sentence);
    const { library } = opened;
    const authorId = library.note("observer-id") ?? "";
    for (let number = 0; number < games; number++) {
      // What deserves what is the same for everybody who sees the game.
      const truth = seededRandom(number + 1);
      const game: Game = {
        id: `game-${number}-of-${seat}`,
        title: `Herons v Lanterns ${number + 1}`,
        playedOn: `2026-09-${String(number + 1).padStart(2, "0")}`,
        level: "Saltmarsh Valley Flag League",
        homeName: "Kiln Street Herons",
        awayName: "Port Ansel Lanterns",
        playersPerSide: 7,
        templateId: "flag-100x40",
        fieldChoices: asTheTemplate,
        bookId: "flag-crew-of-four",
        lineJudgeSide: "far",
        crew: crewOf(number),
      };
      const film = {
        id: `film-${number}-of-${seat}`,
        gameId: game.id,
        order: 1,
        label: "Film",
        path: "/nowhere/film.mp4",
        sizeBytes: 1,
        fingerprint: "0".repeat(64),
        widthPx: 1280,
        heightPx: 720,
        durationSec: 600,
        codec: "H.264",
        lens: null,
      };
      const plays = Array.from({ length: 6 }, (_, index): Play => ({
        ...nothingSaid,
        id: `play-${index}-${game.id}`,
        gameId: game.id,
        filmId: film.id,
        number: index + 1,
        startSec: index * 10,
        endSec: index * 10 + 9,
        situation: {
          offence: "home",
          direction: "right",
          down: 1,
          scrimmageXYards: 40,
          lineToGainXYards: 50,
          ballYYards: 20,
        },
      }));
      const own = seededRandom(1000 * (seat + 1) + number);
      const said: Grade[] = plays.flatMap((play) =>
        game.crew.flatMap(({ position }) =>
          criteriaGraded.map((criterion): Grade => {
            const deserved = 3.4 + 0.5 * truth.normal() + (position === "R" ? 0.2 : 0);
            const felt = deserved - observer.severity + 0.4 * own.normal();
            const points = Math.min(5, Math.max(1, Math.round(felt)));
            return {
              id: `grade-${position}-${criterion}-${play.id}`,
              gameId: game.id,
              playId: play.id,
              position,
              criterion,
              scaleId: "five-points",
              points,
              suggested: null,
              reason: points === 1 || points === 5 ? "as seen" : "",
              comment: "",
              momentIds: [],
              authorId,
              gradedAt: "2026-09-21T18:00:00.000Z",
            };
          }),
        ),
      );
      library.addGame({ ...emptyGame, game, films: [film], plays, grades: said });
      grades += said.length;
      const { sequence: _, history: __, ...records } = library.openGame(game.id);
      const made = makePacket(
        {
          records,
          versions: library.saidVersions(game.id),
          scales: [],
          books: [],
          observerName: observer.name,
          personIdOf: personIdBy(library.note("people-key") ?? ""),
        },
        { observerName: true, crewNames: true, measurements: false, carries: false },
        { madeAt: "2026-09-22T12:00:00.000Z", app: "0.1.0", schema: library.schemaVersion, observerId: authorId },
      );
      if (!made.ok) throw new Error(made.sentence);
      const path = join(folder, `${observer.name} ${number + 1}${packetEnding}`);
      writeFileSync(path, packetBytes(made.packet));
      paths.push(path);
    }
    library.close();
  }
  return { paths, grades };
}
