import { Failure } from "#core/contract/errors";
import type { Book } from "#core/mechanics/book";
import { shippedBooks as wholeBooks } from "#core/mechanics/shipped-books";

export type Books = {
  readonly list: () => { id: string; name: string; edition: string }[];
  /** Throws NOT_FOUND. */
  readonly open: (bookId: string) => Book;
};

/** The books that come with the program, parsed once. One that does not parse is our own bug. */
export function shippedBooks(): Books {
  const books = new Map(wholeBooks().map((book) => [book.id, book]));
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
