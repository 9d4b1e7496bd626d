import fc from "fast-check";
import { expect, test } from "vitest";
import { applyChanges, type Change, put, remove, removeMoment, removePlay } from "#core/game/changes";
import { movedStake } from "#core/game/edits";
import type { GameRecords } from "#core/game/records";
import type { Library } from "../../../src-main/store/library.ts";
import { aFilm, aMark, aMoment, aPlay, aStake, aWholeGame } from "./build-game.ts";
import { failureOf } from "./failure-of.ts";
import { mustOpen, openTemporary } from "./temporary-library.ts";

/** One random step; `pick` chooses among what there is, `value` is what is written. */
const steps = fc.array(
  fc.record({
    kind: fc.constantFrom(
      "film",
      "play",
      "moment",
      "stake",
      "mark",
      "rename",
      "nudge",
      "renumber",
      "no stake",
      "no mark",
      "no moment",
      "no play",
      "undo",
      "undo",
      "redo",
      "redo",
      "reopen",
    ),
    pick: fc.nat(1000),
    value: fc.double({ min: -5000, max: 5000, noNaN: true }),
  }),
  { minLength: 1, maxLength: 40 },
);

function changesOf(records: GameRecords, kind: string, pick: number, value: number, newId: () => string): Change[] {
  const from = <T>(rows: readonly T[]): T | undefined => rows[pick % Math.max(1, rows.length)];
  const film = from(records.films);
  const play = from(records.plays);
  const moment = from(records.moments);
  const stake = from(records.stakes);
  const mark = from(records.marks);
  const gameId = records.game.id;
  switch (kind) {
    case "film":
      return [put("film", null, aFilm(gameId, newId(), { durationSec: Math.abs(value) }))];
    case "play":
      return film ? [put("play", null, aPlay(gameId, newId(), film.id, { number: 1 + (pick % 99) }))] : [];
    case "moment": {
      if (!play) return [];
      // A moment with its first stake, in the wrong order on purpose: references hold only at the end.
      const made = aMoment(play, newId(), { frameIndex: pick });
      return [put("stake", null, aStake(made, newId())), put("moment", null, made)];
    }
    case "stake":
      return moment ? [put("stake", null, aStake(moment, newId(), { click: { uPx: value, vPx: -value } }))] : [];
    case "mark":
      return moment
        ? [put("mark", null, aMark(moment, newId(), { facing: pick % 2 ? { uPx: value, vPx: 1 } : null }))]
        : [];
    case "rename":
      return [put("game", records.game, { ...records.game, title: `Game ${value}` })];
    case "nudge":
      return stake
        ? [
            put(
              "stake",
              stake,
              movedStake(stake, 0, {
                at: { uPx: value, vPx: value / 3 },
                raw: pick % 2 ? { uPx: 1, vPx: value } : null,
              }),
            ),
          ]
        : [];
    case "renumber":
      return records.plays.map((each) => put("play", each, { ...each, number: 1 + ((each.number + pick) % 99) }));
    case "no stake":
      return stake ? [remove("stake", stake)] : [];
    case "no mark":
      return mark ? [remove("mark", mark)] : [];
    case "no moment":
      return moment ? removeMoment(records, moment) : [];
    default:
      return play ? removePlay(records, play.id) : [];
  }
}

/** The rows without their order: taking back a removal puts a row at the end. */
function byId(records: GameRecords) {
  const sorted = <T extends { id: string }>(rows: readonly T[]) => rows.toSorted((a, b) => (a.id < b.id ? -1 : 1));
  const { game, films, plays, moments, stakes, marks } = records;
  return {
    game,
    films: sorted(films),
    plays: sorted(plays),
    moments: sorted(moments),
    stakes: sorted(stakes),
    marks: sorted(marks),
  };
}

type Version = { readonly label: string | null; readonly records: GameRecords };

// The model keeps whole games, one for each edit that stands, so that what undo must give is not computed by `invert`.
test("any sequence of commits, undos, redos and restarts leaves the rows of the model", async () => {
  const first = await openTemporary();
  const { path } = first;
  let library: Library = first;
  let gameNumber = 0;
  await fc.assert(
    fc.asyncProperty(steps, async (list) => {
      gameNumber += 1;
      const gameId = `g${gameNumber}`;
      let made = 0;
      const newId = () => `${gameId}-new-${(made += 1)}`;
      const start = aWholeGame(gameId);
      library.addGame(start);
      const standing: Version[] = [{ label: null, records: start }];
      const takenBack: Version[] = [];
      let sequence = 0;
      for (const { kind, pick, value } of list) {
        const now = standing.at(-1) as Version;
        if (kind === "reopen") {
          library.close();
          library = await mustOpen(path);
        } else if (kind === "undo") {
          if (standing.length === 1) expect(failureOf(() => library.undo(gameId)).code).toBe("INVALID");
          else {
            sequence = library.undo(gameId).sequence;
            takenBack.push(standing.pop() as Version);
          }
        } else if (kind === "redo") {
          const again = takenBack.pop();
          if (again === undefined) expect(failureOf(() => library.redo(gameId)).code).toBe("INVALID");
          else {
            sequence = library.redo(gameId).sequence;
            standing.push(again);
          }
        } else {
          const changes = changesOf(now.records, kind, pick, value, newId);
          if (changes.length === 0) continue;
          const label = `${kind} ${sequence}`;
          const edited = library.commit(gameId, label, changes);
          expect(edited.sequence).toBe(sequence + 1);
          sequence = edited.sequence;
          standing.push({ label, records: applyChanges(now.records, changes) });
          takenBack.length = 0;
        }
        const { sequence: stored, history, ...records } = library.openGame(gameId);
        const version = standing.at(-1) as Version;
        expect(byId(records)).toEqual(byId(version.records));
        expect(stored).toBe(sequence);
        expect(history).toEqual({ undo: version.label, redo: takenBack.at(-1)?.label ?? null });
      }
    }),
    { numRuns: 120, seed: 20_260_919 },
  );
}, 60_000);

test("undo takes back exactly what a commit did, and redo makes it again", async () => {
  const library = await openTemporary();
  let gameNumber = 0;
  fc.assert(
    fc.property(steps, (list) => {
      gameNumber += 1;
      const gameId = `g${gameNumber}`;
      let made = 0;
      library.addGame(aWholeGame(gameId));
      for (const { kind, pick, value } of list) {
        const { sequence: _, history: before, ...records } = library.openGame(gameId);
        const changes = changesOf(records, kind, pick, value, () => `${gameId}-new-${(made += 1)}`);
        if (kind === "undo" || kind === "redo" || kind === "reopen" || changes.length === 0) continue;
        library.commit(gameId, kind, changes);
        const after = library.openGame(gameId);
        const undone = library.undo(gameId);
        expect(byId(library.openGame(gameId))).toEqual(byId(records));
        expect(undone.history).toEqual({ undo: before.undo, redo: kind });
        // What the window is told to do must take it to the same place as what the store did.
        expect(byId(applyChanges(after, undone.changes))).toEqual(byId(records));
        library.redo(gameId);
        expect(byId(library.openGame(gameId))).toEqual(byId(after));
      }
    }),
    { numRuns: 60, seed: 7 },
  );
}, 60_000);
