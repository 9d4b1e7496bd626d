import { Failure } from "#core/contract/errors";
import type { Book } from "#core/mechanics/book";
import type { BookFault } from "#core/mechanics/book-faults";
import type { ParsedBook } from "#core/mechanics/book-shape";
import { bookText } from "#core/mechanics/book-text";
import { resolveBook } from "#core/mechanics/resolve-book";
import { shippedBooks as wholeBooks, shippedFile } from "#core/mechanics/shipped-books";
import type { BookShelf } from "../store/book-shelf.ts";

export type ListedBook = {
  readonly id: string;
  readonly name: string;
  readonly edition: string;
  readonly origin: "shipped" | "own";
  readonly extends: string | null;
  readonly fault: BookFault | null;
};

/** The shipped books and the person's own. */
export type Books = {
  /** Shipped books first, each in the order of its kind. */
  readonly list: () => ListedBook[];
  /** Throws NOT_FOUND, and INVALID for an own book that no longer reads. */
  readonly open: (bookId: string) => Book;
  /** The text of its file. Throws NOT_FOUND. */
  readonly file: (bookId: string) => string;
  readonly check: (text: string) => ParsedBook;
  /** Nothing is written when the book is faulty, its id taken, or another than that of the book it replaces. */
  readonly save: (text: string, replaces: string | null) => ParsedBook;
  /** Ids of the books that come with the program. */
  readonly shippedIds: ReadonlySet<string>;
  /** The files of an own book and of the own books it extends; none for a shipped one, or one that is not here. */
  readonly ownFiles: (bookId: string) => { id: string; file: string }[];
  /** The id of the copy. Throws what `open` throws. */
  readonly copy: (bookId: string) => string;
  readonly import: (text: string) => ParsedBook;
  /** Throws INVALID for a shipped book and one that a game is judged by. */
  readonly remove: (bookId: string) => boolean;
};

/** The books that come with the program, for what has no library. */
export function shippedBooks(): Pick<Books, "open"> {
  return createBooks({ list: () => [], get: () => null, put: () => {}, remove: () => false, gamesWith: () => 0 });
}

