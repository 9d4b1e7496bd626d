/** What an import would do, in the words that a person reads before it is done. */
import { counted } from "../game/words.ts";
import type { MergePlan, Outcome } from "./merge-plan.ts";
import type { Packet, PacketPart } from "./packet.ts";

const partWords: Readonly<Record<PacketPart, readonly [one: string, more: string]>> = {
  game: ["game", "games"],
  films: ["film", "films"],
  plays: ["play", "plays"],
  angles: ["angle of a play", "angles of plays"],
  moments: ["moment", "moments"],
  stakes: ["stake", "stakes"],
  carries: ["carried survey", "carried surveys"],
  marks: ["mark", "marks"],
  grades: ["grade", "grades"],
  rulings: ["ruling", "rulings"],
  seals: ["seal", "seals"],
  versions: ["version", "versions"],
  scales: ["scale", "scales"],
  books: ["mechanics book", "mechanics books"],
};

/** What importing would do, in sentences. */
export function whatItWould({ isNewGame, counts }: MergePlan, packet: Packet): string[] {
  const listed = (outcome: Outcome) =>
    counts
      .filter((one) => one[outcome] > 0 && one.part !== "game" && one.part !== "versions")
      .map((one) => counted(one[outcome], ...partWords[one.part]))
      .join(", ");
  const line = (outcome: Outcome, words: (list: string) => string) => {
    const list = listed(outcome);
    return list === "" ? [] : [words(list)];
  };
  const game = counts.find(({ part }) => part === "game");
  const taken = counts.find(({ part }) => part === "books");
  const sentences = [
    ...(isNewGame ? [`The game “${packet.game.title}” is added whole.`] : []),
    ...line("new", (list) => `New: ${list}.`),
    ...line("newerThere", (list) => `Newer in the packet, and taken over as a version: ${list}.`),
    ...line("newerHere", (list) => `Newer in this library, and left as it is: ${list}.`),
    ...line("conflicts", (list) => `Said otherwise here and there; both are kept and shown until you choose: ${list}.`),
    ...(game && game.conflicts > 0 ? ["The game itself is described otherwise here; both are kept."] : []),
    ...(taken && taken.conflicts > 0
      ? ["A mechanics book has the id of one here and another text; both are kept."]
      : []),
  ];
  return sentences.length > 0 ? sentences : ["All of it is in this library already: nothing would change."];
}
