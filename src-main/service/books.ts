import { Failure } from "#core/contract/errors";
import type { Book } from "#core/mechanics/book";
import { parseBook } from "#core/mechanics/book-shape";
import flagCrewOfFour from "../../src-core/mechanics/books/flag-crew-of-four.json" with { type: "json" };

export type Books = {
  readonly list: () => { id: string; name: string; edition: string }[];
  /** Throws NOT_FOUND. */
  readonly open: (bookId: string) => Book;
};

/** The books that come with the program, parsed once. One that does not parse is our own bug. */
export function shippedBooks(): Books {
  const books = new Map<string, Book>();
  for (const json of [flagCrewOfFour] as unknown[]) {
    const parsed = parseBook(json);
    if (!parsed.ok) throw new Error(`a shipped book does not parse: ${parsed.fault.path}: ${parsed.fault.message}`);
    books.set(parsed.book.id, parsed.book);
  }
  return {
    list: () => [...books.values()].map(({ id, name, edition }) => ({ id, name, edition })),
    open: (bookId) => {
      const book = books.get(bookId);
      if (book === undefined)
        throw new Failure("NOT_FOUND", `This program has no mechanics book “${bookId}”: choose another for the game.`);
      return book;
    },
  };
}
