import type { Book } from "./book.ts";

/** The first quarter of the second half. A game played in halves counts them as quarters one and three. */
const secondHalfFrom = 3;

/** The book as it stands in a quarter: some crews change sides at the half. An unknown quarter is taken as of the first half. */
export function bookInQuarter(book: Book, quarter: number | null): Book {
  if (quarter === null || quarter < secondHalfFrom) return book;
  if (book.positions.every(({ secondHalfSide }) => secondHalfSide === undefined)) return book;
  return { ...book, positions: book.positions.map((one) => ({ ...one, side: one.secondHalfSide ?? one.side })) };
}
