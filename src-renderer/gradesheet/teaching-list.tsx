import { useLayoutEffect, useRef } from "react";
import type { PageInput } from "#core/report/page-input";
import { itemName } from "#core/report/teaching-choices";
import { mostTeaching, type TeachingItem } from "#core/report/teaching-item";
import { Button } from "../parts/button.tsx";
import { Choice, Labelled } from "../parts/labelled.tsx";
import type { Teaching } from "./use-teaching.ts";

/** What is on the page, in its order: moved, taken off, and each thing said in its own way. */
export function TeachingList({
  input,
  teaching,
  onSaid,
}: {
  readonly input: PageInput;
  readonly teaching: Teaching;
  /** For whoever does not see where a thing went. */
  readonly onSaid: (sentence: string) => void;
}) {
  const { items } = teaching;
  const list = useRef<HTMLOListElement>(null);
  /** The button that has the focus again when the list has been drawn anew. */
  const next = useRef<{ readonly id: string; readonly control: "up" | "down" | "remove" | "heading" } | null>(null);
  // In the same breath as the list is drawn: a key that is pressed right after it must find the focus there.
  useLayoutEffect(() => {
    const wanted = next.current;
    if (!wanted) return;
    next.current = null;
    const row = list.current?.querySelector(`[data-item="${wanted.id}"]`);
    const control =
      row?.querySelector<HTMLElement>(`[data-control="${wanted.control}"] :is(button, input):not(:disabled)`) ??
      row?.querySelector<HTMLElement>("button:not(:disabled)");
    control?.focus();
    control?.scrollIntoView({ block: "nearest" });
  });
  const move = (item: TeachingItem, index: number, by: number) => {
    teaching.move(item.id, by);
    next.current = { id: item.id, control: by < 0 ? "up" : "down" };
    onSaid(`${itemName(item, input)} is now ${index + by + 1} of ${items.length}.`);
  };
  const remove = (item: TeachingItem, index: number) => {
    const neighbour = items[index + 1] ?? items[index - 1];
    next.current = neighbour ? { id: neighbour.id, control: "remove" } : null;
    teaching.remove(item.id);
    onSaid(`${itemName(item, input)} is off the page.`);
  };
  const addText = () => {
    const id = teaching.add({ kind: "text", heading: "", text: "" });
    next.current = { id, control: "heading" };
  };
  return (
    <>
      {items.length === 0 ? null : (
        <ol className="teaching-items" ref={list} aria-label="On the page">
          {items.map((item, index) => {
            const name = itemName(item, input);
            return (
              <li key={item.id} data-item={item.id}>
                <div className="line">
                  <b>
                    {index + 1}. {name}
                  </b>
                  <span data-control="up">
                    <Button name={`Up: ${name}`} disabled={index === 0} onPress={() => move(item, index, -1)}>
                      ↑
                    </Button>
                  </span>
                  <span data-control="down">
                    <Button
                      name={`Down: ${name}`}
                      disabled={index === items.length - 1}
                      onPress={() => move(item, index, 1)}
                    >
                      ↓
                    </Button>
                  </span>
                  <span data-control="remove">
                    <Button name={`Take off: ${name}`} onPress={() => remove(item, index)}>
                      ✕
                    </Button>
                  </span>
                </div>
                <ItemFields item={item} input={input} onChange={teaching.replace} />
              </li>
            );
          })}
        </ol>
      )}
      <Button disabled={teaching.isFull} onPress={addText}>
        Add words of your own
      </Button>
    </>
  );
}

function ItemFields({
  item,
  input,
  onChange,
}: {
  readonly item: TeachingItem;
  readonly input: PageInput;
  readonly onChange: (item: TeachingItem) => void;
}) {
  if (item.kind === "text") {
    return (
      <>
        <div data-control="heading">
          <Labelled label="Heading">
            <input
              value={item.heading}
              maxLength={mostTeaching.heading}
              onChange={(event) => onChange({ ...item, heading: event.target.value })}
            />
          </Labelled>
        </div>
        <Labelled label="Words (an empty line: new paragraph)">
          <textarea
            rows={3}
            value={item.text}
            maxLength={mostTeaching.text}
            onChange={(event) => onChange({ ...item, text: event.target.value })}
          />
        </Labelled>
      </>
    );
  }
  const positions = input.book.positions.map(({ id, name }) => ({ value: id, name: `${id}, ${name}` }));
  const choice = (
    <Choice
      label="About"
      value={item.position ?? ""}
      options={[{ value: "", name: "All of the crew" }, ...positions]}
      onChange={(position) => onChange({ ...item, position: position === "" ? null : position })}
    />
  );
  if (item.kind === "play" || !hasMissedStation(item, input)) return choice;
  return (
    <>
      {choice}
      <label className="check">
        <input
          type="checkbox"
          checked={item.withBefore}
          onChange={() => onChange({ ...item, withBefore: !item.withBefore })}
        />
        Where they stood, and where the book puts them
      </label>
    </>
  );
}

function hasMissedStation(item: Extract<TeachingItem, { kind: "moment" }>, { judged }: PageInput): boolean {
  return [...judged.values()]
    .flatMap(({ moments }) => moments.filter(({ moment }) => moment.id === item.momentId))
    .flatMap((at) => at.judged.findings)
    .some(
      ({ verdict, measure, position }) =>
        verdict === "missed" && measure?.kind === "station" && (item.position === null || item.position === position),
    );
}
