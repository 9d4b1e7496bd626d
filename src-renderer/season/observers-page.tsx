import { figure, intervalWords, percentWords } from "#core/season/season-words";
import type { SeasonAnswer } from "../stage/season/season-messages.ts";
import type { Season } from "./use-season.ts";

/** How observers grade beside one another: for their own training, and private. */
export function ObserversPage({ season, answer }: { readonly season: Season; readonly answer: SeasonAnswer }) {
  const { observerOf, nameOf } = season;
  const { totals, heat } = answer;
  const observers = totals.observers;
  const officials = totals.officials.filter(({ mean }) => mean !== null);
  const cells = new Map(heat.map((cell) => [`${cell.position} ${cell.officialId} ${cell.observerId}`, cell]));
  return (
    <>
      <p className="caution">
        Private, and for observers’ own training. Severity says how many points worse than others somebody grades the
        same work; it does not say who is right.
      </p>
      <table className="season-table">
        <caption>Observers</caption>
        <thead>
          <tr>
            {[
              "Observer",
              "Severity",
              "95 % interval",
              "Mean",
              "Spread",
              "Share of the scale",
              "Drift a game",
              "Games",
              "Officials",
              "Grades",
              "Cannot judge",
            ].map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {observers.map((one) => (
            <tr key={one.observerId}>
              <th scope="row">{observerOf(one.observerId)}</th>
              <td>{one.severity ? <b>{figure(one.severity.points)}</b> : "–"}</td>
              <td>{one.severity ? intervalWords(one.severity.interval) : "–"}</td>
              <td>{figure(one.mean)}</td>
              <td>{one.spread === null ? "–" : figure(one.spread)}</td>
              <td>{percentWords(one.shareOfScale)}</td>
              <td>{one.drift ? `${figure(one.drift.slope)} (${intervalWords(one.drift.interval)})` : "–"}</td>
              <td>{one.games}</td>
              <td>{one.officials}</td>
              <td>{one.grades}</td>
              <td>{one.cannotJudge}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <div className="heat" tabIndex={0} role="region" aria-label="Who graded whom">
        <table className="season-table heat-table">
          <caption>
            Who graded whom: the mean of the grades, and ▲ or ▼ where it lies half a point or more above or below that
            official’s own mean
          </caption>
          <thead>
            <tr>
              <th scope="col">Official</th>
              {observers.map(({ observerId }) => (
                <th key={observerId} scope="col">
                  {observerOf(observerId)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {officials.map(({ officialId, position, mean }) => (
              <tr key={`${position} ${officialId}`}>
                <th scope="row">
                  {nameOf(officialId)} <span className="soft">{position}</span>
                </th>
                {observers.map(({ observerId }) => {
                  const cell = cells.get(`${position} ${officialId} ${observerId}`);
                  const off = cell && mean !== null ? cell.mean - mean : 0;
                  const side = off >= 0.5 ? "above" : off <= -0.5 ? "below" : "near";
                  return (
                    <td
                      key={observerId}
                      data-side={cell ? side : undefined}
                      title={cell ? `${cell.grades} grades` : ""}
                    >
                      {cell ? `${figure(cell.mean, 1)}${side === "above" ? " ▲" : side === "below" ? " ▼" : ""}` : ""}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
