import { type KeyboardEvent, type RefObject, useEffect, useRef, useState } from "react";
import { wordsOf } from "#core/search/find-words";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";

type Answer = Awaited<ReturnType<Client["library"]["find"]>>;
type Found = Answer["found"][number];

const kinds: Readonly<Record<Found["in"], string>> = {
  game: "Game",
  official: "Official",
  film: "Film",
  ruling: "Ruling",
  grade: "Grade",
  note: "Private note",
};

/** Who types goes on typing: the library is asked when they pause. */
const pauseMs = 120;

type Props = {
  readonly field: RefObject<HTMLInputElement | null>;
  readonly text: string;
  readonly onText: (text: string) => void;
  readonly onGo: (found: Found) => void;
};

/** Whether so much is typed that the library is asked. */
export const asksForSomething = (text: string): boolean => wordsOf(text).length > 0;

/** The field that looks through the library, and what it found: names, and what was written, each a way to where it stands. */
export function FindInLibrary({ field, text, onText, onGo }: Props) {
  const { client } = useService();
  const { attempt } = useFailures();
  const [answer, setAnswer] = useState<(Answer & { readonly text: string }) | null>(null);
  // What was asked for when the library could not be read; why stands in the notice.
  const [refused, setRefused] = useState<string | null>(null);
  const list = useRef<HTMLUListElement>(null);
  const asks = asksForSomething(text);

  useEffect(() => {
    if (!asks) {
      setAnswer(null);
      return;
    }
    const given = new AbortController();
    const timer = setTimeout(() => {
      void attempt(async () => {
        try {
          const found = await client.library.find({ text }, { signal: given.signal });
          if (!given.signal.aborted) setAnswer({ ...found, text });
        } catch (error) {
          if (given.signal.aborted) return;
          setRefused(text);
          throw error;
        }
      });
    }, pauseMs);
    return () => {
      clearTimeout(timer);
      given.abort();
    };
  }, [attempt, client, asks, text]);

  const walk = (event: KeyboardEvent) => {
    const rows = [...(list.current?.querySelectorAll<HTMLElement>("button") ?? [])];
    const now = rows.indexOf(document.activeElement as HTMLElement);
    if (event.key === "ArrowDown") rows[Math.min(rows.length - 1, now + 1)]?.focus();
    else if (event.key === "ArrowUp") (now > 0 ? rows[now - 1] : field.current)?.focus();
    else if (event.key === "Escape") {
      onText("");
      field.current?.focus();
    } else return;
    event.preventDefault();
  };
  const isNew = answer !== null && answer.text === text;
  const count = answer?.found.length ?? 0;
  return (
    <div className="find" role="search" aria-label="Library" onKeyDown={walk}>
      <label>
        <span>Find in the library</span>
        <input
          ref={field}
          type="search"
          value={text}
          maxLength={200}
          placeholder="a game, an official, a foul, what was written"
          onChange={(event) => onText(event.target.value)}
        />
      </label>
      <p className="soft" role="status">
        {!asks
          ? ""
          : !isNew
            ? text === refused
              ? "The library could not be looked through."
              : "Looking…"
            : count === 0
              ? "Nothing in the library has all of these words. Fewer of them, or only their beginnings, find more."
              : answer.more
                ? `The first ${count}; there are more. Another word narrows it down.`
                : `${count} found.`}
      </p>
      {count > 0 ? (
        <ul ref={list} className="ruled-list" aria-label="Found">
          {answer?.found.map((one, index) => (
            <li key={index}>
              <button type="button" className="found" onClick={() => onGo(one)}>
                <span className="kind">{kinds[one.in]}</span>
                <bdi className="said">
                  <Marked text={one.text} places={one.places} />
                </bdi>
                <span className="soft">{whereOf(one)}</span>
              </button>
            </li>
          ))}
        </ul>
      ) : null}
    </div>
  );
}

/** In which game, which play and on whom; of a game itself that is said by its own line. */
function whereOf({ in: where, game, playedOn, play, position, about, author }: Found): string {
  if (where === "game") return "";
  const parts = [
    game,
    playedOn,
    play === null ? null : `play ${play}`,
    [position, about].filter((part) => part !== null).join(", ") || null,
    author === null ? null : `by ${author}`,
  ];
  return parts.filter((part) => part !== null).join(" · ");
}

function Marked({ text, places }: Pick<Found, "text" | "places">) {
  return [
    ...places.flatMap(([from, to], index) => [
      text.slice(places[index - 1]?.[1] ?? 0, from),
      <mark key={from}>{text.slice(from, to)}</mark>,
    ]),
    text.slice(places.at(-1)?.[1] ?? 0),
  ];
}
