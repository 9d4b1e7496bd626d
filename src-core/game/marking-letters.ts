import type { MarkSubject } from "./records.ts";

/** Letters that the field book has for something else while people are marked. */
const taken: ReadonlySet<string> = new Set(["q", "w", "v", "t", "x", "g"]);

/** One letter a role, and one that turns the side over. */
const roleLetters: readonly { readonly letter: string; readonly subject: MarkSubject }[] = [
  { letter: "o", subject: { kind: "player", side: "A", role: "receiver" } },
  { letter: "k", subject: { kind: "player", side: "A", role: "back" } },
  { letter: "p", subject: { kind: "player", side: "A", role: "passer" } },
  { letter: "n", subject: { kind: "player", side: "A", role: "snapper" } },
  { letter: "j", subject: { kind: "player", side: "A", role: "blocker" } },
  { letter: "i", subject: { kind: "player", side: "B", role: "defender" } },
  { letter: "m", subject: { kind: "player", side: "B", role: "rusher" } },
  { letter: "y", subject: { kind: "ball" } },
];
export const sideLetter = "z";

/**
 * The letter of everybody who can be marked: an official's is the first of the position's own letters that is free, and
 * so the one a crew says first. Positions are taken in the order of the book.
 */
export function markingLetters(positions: readonly string[]): ReadonlyMap<string, MarkSubject> {
  const letters = new Map<string, MarkSubject>(roleLetters.map(({ letter, subject }) => [letter, subject]));
  for (const position of positions) {
    const free = position
      .toLowerCase()
      .split("")
      .find((letter) => !letters.has(letter) && !taken.has(letter) && letter !== sideLetter);
    if (free !== undefined) letters.set(free, { kind: "official", position });
  }
  return letters;
}

/** The same place in the other team: whoever has no counterpart becomes the most usual of that side. */
export function otherSideOf(subject: MarkSubject): MarkSubject {
  return subject.kind === "player" && subject.side === "A"
    ? { kind: "player", side: "B", role: "defender" }
    : { kind: "player", side: "A", role: "receiver" };
}
