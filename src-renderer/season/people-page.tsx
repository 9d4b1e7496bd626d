import { useState } from "react";
import { likelyGames, likelyPairs } from "#core/season/season-data";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import type { Season } from "./use-season.ts";

const nobody = "-";

/** Who is who across games: known by id or name, put together and taken apart by hand, each with a way back. */
export function PeoplePage({ season }: { readonly season: Season }) {
  const { people, setup, change, isDemo } = season;
  const [pair, setPair] = useState<readonly [string, string]>([nobody, nobody]);
  // What was set before each change, the last one last.
  const [before, setBefore] = useState<readonly Season["setup"]["officials"][]>([]);
  const put = (officials: Season["setup"]["officials"]) => {
    setBefore([...before, setup.officials]);
    change({ officials });
  };
  const undo = () => {
    const last = before.at(-1);
    if (!last) return;
    setBefore(before.slice(0, -1));
    change({ officials: last });
  };
  const merge = (id: string, as: string) => put([...setup.officials.filter((link) => link.id !== id), { id, as }]);
  const proposed = likelyPairs(people);
  const nameOf = (id: string) => people.find((one) => one.id === id)?.name ?? id.replace(/^(?:name|id) /u, "");
  const options = [
    { value: nobody, name: "–" },
    ...people.map(({ id, name, games }) => ({ value: id, name: `${name} (${games})` })),
  ];
  return (
    <>
      <p className="soft">
        An official is known across games by the name on the crew, and by an id where a packet left the name off. Two
        who are one are put together here; nothing in the games is changed by it.
        {isDemo ? " These people are made up." : ""}
      </p>
      <div className="season-tools">
        <Choice label="This one" value={pair[0]} options={options} onChange={(id) => setPair([id, pair[1]])} />
        <Choice label="is one with" value={pair[1]} options={options} onChange={(id) => setPair([pair[0], id])} />
        <Button
          look="primary"
          disabled={pair.includes(nobody) || pair[0] === pair[1]}
          onPress={() => {
            merge(pair[0], pair[1]);
            setPair([nobody, nobody]);
          }}
        >
          Put together
        </Button>
        <Button disabled={before.length === 0} onPress={undo}>
          Undo
        </Button>
      </div>
      {proposed.length > 0 ? (
        <section aria-label="Who may be one">
          <h2>Who may be one</h2>
          <ul>
            {proposed.map(({ a, b, why }) => (
              <li key={`${a.id} ${b.id}`}>
                {a.name} ({a.games}) and {b.name} ({b.games}): {why}.{" "}
                <Button
                  name={`Put together: ${a.name} and ${b.name}`}
                  onPress={() => (a.games >= b.games ? merge(b.id, a.id) : merge(a.id, b.id))}
                >
                  Put together
                </Button>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {setup.officials.length > 0 ? (
        <section aria-label="Put together by hand">
          <h2>Put together by hand</h2>
          <ul>
            {setup.officials.map(({ id, as }) => (
              <li key={id}>
                {nameOf(id)} is {nameOf(as)}.{" "}
                <Button
                  name={`Take apart: ${nameOf(id)} and ${nameOf(as)}`}
                  onPress={() => put(setup.officials.filter((link) => link.id !== id))}
                >
                  Take apart
                </Button>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <Observers season={season} />
      <SameGames season={season} />
      <table className="season-table">
        <caption>{people.length} officials</caption>
        <thead>
          <tr>
            {["Official", "Also written", "Positions", "Games"].map((name) => (
              <th key={name} scope="col" className="words">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {people.map(({ id, name, otherNames, positions, games }) => (
            <tr key={id}>
              <th scope="row">{name}</th>
              <td className="words">{otherNames.join(", ")}</td>
              <td className="words">{positions.join(", ")}</td>
              <td className="words">{games}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** An observer who graded in two libraries has an id in each. */
function Observers({ season: { observers, observerOf, setup, change } }: { readonly season: Season }) {
  const [pair, setPair] = useState<readonly [string, string]>([nobody, nobody]);
  const options = [{ value: nobody, name: "–" }, ...observers.map(({ id, name }) => ({ value: id, name }))];
  if (observers.length < 2) return null;
  return (
    <section aria-label="Observers who are one">
      <h2>Observers who are one</h2>
      <div className="season-tools">
        <Choice label="This observer" value={pair[0]} options={options} onChange={(id) => setPair([id, pair[1]])} />
        <Choice label="is the observer" value={pair[1]} options={options} onChange={(id) => setPair([pair[0], id])} />
        <Button
          disabled={pair.includes(nobody) || pair[0] === pair[1]}
          onPress={() => {
            const [id, as] = pair;
            change({ observers: [...setup.observers.filter((link) => link.id !== id), { id, as }] });
            setPair([nobody, nobody]);
          }}
        >
          Put the observers together
        </Button>
      </div>
      <ul>
        {setup.observers.map(({ id, as }) => (
          <li key={id}>
            {observerOf(id)} ({id.slice(0, 8)}) is {observerOf(as)} ({as.slice(0, 8)}).{" "}
            <Button
              name={`Take apart: ${observerOf(id)} and ${observerOf(as)}`}
              onPress={() => change({ observers: setup.observers.filter((link) => link.id !== id) })}
            >
              Take apart
            </Button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A game that two observers made each for themselves: put together, its plays stand side by side by their numbers. */
function SameGames({ season: { data, setup, change } }: { readonly season: Season }) {
  const games = data?.games ?? [];
  const proposed = likelyGames(games, setup.games);
  const titleOf = (id: string) => games.find((game) => game.id === id)?.title ?? id;
  if (proposed.length === 0 && setup.games.length === 0) return null;
  return (
    <section aria-label="Games that are one">
      <h2>Games that are one</h2>
      <p className="soft">
        Of one day and one title, made by two observers. Put them together where both number the plays alike: then they
        count as one game, graded twice.
      </p>
      <ul>
        {proposed.map(({ a, b }) => (
          <li key={b.id}>
            {a.playedOn} {a.title}.{" "}
            <Button
              name={`Put together: the games ${a.id} and ${b.id}`}
              onPress={() => change({ games: [...setup.games, { id: b.id, as: a.id }] })}
            >
              Put together
            </Button>
          </li>
        ))}
        {setup.games.map(({ id, as }) => (
          <li key={id}>
            {titleOf(as)} is one, graded twice.{" "}
            <Button
              name={`Take apart: the games ${id} and ${as}`}
              onPress={() => change({ games: setup.games.filter((link) => link.id !== id) })}
            >
              Take apart
            </Button>
          </li>
        ))}
      </ul>
      {proposed.length > 1 ? (
        <Button
          onPress={() => change({ games: [...setup.games, ...proposed.map(({ a, b }) => ({ id: b.id, as: a.id }))] })}
        >
          Put all of them together
        </Button>
      ) : null}
    </section>
  );
}
