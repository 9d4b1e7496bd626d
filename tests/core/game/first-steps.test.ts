import { expect, it } from "vitest";
import { firstSteps, stepsGone } from "#core/game/first-steps";
import { emptyGame, type GameRecords } from "#core/game/records";
import { demoGame } from "../scoring/demo-records.ts";

const empty: GameRecords = { ...demoGame, ...emptyGame };
const without = (part: Partial<GameRecords>) => [...stepsGone({ ...demoGame, ...part })];

it("none is gone in an empty game, and all in a whole one", () => {
  expect([...stepsGone(empty)]).toEqual([]);
  expect([...stepsGone(demoGame)]).toEqual(firstSteps);
});

it("each is gone by what is there of it", () => {
  const play = demoGame.plays.find(({ id }) => demoGame.moments.filter(({ playId }) => playId === id).length > 1)!;
  const [moment] = demoGame.moments.filter(({ playId }) => playId === play.id);
  const marks = demoGame.marks.filter(({ momentId }) => momentId === moment!.id);
  expect(without({ marks })).toEqual(["film", "plays", "survey", "marks"]);
  expect(without({ marks: marks.filter(({ subject }) => subject.kind === "player") })).toEqual([
    "film",
    "plays",
    "survey",
  ]);
  expect(without({ stakes: demoGame.stakes.slice(0, 3), marks: [] })).toEqual(["film", "plays"]);
  expect(without({ plays: demoGame.plays.map((one) => ({ ...one, snapSec: null })), stakes: [], marks: [] })).toEqual([
    "film",
  ]);
});
