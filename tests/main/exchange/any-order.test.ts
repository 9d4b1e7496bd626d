/** Packets of three observers, one of whom works in two libraries, taken in in any order and however often. */
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { type Change, put, remove } from "#core/game/changes";
import { criteria, emptyGame, type GameRecords } from "#core/game/records";
import { isConflict } from "#core/exchange/merge-plan";
import type { Packet } from "#core/exchange/packet";
import { Versions } from "#core/exchange/said-versions";
import type { Library } from "../../../src-main/store/library.ts";
import { openLibrary } from "../../../src-main/store/open-library.ts";
import { aFilm, aGame, aGrade, aMark, aMoment, aPlay, aRuling, aSeal } from "../store/build-game.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { dump, packetOf, recordsOf, take } from "./a-packet.ts";

const gameId = "game-1";
const film = aFilm(gameId, "film");
const plays = [1, 2].map((number) => aPlay(gameId, `play-${number}`, film.id, { number }));
const base: GameRecords = { ...emptyGame, game: aGame(gameId), films: [film], plays };

/** One thing an observer does; `pick` chooses among what there is, `value` is what is said. */
const step = fc.record({
  act: fc.constantFrom("grade", "grade", "grade", "take back", "ruling", "moment", "retime", "retitle", "undo", "send"),
  pick: fc.nat(7),
  value: fc.integer({ min: 2, max: 4 }),
  minute: fc.nat(1),
});
type Step = typeof step extends fc.Arbitrary<infer T> ? T : never;
const script = fc.array(step, { minLength: 1, maxLength: 9 });

/** The observer of each library: the last two are one person's, who took a copy along. */
const authors = ["observer-a", "observer-b", "observer-c", "observer-c"];

function changesOf(
  records: GameRecords,
  { act, pick, value, minute }: Step,
  authorId: string,
  newId: () => string,
): Change[] {
  const play = plays[pick % 2]!;
  const at = `2026-09-21T08:0${minute}:00.000Z`;
  const criterion = criteria[pick % 3]!;
  switch (act) {
    case "grade": {
      const before = records.grades.find(
        (one) => one.playId === play.id && one.criterion === criterion && one.authorId === authorId,
      );
      const id = before?.id ?? newId();
      return [put("grade", before ?? null, aGrade(play, id, { criterion, points: value, authorId, gradedAt: at }))];
    }
    case "take back": {
      const own = records.grades.filter((one) => one.authorId === authorId);
      return own.length === 0 ? [] : [remove("grade", own[pick % own.length]!)];
    }
    case "ruling": {
      const before = records.rulings.find((one) => one.authorId === authorId && one.playId === play.id);
      const foul = `Foul ${value}`;
      return [put("ruling", before ?? null, aRuling(play, before?.id ?? newId(), { foul, authorId, ruledAt: at }))];
    }
    case "moment": {
      const moment = aMoment(play, newId(), { frameIndex: value });
      return [put("moment", null, moment), put("mark", null, aMark(moment, newId()))];
    }
    case "retime": {
      const before = records.plays.find(({ id }) => id === play.id)!;
      return [put("play", before, { ...before, deadSec: value + minute / 10 })];
    }
    case "retitle":
      return [put("game", records.game, { ...records.game, title: `Title ${value}` })];
    case "undo":
    case "send":
      return [];
  }
}

function perform(library: Library, steps: readonly Step[], authorId: string, newId: () => string): Packet[] {
  const sent: Packet[] = [];
  for (const one of steps) {
    if (one.act === "send") sent.push(packetOf(library, gameId, { options: { measurements: one.pick % 2 === 0 } }));
    else if (one.act === "undo") {
      if (library.openGame(gameId).history.undo !== null) library.undo(gameId);
    } else {
      const changes = changesOf(recordsOf(library, gameId), one, authorId, newId);
      if (changes.length > 0) library.commit(gameId, one.act, changes);
    }
  }
  const { seals } = recordsOf(library, gameId);
  // The pair that is one person's seals at two times.
  if (steps.length % 2 === 0 && seals.every((seal) => seal.authorId !== authorId))
    library.commit(gameId, "Seal", [
      put("seal", null, {
        ...aSeal(gameId, authorId),
        id: newId(),
        sealedAt: `2026-09-21T09:0${steps.length}:00.000Z`,
      }),
    ]);
  sent.push(packetOf(library, gameId));
  return sent;
}

