import { useRef } from "react";
import { Button } from "../parts/button.tsx";
import type { Books, ListedBook } from "./use-books.ts";

/** The shipped books and one's own, with what can be done to the one that is open. */
export function BookList({ books, onLeave }: { readonly books: Books; readonly onLeave: (to: () => void) => void }) {
  const { list, open, readOnly } = books;
  const file = useRef<HTMLInputElement>(null);
  const own = list?.filter(({ origin }) => origin === "own") ?? [];
  const row = (book: ListedBook) => (
    <li key={book.id}>
      <button
        type="button"
        className="pick"
        aria-current={open?.listed.id === book.id ? "true" : undefined}
        onClick={() => onLeave(() => void books.choose(book.id))}
      >
        <b>{book.name}</b>
        <span className="soft">
          {book.edition}
          {book.extends === null ? "" : `, extends ${book.extends}`}
        </span>
        {book.fault ? <span className="wrong">does not read: {book.fault.path}</span> : null}
      </button>
    </li>
  );
  return (
    <nav className="book-list" aria-label="Mechanics books">
      <h2>With the program</h2>
      <ul className="ruled-list">{list?.filter(({ origin }) => origin === "shipped").map(row)}</ul>
      <h2>Your own</h2>
      {list !== null && own.length === 0 ? (
        <p className="soft">None yet. Copy a book that comes with the program and change the copy, or import one.</p>
      ) : null}
      <ul className="ruled-list">{own.map(row)}</ul>
      <div className="row">
        <Button disabled={readOnly} onPress={() => file.current?.click()}>
          Import a book…
        </Button>
        <input
          ref={file}
          className="visually-hidden"
          type="file"
          accept=".json,application/json"
          aria-label="File of a mechanics book"
          tabIndex={-1}
          onChange={(event) => {
            const chosen = event.target.files?.[0];
            event.target.value = "";
            if (chosen) onLeave(() => void books.takeIn(chosen));
          }}
        />
      </div>
    </nav>
  );
}
