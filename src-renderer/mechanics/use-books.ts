import { useCallback, useEffect, useRef, useState } from "react";
import type { Book } from "#core/mechanics/book";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";
import { saveText } from "../app/save-text.ts";
import { useService } from "../app/service.tsx";

export type ListedBook = Awaited<ReturnType<Client["books"]["list"]>>[number];
export type Fault = NonNullable<ListedBook["fault"]>;

/** The book that is open: its file as it is kept and as it is being typed, and what it reads as. */
export type OpenBook = {
  readonly listed: ListedBook;
  readonly kept: string;
  readonly text: string;
  /** The last sound reading; null while there has been none. */
  readonly book: Book | null;
  readonly fault: Fault | null;
  /** Typed since it was last read. */
  readonly reading: boolean;
};

/** How long typing rests before it is read, milliseconds. */
const restMs = 150;

export type Books = ReturnType<typeof useBooks>;

/** The books of the program and the library, the one that is open, and what one can do to it. */
export function useBooks() {
  const { client, info } = useService();
  const { attempt, tell } = useFailures();
  const [list, setList] = useState<readonly ListedBook[] | null>(null);
  const [open, setOpen] = useState<OpenBook | null>(null);
  const [importFault, setImportFault] = useState<Fault | null>(null);

  const refresh = useCallback(async () => {
    const listed = await attempt(() => client.books.list());
    if (listed) setList(listed);
    return listed;
  }, [attempt, client]);

  const choose = useCallback(
    async (bookId: string, among?: readonly ListedBook[] | null) => {
      const listed = (among ?? (await refresh()))?.find(({ id }) => id === bookId);
      if (!listed) return;
      await attempt(async () => {
        const { text } = await client.books.file({ bookId });
        const read = await client.books.check({ text });
        const book = read.ok ? read.book : null;
        setOpen({ listed, kept: text, text, book, fault: read.ok ? null : read.fault, reading: false });
      });
    },
    [attempt, client, refresh],
  );

  const greeted = useRef(false);
  useEffect(() => {
    if (greeted.current) return;
    greeted.current = true;
    void refresh().then((listed) => (listed?.[0] ? choose(listed[0].id, listed) : undefined));
  }, [refresh, choose]);

  const type = useCallback((text: string) => {
    setOpen((before) => (before === null ? null : { ...before, text, reading: true }));
  }, []);

  const text = open?.text;
  const waiting = open?.reading ?? false;
  useEffect(() => {
    if (!waiting || text === undefined) return;
    let isLate = false;
    const timer = setTimeout(() => {
      void attempt(async () => {
        const read = await client.books.check({ text });
        if (isLate) return;
        setOpen((before) => {
          if (before === null || before.text !== text) return before;
          const sound = read.ok ? { book: read.book, fault: null } : { fault: read.fault };
          return { ...before, ...sound, reading: false };
        });
      });
    }, restMs);
    return () => {
      isLate = true;
      clearTimeout(timer);
    };
  }, [attempt, client, text, waiting]);

  const save = useCallback(async () => {
    if (open === null) return;
    const saved = await attempt(() => client.books.save({ text: open.text, replaces: open.listed.id }));
    if (saved === null) return;
    if (!saved.ok) return setOpen((before) => before && { ...before, fault: saved.fault, reading: false });
    await choose(open.listed.id);
  }, [attempt, choose, client, open]);

  const copy = useCallback(
    async (bookId: string) => {
      const made = await attempt(() => client.books.copy({ bookId }));
      if (made) await choose(made.bookId);
    },
    [attempt, choose, client],
  );

  const takeIn = useCallback(
    async (file: File) => {
      const read = await attempt(async () => client.books.import({ text: await file.text() }));
      if (read === null) return;
      if (!read.ok) return setImportFault(read.fault);
      await choose(read.book.id);
    },
    [attempt, choose, client],
  );

  const giveOut = useCallback(
    async (bookId: string) => {
      const file = await attempt(() => client.books.file({ bookId }));
      if (!file) return;
      saveText(`${bookId}.json`, file.text, "application/json");
    },
    [attempt, client],
  );

  const remove = useCallback(
    async (bookId: string) => {
      const gone = await attempt(() => client.books.remove({ bookId }));
      if (gone === null) return;
      const listed = await refresh();
      if (listed?.[0]) await choose(listed[0].id, listed);
    },
    [attempt, choose, client, refresh],
  );

  return {
    list,
    open,
    readOnly: info.readOnly,
    importFault,
    forgetImport: () => setImportFault(null),
    choose,
    type,
    discard: () => setOpen((before) => before && { ...before, text: before.kept, reading: true }),
    save,
    copy,
    takeIn,
    giveOut,
    remove,
    read: useCallback((bookId: string) => attempt(() => client.books.open({ bookId })), [attempt, client]),
    tell,
  };
}
