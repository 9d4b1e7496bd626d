import type { Book } from "./book.ts";
import flagCrewOfFour from "./books/flag-crew-of-four.json" with { type: "json" };
import tackleCrewOfEight from "./books/tackle-crew-of-eight.json" with { type: "json" };
import tackleCrewOfFive from "./books/tackle-crew-of-five.json" with { type: "json" };
import tackleCrewOfFour from "./books/tackle-crew-of-four.json" with { type: "json" };
import tackleCrewOfSeven from "./books/tackle-crew-of-seven.json" with { type: "json" };
import tackleCrewOfThree from "./books/tackle-crew-of-three.json" with { type: "json" };
import { resolveBook } from "./resolve-book.ts";

/** The files of the books that come with the program, in the order in which they are offered. */
export const shippedFiles: readonly { readonly id: string }[] = [
  flagCrewOfFour,
  tackleCrewOfThree,
  tackleCrewOfFour,
  tackleCrewOfFive,
  tackleCrewOfSeven,
  tackleCrewOfEight,
];

export function shippedFile(bookId: string): unknown {
  return shippedFiles.find(({ id }) => id === bookId);
}

/** Every shipped book, whole. One that is not sound is our own bug. */
export function shippedBooks(): Book[] {
  return shippedFiles.map((file) => {
    const parsed = resolveBook(file, shippedFile);
    if (parsed.ok) return parsed.book;
    throw new Error(`the shipped book ${file.id}: ${parsed.fault.path}: ${parsed.fault.message}`);
  });
}
