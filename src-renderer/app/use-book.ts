import { useEffect, useState } from "react";
import type { Book } from "#core/mechanics/book";
import { useFailures } from "./failures.tsx";
import { useService } from "./service.tsx";

/** A mechanics book by its id; null until it is there. */
export function useBook(bookId: string): Book | null {
  const { client } = useService();
  const { attempt } = useFailures();
  const [book, setBook] = useState<Book | null>(null);
  useEffect(() => {
    void attempt(async () => setBook(await client.books.open({ bookId })));
  }, [attempt, client, bookId]);
  return book;
}
