import { useEffect, useMemo, useState } from "react";
import {
  type LookedAt,
  lookedIn,
  looksByZone,
  looksFigure,
  placeWords,
  spreads,
  stationsFigure,
  stoodIn,
  type StoodAt,
} from "#core/report/season-places";
import { percentWords } from "#core/season/season-words";
import { judgeGame } from "../app/judge-game.ts";
import { useService } from "../app/service.tsx";
import { Choice } from "../parts/labelled.tsx";
import { SavedFigure } from "./saved-figure.tsx";

type Places = {
  readonly stood: readonly StoodAt[];
  readonly looked: readonly LookedAt[];
  readonly halfWidthYards: number;
};

const none: Places = { stood: [], looked: [], halfWidthYards: 20 };

/** Stations and looks of all games of the library that were marked, on one plan, with the tables behind it. */
export function PlacesPage() {
  const { client } = useService();
  const [places, setPlaces] = useState<Places>(none);
  const [progress, setProgress] = useState<{ readonly done: number; readonly total: number } | null>(null);
  useEffect(() => {
    const control = new AbortController();
    const run = async () => {
      const games = (await client.games.list(undefined, { signal: control.signal })).filter(({ marked }) => marked > 0);
      setPlaces(none);
      for (const [done, { id }] of games.entries()) {
        setProgress({ done, total: games.length });
        // A game that cannot be judged, as when its book is gone, is left out.
        const game = await judgeGame(client, id, control.signal).catch(() => null);
        if (control.signal.aborted) return;
        if (!game) continue;
        setPlaces((before) => ({
          stood: [...before.stood, ...stoodIn(game)],
          looked: [...before.looked, ...lookedIn(game)],
          halfWidthYards: Math.max(before === none ? 0 : before.halfWidthYards, game.layout.widthYards / 2),
        }));
      }
      setProgress(null);
    };
    run().catch(() => setProgress(null));
    return () => control.abort();
  }, [client]);
  const positions = useMemo(
    () => [...new Set(places.looked.map(({ position }) => position))].toSorted(),
    [places.looked],
  );
  const [chosen, setChosen] = useState("");
  const position = positions.includes(chosen) ? chosen : (positions[0] ?? "");
  const own = places.looked.filter((one) => one.position === position);
  return (
    <>
      <p className="soft">
        From the marks of the games in this library, turned so that every play goes the same way and the line judge’s
        side is at the top.
      </p>
      {progress ? (
        <div className="export-bar">
          <label htmlFor="places-progress">
            Judging game {progress.done + 1} of {progress.total}…
          </label>
          <progress id="places-progress" max={progress.total} value={progress.done} />
        </div>
      ) : null}
      {places.stood.length === 0 && !progress ? (
        <p className="soft">No game of this library has officials marked before a snap yet.</p>
      ) : (
        <div className="season-columns">
          <div>
            <SavedFigure figure={stationsFigure(places.stood, places.halfWidthYards)} name="stations" />
            <table className="season-table">
              <caption>Stations before the snap</caption>
              <thead>
                <tr>
                  <th scope="col">Position</th>
                  <th scope="col" className="words">
                    Mean place and spread
                  </th>
                </tr>
              </thead>
              <tbody>
                {spreads(places.stood).map((one) => (
                  <tr key={one.position}>
                    <th scope="row">{one.position}</th>
                    <td className="words">{placeWords(one)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          {position === "" ? null : (
            <div>
              <Choice
                label="Looks of"
                value={position}
                options={positions.map((one) => ({ value: one, name: one }))}
                onChange={setChosen}
              />
              <SavedFigure figure={looksFigure(own, places.halfWidthYards, position)} name={`looks ${position}`} />
              <table className="season-table">
                <caption>Own looks of {position} that were had</caption>
                <thead>
                  <tr>
                    {["Zone", "Had", "Of", "Share"].map((name) => (
                      <th key={name} scope="col">
                        {name}
                      </th>
                    ))}
                  </tr>
                </thead>
                <tbody>
                  {looksByZone(own, places.halfWidthYards).map(({ name, looks, seen }) => (
                    <tr key={name}>
                      <th scope="row">{name}</th>
                      <td>{seen}</td>
                      <td>{looks}</td>
                      <td>{looks === 0 ? "–" : percentWords(seen / looks)}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
          )}
        </div>
      )}
    </>
  );
}
