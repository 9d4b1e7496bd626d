import { expect, test } from "vitest";
import { namesLeftIn, whatItHolds } from "#core/exchange/what-it-holds";
import { aSeal, aWholeGame } from "../../main/store/build-game.ts";
import { aPacket } from "./build-packet.ts";

const game = aWholeGame();

test("what a packet holds is said before it leaves", () => {
  expect(whatItHolds(aPacket({ ...game, seals: [aSeal("game-1")] }))).toEqual([
    "The game “Herons v Lanterns” of 2026-09-19 with 1 play and 1 moment.",
    "1 grade and 1 ruling (0 correct, 0 incorrect, 1 marginal, 0 cannot judge) by 1 observer, with every version of them (2), their reasons and comments as they were written.",
    "The evaluation is finalised by 1 observer.",
    "What was measured: 5 stakes, 3 marks, 1 carried survey.",
    "Your name: Wendeline Askew.",
    "The names of the crew: R Tamsin Orrelby.",
    "2 films by label, size, length and fingerprint: no film, and not where it lies.",
    "No private notes.",
  ]);
});

test("and what it does not", () => {
  const bare = whatItHolds(aPacket(game, { observerName: false, crewNames: false, measurements: false })).join("\n");
  expect(bare).toMatch(/No stakes and no marks/u);
  expect(bare).toMatch(/Your name is left off; the id of your library goes along/u);
  expect(bare).toMatch(/officials go by position, and by an id/u);
  expect(bare).toMatch(/not finalised/u);
  expect(bare).not.toMatch(/Askew|Orrelby/u);
});

test("a name that is left off in its place but stands in what somebody wrote is said", () => {
  const told = { ...game, grades: [{ ...game.grades[0]!, comment: "told tamsin orrelby so" }] };
  const packet = aPacket(told, { crewNames: false });
  expect(namesLeftIn(packet, ["Tamsin Orrelby", "", "Ivo Brandwick"])).toEqual([
    "“Tamsin Orrelby” is left off, but still stands in 2 texts that somebody wrote.",
  ]);
  expect(namesLeftIn(aPacket(game, { crewNames: false }), ["Tamsin Orrelby"])).toEqual([]);
});
