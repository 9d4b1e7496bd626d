import type { KeyboardEvent } from "react";
import { type Book, ruleLists } from "#core/mechanics/book";
import { listNames } from "./words.ts";

/** Every rule of a book by its kind. The arrows go from one to the next. */
export function RuleList(props: {
  readonly book: Book;
  readonly chosen: string | null;
  readonly onChoose: (ruleId: string) => void;
}) {
  const { book } = props;
  return (
    <nav className="rule-list" aria-label="Rules of the book" onKeyDown={walk}>
      {ruleLists
        .filter((list) => book[list].length > 0)
        .map((list) => (
          <section key={list} aria-label={listNames[list]}>
            <h3>{listNames[list]}</h3>
            <ul className="ruled-list">
              {book[list].map((rule) => (
                <li key={rule.id}>
                  <button
                    type="button"
                    className="pick"
                    aria-current={props.chosen === rule.id ? "true" : undefined}
                    onClick={() => props.onChoose(rule.id)}
                    onFocus={(event) => event.currentTarget.matches(":focus-visible") && props.onChoose(rule.id)}
                  >
                    <span className="rule-id">{rule.id}</span>
                    <span>
                      {"position" in rule ? <b>{rule.position} </b> : null}
                      {rule.sentence}
                    </span>
                  </button>
                </li>
              ))}
            </ul>
          </section>
        ))}
    </nav>
  );
}

function walk(event: KeyboardEvent<HTMLElement>) {
  const way = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
  if (way === 0) return;
  const buttons = [...event.currentTarget.querySelectorAll<HTMLButtonElement>("button.pick")];
  const at = buttons.findIndex((button) => button === document.activeElement);
  const next = buttons[at + way];
  if (at < 0 || !next) return;
  event.preventDefault();
  next.focus();
}