export function createBooks(shelf: BookShelf): Books {
  const shipped = new Map(wholeBooks().map((book) => [book.id, book]));

  const fileOf = (bookId: string): unknown => {
    if (shipped.has(bookId)) return shippedFile(bookId);
    const text = shelf.get(bookId);
    const json = text === null ? null : jsonOf(text);
    return json?.ok ? json.value : undefined;
  };
  const check = (text: string): ParsedBook => {
    const json = jsonOf(text);
    return json.ok ? resolveBook(json.value, fileOf) : json;
  };
  const isTaken = (id: string) => shipped.has(id) || shelf.get(id) !== null;
  /** The id itself, or with the first number behind it that makes it free. */
  const freeId = (id: string) => {
    let free = id;
    for (let number = 2; isTaken(free); number += 1) free = `${id.slice(0, 58)}-${number}`;
    return free;
  };
  const open = (bookId: string): Book => {
    const known = shipped.get(bookId);
    if (known) return known;
    const text = shelf.get(bookId);
    if (text === null)
      throw new Failure("NOT_FOUND", `There is no mechanics book “${bookId}” here: choose another for the game.`);
    const parsed = check(text);
    if (parsed.ok) return parsed.book;
    const { path, message } = parsed.fault;
    throw new Failure("INVALID", `The mechanics book “${bookId}” does not read: ${path}: ${message}.`);
  };

  return {
    list: () => [
      ...[...shipped.values()].map((book): ListedBook => {
        return { ...named(book, shippedFile(book.id)), origin: "shipped", fault: null };
      }),
      ...shelf.list().map(({ id, file }): ListedBook => {
        const parsed = check(file);
        const json = jsonOf(file);
        const head = named({ id, name: id, edition: "" }, json.ok ? json.value : null);
        return { ...head, origin: "own", fault: parsed.ok ? null : parsed.fault };
      }),
    ],
    open,
    file: (bookId) => {
      const book = shipped.get(bookId);
      if (book) return bookText(shippedFile(bookId) as object);
      const text = shelf.get(bookId);
      if (text === null) throw new Failure("NOT_FOUND", `There is no mechanics book “${bookId}” here.`);
      return text;
    },
    check,
    shippedIds: new Set(shipped.keys()),
    ownFiles: (bookId) => {
      const files: { id: string; file: string }[] = [];
      let next: unknown = bookId;
      while (typeof next === "string" && !files.some(({ id }) => id === next)) {
        const file = shipped.has(next) ? null : shelf.get(next);
        if (file === null) break;
        files.push({ id: next, file });
        const json = jsonOf(file);
        next = json.ok ? (json.value as { extends?: unknown } | null)?.extends : null;
      }
      return files;
    },
    save: (text, replaces) => {
      const parsed = check(text);
      if (!parsed.ok) return parsed;
      const { id } = parsed.book;
      const refuse = (message: string): ParsedBook => ({ ok: false, fault: { path: "id", message } });
      if (replaces !== null && id !== replaces)
        return refuse(`games know this book as ${replaces}: it keeps its id, and a copy has one of its own`);
      if (shipped.has(id)) return refuse(`${id} comes with the program: a book of your own needs another id`);
      if (replaces === null && isTaken(id)) return refuse(`there is a book ${id} already`);
      shelf.put(id, text);
      return parsed;
    },
    copy: (bookId) => {
      const book = open(bookId);
      const id = freeId(`${bookId}-copy`.slice(0, 60));
      shelf.put(id, bookText({ ...book, id, name: `${book.name}, copy` }));
      return id;
    },
    import: (text) => {
      const parsed = check(text);
      if (!parsed.ok) return parsed;
      const id = freeId(parsed.book.id);
      if (id === parsed.book.id) {
        shelf.put(id, text);
        return parsed;
      }
      const json = jsonOf(text);
      shelf.put(id, bookText({ ...((json.ok ? json.value : {}) as object), id }));
      return { ok: true, book: { ...parsed.book, id } };
    },
    remove: (bookId) => {
      if (shipped.has(bookId)) throw new Failure("INVALID", "A book that comes with the program cannot be taken away.");
      const games = shelf.gamesWith(bookId);
      if (games > 0)
        throw new Failure(
          "INVALID",
          `${games === 1 ? "A game is" : `${games} games are`} judged by this book: it stays as long as they do.`,
        );
      return shelf.remove(bookId);
    },
  };
}

function named(book: Pick<ListedBook, "id" | "name" | "edition">, file: unknown) {
  const words = (key: string): string | null => {
    const value = typeof file === "object" && file !== null ? (file as Record<string, unknown>)[key] : null;
    return typeof value === "string" ? value : null;
  };
  return {
    id: book.id,
    name: words("name") ?? book.name,
    edition: words("edition") ?? book.edition,
    extends: words("extends"),
  };
}

type Json = { readonly ok: true; readonly value: unknown } | { readonly ok: false; readonly fault: BookFault };

function jsonOf(text: string): Json {
  try {
    return { ok: true, value: JSON.parse(text) };
  } catch (error) {
    const message = error instanceof Error ? error.message : "it does not read";
    const path = text.trim() === "" ? "(the whole file)" : `line ${faultyLine(text, message)}`;
    return { ok: false, fault: { path, message: `not JSON: ${message}` } };
  }
}

/** The line that the reader stopped on: by its own word, or as far as a beginning of the text is still one of JSON. */
function faultyLine(text: string, message: string): number {
  const position = /position (\d+)/u.exec(message)?.[1];
  let end = position === undefined ? text.length : Number(position) + 1;
  if (position === undefined && !/end of JSON/u.test(message)) {
    let sound = 0;
    while (end - sound > 1) {
      const middle = Math.floor((sound + end) / 2);
      if (isUnexpected(text.slice(0, middle))) end = middle;
      else sound = middle;
    }
  }
  return text.slice(0, end).split("\n").length;
}

function isUnexpected(beginning: string): boolean {
  try {
    JSON.parse(beginning);
    return false;
  } catch (error) {
    return error instanceof Error && error.message.startsWith("Unexpected token");
  }
}
