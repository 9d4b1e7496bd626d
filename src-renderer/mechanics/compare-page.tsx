import { useEffect, useState } from "react";
import type { Book } from "#core/mechanics/book";
import { compareBooks, type RuleDifference } from "#core/mechanics/compare-books";
import { Labelled } from "../parts/labelled.tsx";
import type { Books } from "./use-books.ts";
import { listNames } from "./words.ts";

/** The open book against another one, rule by rule. */
export function ComparePage({ book, books }: { readonly book: Book; readonly books: Books }) {
  const { list, read } = books;
  const others = (list ?? []).filter(({ id, fault }) => id !== book.id && fault === null);
  const [otherId, setOtherId] = useState<string | null>(null);
  const [other, setOther] = useState<Book | null>(null);
  const wanted = others.some(({ id }) => id === otherId) ? otherId : (others[0]?.id ?? null);
  useEffect(() => {
    if (wanted === null) return;
    let isLate = false;
    void read(wanted).then((found) => {
      if (!isLate) setOther(found);
    });
    return () => {
      isLate = true;
    };
  }, [read, wanted]);
  if (wanted === null) return <p className="empty">There is no other book to compare it with.</p>;
  const comparison = other?.id === wanted ? compareBooks(book, other) : null;
  return (
    <section className="compare" aria-label="Two books rule by rule">
      <Labelled label={`${book.name} against`}>
        <select value={wanted} onChange={(event) => setOtherId(event.target.value)}>
          {others.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </Labelled>
      {comparison === null || other === null ? (
        <p className="soft">Reading…</p>
      ) : (
        <>
          <p role="status">
            {comparison.differences.length === 0
              ? "They say the same, rule for rule."
              : `${differing(comparison.differences.length)}, ${comparison.same} say the same.`}
          </p>
          <table className="differences">
            <thead>
              <tr>
                <th scope="col">Rule</th>
                <th scope="col">What</th>
                <th scope="col">{book.name}</th>
                <th scope="col">{other.name}</th>
              </tr>
            </thead>
            <tbody>{comparison.differences.flatMap((difference) => rowsOf(difference))}</tbody>
          </table>
        </>
      )}
    </section>
  );
}

const differing = (count: number) => (count === 1 ? "1 rule differs" : `${count} rules differ`);

function rowsOf({ list, id, kind, values }: RuleDifference) {
  if (kind !== "changed") {
    return [
      <tr key={`${list} ${id}`}>
        <th scope="row">
          <span className="rule-id">{id}</span>
        </th>
        <td>{listNames[list]}</td>
        <td>{kind === "left-only" ? "has it" : "—"}</td>
        <td>{kind === "right-only" ? "has it" : "—"}</td>
      </tr>,
    ];
  }
  return values.map(({ path, left, right }, index) => (
    <tr key={`${list} ${id} ${path}`}>
      {index === 0 ? (
        <th scope="row" rowSpan={values.length}>
          <span className="rule-id">{id}</span>
        </th>
      ) : null}
      <td>{path}</td>
      <td>{left ?? "—"}</td>
      <td>{right ?? "—"}</td>
    </tr>
  ));
}