// Ten libraries a run, each on disk.
test("any order, and any number of times, gives the same library", { timeout: 120_000 }, async () => {
  let conflicts = 0;
  let takenBack = 0;
  await fc.assert(
    fc.asyncProperty(
      fc.tuple(script, script, script, script),
      script,
      fc.array(fc.nat(1000), { minLength: 40, maxLength: 40 }),
      async (scripts, together, shuffle) => {
        const folder = temporaryFolder();
        const opened: Library[] = [];
        let made = 0;
        const newId = () => `made-${(made += 1)}`;
        const open = async (name: string): Promise<Library> => {
          const result = await openLibrary({
            path: join(folder, `${name}.crewglass`),
            clock: () => new Date("2026-09-22T00:00:00Z"),
            newId,
          });
          if (!result.ok) throw new Error(result.failure.sentence);
          opened.push(result.library);
          return result.library;
        };
        try {
          // Everybody has the game from one library; the third has graded before taking a copy along.
          const home = await open("home");
          home.addGame(base);
          const first = packetOf(home, gameId);
          const copied = await open("copied");
          take(copied, first);
          const begun = perform(
            copied,
            together.filter((one) => one.act !== "send"),
            "observer-c",
            newId,
          ).at(-1)!;
          const packets: Packet[] = [first, begun];
          for (const [index, steps] of scripts.entries()) {
            const library = await open(`observer-${index}`);
            take(library, index < 2 ? first : begun);
            packets.push(
              ...perform(
                library,
                recordsOf(library, gameId).seals.length > 0 ? graded(steps) : steps,
                authors[index]!,
                newId,
              ),
            );
          }

          // In every other run what they are taken into has the game from elsewhere.
          const into = async (name: string) => {
            const library = await open(name);
            if (together.length % 2 === 0)
              library.addGame({ ...base, plays: [{ ...plays[0]!, deadSec: 9 }, plays[1]!] });
            return library;
          };
          const straight = await into("straight");
          for (const packet of packets) take(straight, packet);
          const want = dump(straight);
          for (const packet of packets) take(straight, packet);
          expect(dump(straight)).toBe(want);

          // What is listed is what the versions say.
          const heads = [...Versions.of(straight.saidVersions(gameId)).bySubject.values()].map((one) => one.heads);
          const said = straight.packets.conflicts().filter(({ family }) => family === "grade" || family === "ruling");
          expect(said).toHaveLength(heads.filter(isConflict).length);

          const order = packets
            .flatMap((packet, index) => [
              { packet, at: shuffle[index % shuffle.length]! },
              { packet, at: shuffle[(index * 7 + 13) % shuffle.length]! },
            ])
            .toSorted((a, b) => a.at - b.at);
          const shuffled = await into("shuffled");
          for (const { packet } of order) take(shuffled, packet);
          expect(dump(shuffled)).toBe(want);

          // What two libraries sent each other is the same as well, and passes for a packet of its own.
          const third = await open("third");
          take(third, packetOf(shuffled, gameId));
          const grades = (library: Library) =>
            recordsOf(library, gameId)
              .grades.map(({ id }) => id)
              .toSorted();
          expect(grades(third)).toEqual(grades(straight));
          conflicts += straight.packets.conflicts().length;
          takenBack += straight.versions(gameId).filter((version) => version.act === "taken back").length;
        } finally {
          for (const library of opened) library.close();
        }
      },
    ),
    { numRuns: 15, seed: 20261126 },
  );
  // The scripts reach what they are written for.
  expect(conflicts).toBeGreaterThan(15);
  expect(takenBack).toBeGreaterThan(10);
});

/** What a sealed game still takes: amendments. */
function graded(steps: readonly Step[]): Step[] {
  return steps.filter((one) => one.act === "grade" || one.act === "send");
}
