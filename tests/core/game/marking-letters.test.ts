import { expect, it } from "vitest";
import { markingLetters, otherSideOf, sideLetter } from "#core/game/marking-letters";
import { shippedBooks } from "#core/mechanics/shipped-books";
import { keyRows } from "../../../src-renderer/app/keys.ts";

it("gives every official of every shipped book a letter of their own name, and all others a letter too", () => {
  for (const { id, positions: all } of shippedBooks()) {
    const positions = all.map((position) => position.id);
    const letters = markingLetters(positions);
    for (const position of positions) {
      const letter = [...letters].find(
        ([, subject]) => subject.kind === "official" && subject.position === position,
      )?.[0];
      expect(letter, `${id} ${position}`).toBeDefined();
      expect(position.toLowerCase()).toContain(letter);
    }
    expect(letters.size).toBe(positions.length + 8);
  }
});

it("takes no letter that the field book has for something else", () => {
  const letters = new Set([...markingLetters(["R", "U", "HL", "LJ", "FJ", "SJ", "BJ", "CJ", "DJ"]).keys(), sideLetter]);
  const others = keyRows
    .filter(({ place }) => place === undefined || place === "fieldbook")
    .flatMap(({ codes }) => codes);
  expect(others.filter((code) => letters.has(code))).toEqual([]);
});

it("turns a side over, and back", () => {
  const receiver = { kind: "player", side: "A", role: "receiver" } as const;
  expect(otherSideOf(receiver)).toEqual({ kind: "player", side: "B", role: "defender" });
  expect(otherSideOf(otherSideOf(receiver))).toEqual(receiver);
});
