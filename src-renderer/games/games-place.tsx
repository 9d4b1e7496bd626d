import { useCallback, useEffect, useRef, useState } from "react";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import "./games.css";
import { asksForSomething, FindInLibrary } from "./find-in-library.tsx";
import { FieldOfGame } from "./field-of-game.tsx";
import { NewGame } from "./new-game.tsx";

type Summary = Awaited<ReturnType<Client["games"]["list"]>>[number];

type Props = {
  readonly openGameId: string | null;
  /** Grows each time that a person asks for the field that finds. */
  readonly findAsked: number;
  /** At the first judged moment, or at an instant of a film. */
  readonly onOpen: (gameId: string, at?: { filmId: string; timeSec: number } | null) => Promise<void>;
  readonly onRemoved: (gameId: string) => void;
};

/** The games of the library: make one, open one, take one away. */
export function GamesPlace({ openGameId, findAsked, onOpen, onRemoved }: Props) {
  const { client, info } = useService();
  const { attempt } = useFailures();
  const [games, setGames] = useState<readonly Summary[] | null>(null);
  const [making, setMaking] = useState(false);
  const [fieldOf, setFieldOf] = useState<Summary | null>(null);
  const [removing, setRemoving] = useState<Summary | null>(null);

  const [wanted, setWanted] = useState("");
  const findField = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (findAsked === 0) return;
    findField.current?.focus();
    findField.current?.select();
  }, [findAsked]);

  const refresh = useCallback(async () => {
    const listed = await attempt(() => client.games.list());
    if (listed) setGames(listed);
  }, [attempt, client]);
  useEffect(() => void refresh(), [refresh]);

  const restoreDemo = async () => {
    await attempt(() => client.games.restoreDemo());
    await refresh();
  };
  const hasDemo = games?.some((game) => game.id.startsWith("demo-")) ?? true;

  return (
    <div className="games">
      <header>
        <h1>Games</h1>
        {hasDemo || info.readOnly ? null : <Button onPress={() => void restoreDemo()}>Bring the demo game back</Button>}
        <Button look="primary" disabled={info.readOnly} onPress={() => setMaking(true)}>
          New game…
        </Button>
      </header>
      {games?.length !== 0 ? (
        <FindInLibrary
          field={findField}
          text={wanted}
          onText={setWanted}
          onGo={({ gameId, at }) => void onOpen(gameId, at)}
        />
      ) : null}
      {games === null ? <p className="soft">Reading the library…</p> : null}
      {games?.length === 0 ? (
        <div className="empty">
          <p>No games yet. A game holds its film, its plays and everything measured on them.</p>
          <Button onPress={() => setMaking(true)}>New game…</Button>
        </div>
      ) : null}
      {games && games.length > 0 && !asksForSomething(wanted) ? (
        <ul className="ruled-list">
          {games.map((game) => (
            <li key={game.id} className="game-row">
              <div>
                <h2>{game.title}</h2>
                <p className="soft">
                  {[game.playedOn, game.level, `${game.homeName} and ${game.awayName}`].filter(Boolean).join(" · ")}
                </p>
              </div>
              <div className="counts">
                <Count of={game.films} one="film" many="films" />
                <Count of={game.plays} one="play" many="plays" />
                <Count of={game.surveyed} one="frame surveyed" many="frames surveyed" />
              </div>
              <div className="row">
                <Button
                  look="primary"
                  name={game.id === openGameId ? `Back to it: open ${game.title}` : `Open ${game.title}`}
                  onPress={() => void onOpen(game.id)}
                >
                  {game.id === openGameId ? "Back to it" : "Open"}
                </Button>{" "}
                <Button name={`Field of ${game.title}`} onPress={() => setFieldOf(game)}>
                  Field…
                </Button>{" "}
                <Button name={`Remove ${game.title}`} disabled={info.readOnly} onPress={() => setRemoving(game)}>
                  Remove…
                </Button>
              </div>
            </li>
          ))}
        </ul>
      ) : null}
      <p className="caution">
        Library: <span className="path">{info.path}</span>. Everything stays on this machine; evaluations are private,
        and nothing leaves unless you export it by name.
      </p>
      {making ? (
        <NewGame
          onClose={() => setMaking(false)}
          onMade={async (gameId) => {
            setMaking(false);
            await onOpen(gameId);
          }}
        />
      ) : null}
      {fieldOf ? <FieldOfGame gameId={fieldOf.id} title={fieldOf.title} onClose={() => setFieldOf(null)} /> : null}
      {removing ? (
        <Slip title={`Remove “${removing.title}”?`} onClose={() => setRemoving(null)}>
          <p>
            Its plays, surveys and marks go with it ({removing.plays} plays, {removing.surveyed} surveyed frames). The
            film files stay where they are. This cannot be taken back.
          </p>
          <div className="end">
            <Button onPress={() => setRemoving(null)}>Keep it</Button>
            <Button
              look="primary"
              onPress={() => {
                const { id } = removing;
                setRemoving(null);
                void attempt(async () => {
                  await client.games.remove({ gameId: id });
                  onRemoved(id);
                  await refresh();
                });
              }}
            >
              Remove the game
            </Button>
          </div>
        </Slip>
      ) : null}
    </div>
  );
}

function Count({ of, one, many }: { readonly of: number; readonly one: string; readonly many: string }) {
  return (
    <span>
      <b>{of}</b> {of === 1 ? one : many}
    </span>
  );
}
