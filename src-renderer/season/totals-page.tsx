import { useState } from "react";
import { counted } from "#core/game/words";
import type { Scale } from "#core/grading/scales";
import { chanceFigure, intervalFigure } from "#core/report/season-pictures";
import { criterionNames } from "#core/report/page-input";
import { seasonCaution } from "#core/report/season-page";
import {
  figure,
  intervalWords,
  percentWords,
  positionsOf,
  rankWords,
  type StandingRow,
  standingRows,
} from "#core/season/season-words";
import { Button } from "../parts/button.tsx";
import { Choice, NumberField } from "../parts/labelled.tsx";
import type { SeasonAnswer } from "../stage/season/season-messages.ts";
import { SavedFigure } from "./saved-figure.tsx";
import type { Season } from "./use-season.ts";

/** Raw beside adjusted, position by position; ties are shown as ties, and what the adjustment did is said. */
export function TotalsPage({
  season,
  answer,
  scale,
}: {
  readonly season: Season;
  readonly answer: SeasonAnswer;
  readonly scale: Scale;
}) {
  const { totals } = answer;
  const { setup, change, nameOf } = season;
  const positions = positionsOf(totals);
  const [chosen, setChosen] = useState(positions[0] ?? "");
  const position = positions.includes(chosen) ? chosen : (positions[0] ?? "");
  const rows = standingRows(totals, position, scale);
  const [openId, setOpenId] = useState<string | null>(null);
  const open = rows.find(({ total }) => total.officialId === openId) ?? rows[0] ?? null;
  const isGrouped = new Set(rows.flatMap(({ group }) => group ?? [])).size > 1;
  return (
    <>
      <div className="season-tools">
        <Choice
          label="Position"
          value={position}
          options={positions.map((one) => ({ value: one, name: one }))}
          onChange={setChosen}
        />
        <Choice
          label="Criterion"
          value={season.criterion ?? "all"}
          options={[
            { value: "all", name: "all together" },
            ...[...new Set(season.data?.rows.map(({ criterion }) => criterion))]
              .toSorted()
              .map((one) => ({ value: one as string, name: criterionNames[one] })),
          ]}
          onChange={(one) => season.setCriterion(one === "all" ? null : one)}
        />
        <NumberField
          label="How many are looked for"
          value={setup.topK}
          min={1}
          max={200}
          onChange={(topK) => change({ topK: Math.round(topK ?? 1) })}
        />
        {(["grades", "games", "observers"] as const).map((what) => (
          <NumberField
            key={what}
            label={`Withheld under ${what}`}
            value={setup.minimum[what]}
            min={0}
            max={10_000}
            onChange={(least) => change({ minimum: { ...setup.minimum, [what]: Math.round(least ?? 0) } })}
          />
        ))}
      </div>
      <div className="season-columns">
        <div>
          <table className="season-table">
            <caption>
              {position}, the best first, on {scale.name}
            </caption>
            <thead>
              <tr>
                {[
                  "Official",
                  "Rank",
                  ...(isGrouped ? ["Group"] : []),
                  "Adjusted",
                  "95 % interval",
                  "Raw mean",
                  "Games",
                  "Observers",
                  `Among ${setup.topK} best`,
                ].map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <Row
                  key={row.total.officialId}
                  row={row}
                  name={nameOf(row.total.officialId)}
                  isGrouped={isGrouped}
                  isOpen={row === open}
                  onOpen={() => setOpenId(row.total.officialId)}
                />
              ))}
            </tbody>
          </table>
          {open ? <Why row={open} name={nameOf(open.total.officialId)} /> : null}
          <p className="caution">{seasonCaution}</p>
        </div>
        <div className="season-figures">
          {rows.some(({ total }) => total.adjusted !== null) ? (
            <>
              <SavedFigure figure={intervalFigure(rows, scale, position, nameOf)} name={`intervals ${position}`} />
              <SavedFigure figure={chanceFigure(rows, position, setup.topK, nameOf)} name={`chances ${position}`} />
            </>
          ) : (
            <p className="soft">Nobody at {position} has enough grades yet for a value, so there is nothing to draw.</p>
          )}
        </div>
      </div>
    </>
  );
}

function Row({
  row: { total, place, group },
  name,
  isGrouped,
  isOpen,
  onOpen,
}: {
  readonly row: StandingRow;
  readonly name: string;
  readonly isGrouped: boolean;
  readonly isOpen: boolean;
  readonly onOpen: () => void;
}) {
  return (
    <tr aria-current={isOpen ? "true" : undefined}>
      <th scope="row">
        <Button look="bare" onPress={onOpen}>
          {name}
        </Button>
      </th>
      <td>{place ? rankWords(place) : "–"}</td>
      {isGrouped ? <td>{group ?? "–"}</td> : null}
      <td>{total.adjusted ? <b>{figure(total.adjusted.value)}</b> : "withheld"}</td>
      <td>{total.adjusted ? intervalWords(total.adjusted.interval) : "–"}</td>
      <td>{total.mean === null ? "–" : figure(total.mean)}</td>
      <td>{total.evidence.games}</td>
      <td>{total.evidence.observers}</td>
      <td>{place ? percentWords(place.inTopK) : "–"}</td>
    </tr>
  );
}

/** What was done to one official's mean, and how they went from game to game. */
function Why({ row: { total }, name }: { readonly row: StandingRow; readonly name: string }) {
  const { evidence, adjusted, trend } = total;
  return (
    <section className="season-why" aria-label={`Why ${name} stands there`}>
      <h2>{name}</h2>
      <p>{adjusted?.sentence ?? total.withheld}</p>
      <p className="soft">
        {counted(evidence.grades, "grade", "grades")} of {counted(evidence.plays, "play", "plays")} in{" "}
        {counted(evidence.games, "game", "games")} by {counted(evidence.observers, "observer", "observers")}
        {evidence.cannotJudge > 0 ? `; ${evidence.cannotJudge} could not be judged` : ""}.
        {total.spread === null ? "" : ` Spread of the grades ${figure(total.spread)}.`}
      </p>
      <p className="soft">
        {trend
          ? `From game to game ${figure(trend.slope)} points (${intervalWords(trend.interval)}), over ${trend.games} games.`
          : "Too few games with a date for a trend."}
      </p>
      {total.trends.some((one) => one.trend !== null) ? (
        <ul>
          {total.trends.map(({ criterion, trend: own }) =>
            own ? (
              <li key={criterion}>
                {criterion}: {figure(own.slope)} a game ({intervalWords(own.interval)})
              </li>
            ) : null,
          )}
        </ul>
      ) : null}
    </section>
  );
}
