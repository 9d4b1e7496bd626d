import { useEffect, useState } from "react";
import { findRule } from "#core/picture/rule-picture";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import "./mechanics.css";
import { BookList } from "./book-list.tsx";
import { ComparePage } from "./compare-page.tsx";
import { RuleList } from "./rule-list.tsx";
import { type Example, exampleFor, RulePlan } from "./rule-plan.tsx";
import { RuleSheet } from "./rule-sheet.tsx";
import { TextPage } from "./text-page.tsx";
import { type OpenBook, useBooks } from "./use-books.ts";

type Page = "rules" | "text" | "compare";
const pages: readonly { readonly id: Page; readonly name: string }[] = [
  { id: "rules", name: "Rule by rule" },
  { id: "text", name: "File" },
  { id: "compare", name: "Compare" },
];

/** The mechanics books: read one rule by rule beside the field, change a copy, hold two against each other. */
export function MechanicsPlace({ shown }: { readonly shown: boolean }) {
  const books = useBooks();
  const { open, readOnly } = books;
  const [page, setPage] = useState<Page>("rules");
  const [chosen, setChosen] = useState<string | null>(null);
  const [example, setExample] = useState<Example | null>(null);
  const [leaving, setLeaving] = useState<(() => void) | null>(null);
  const [removing, setRemoving] = useState(false);
  const openId = open?.listed.id;
  useEffect(() => {
    if (openId !== undefined) setExample(exampleFor(openId));
  }, [openId]);

  const changed = open !== null && open.text !== open.kept;
  const leave = (to: () => void) => (changed ? setLeaving(() => to) : to());
  if (!open) return shown ? <p className="loading">Reading the books…</p> : null;
  const editable = open.listed.origin === "own" && !readOnly;
  const { book } = open;
  const ruleId = book && chosen !== null && findRule(book, chosen) ? chosen : (book?.stations[0]?.id ?? null);
  const found = book && ruleId !== null ? findRule(book, ruleId) : null;
  return (
    <div className="mechanics" hidden={!shown}>
      <BookList books={books} onLeave={leave} />
      <div className="book">
        <header>
          <div>
            <h1>{book?.name ?? open.listed.name}</h1>
            <p className="soft">
              Edition {book?.edition ?? open.listed.edition}. {book?.caution}
            </p>
          </div>
          <div className="row">
            {open.listed.fault ? null : (
              <Button disabled={readOnly} onPress={() => leave(() => void books.copy(open.listed.id))}>
                Copy the book
              </Button>
            )}
            <Button onPress={() => void books.giveOut(open.listed.id)}>Export</Button>
            {editable ? <Button onPress={() => setRemoving(true)}>Take away…</Button> : null}
          </div>
        </header>
        {editable ? <Standing open={open} changed={changed} onSave={books.save} onDiscard={books.discard} /> : null}
        <div className="tabs" role="tablist" aria-label="Pages of the book">
          {pages.map(({ id, name }) => (
            <button
              key={id}
              type="button"
              role="tab"
              id={`book-tab-${id}`}
              aria-selected={page === id}
              aria-controls="book-page"
              onClick={() => setPage(id)}
            >
              {name}
            </button>
          ))}
        </div>
        <div className={`book-page ${page}`} id="book-page" role="tabpanel" aria-labelledby={`book-tab-${page}`}>
          {page === "text" ? <TextPage open={open} editable={editable} onType={books.type} /> : null}
          {page === "compare" && book ? <ComparePage book={book} books={books} /> : null}
          {page === "rules" && book && found && ruleId !== null && example ? (
            <>
              <RuleList book={book} chosen={ruleId} onChoose={setChosen} />
              <div className="rule">
                <RulePlan book={book} ruleId={ruleId} example={example} onChange={setExample} />
                <RuleSheet found={found} open={open} editable={editable} onType={books.type} />
              </div>
            </>
          ) : null}
          {page !== "text" && !book ? (
            <p className="empty">
              This book does not read, at {open.fault?.path}: {open.fault?.message}. Its file can be put right under
              “File”.
            </p>
          ) : null}
          {page === "rules" && book && !found ? (
            <p className="empty">This book has no stations yet. Write its rules under “File”.</p>
          ) : null}
        </div>
      </div>
      {leaving ? (
        <Slip title="Leave what you typed?" onClose={() => setLeaving(null)}>
          <p>{open.listed.name} has changes that are not kept.</p>
          <div className="end">
            <Button onPress={() => setLeaving(null)}>Stay</Button>
            <Button
              look="primary"
              onPress={() => {
                setLeaving(null);
                leaving();
              }}
            >
              Drop the changes
            </Button>
          </div>
        </Slip>
      ) : null}
      {removing ? (
        <Slip title={`Take “${open.listed.name}” away?`} onClose={() => setRemoving(false)}>
          <p>The book is gone from this library. Export it first if you may want it again.</p>
          <div className="end">
            <Button onPress={() => setRemoving(false)}>Keep it</Button>
            <Button
              look="primary"
              onPress={() => {
                setRemoving(false);
                void books.remove(open.listed.id);
              }}
            >
              Take the book away
            </Button>
          </div>
        </Slip>
      ) : null}
      {books.importFault ? (
        <Slip title="This file is not taken in" onClose={books.forgetImport}>
          <p>
            <span className="path">{books.importFault.path}</span>: {books.importFault.message}
          </p>
          <div className="end">
            <Button look="primary" onPress={books.forgetImport}>
              Close
            </Button>
          </div>
        </Slip>
      ) : null}
    </div>
  );
}

/** Whether what is typed reads, and what can be done with it. */
function Standing(props: {
  readonly open: OpenBook;
  readonly changed: boolean;
  readonly onSave: () => Promise<void>;
  readonly onDiscard: () => void;
}) {
  const { fault, reading } = props.open;
  const words = reading ? "reading…" : props.changed ? "It reads. Not kept yet." : "Kept.";
  return (
    <div className={`book-standing ${fault ? "wrong" : ""}`}>
      <p role="status">
        {fault ? (
          <>
            Refused at <span className="path">{fault.path}</span>: {fault.message}
          </>
        ) : (
          words
        )}
      </p>
      <Button disabled={!props.changed} onPress={props.onDiscard}>
        Drop the changes
      </Button>
      <Button look="primary" disabled={!props.changed || fault !== null || reading} onPress={() => void props.onSave()}>
        Keep the changes
      </Button>
    </div>
  );
}
