import { useMemo, useState } from "react";
import { clock } from "#core/game/words";
import { compareGrades, otherAuthors } from "#core/grading/compare-grades";
import { base64Of } from "#core/report/base64";
import type { StillWanted } from "#core/report/document";
import { evidenceFigures } from "#core/report/evidence-figure";
import { verdictMarks } from "#core/report/outline";
import { type FoundInGame, lastOfRule, ownFindings, ruleCounts } from "#core/report/own-review";
import { criterionNames, withoutOthers } from "#core/report/page-input";
import { svgOf } from "#core/report/svg";
import { gameScores, trendBlocks } from "#core/report/trend";
import type { JudgedGame } from "../app/judge-game.ts";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import { ReportView } from "../stage/report/report-view.tsx";
import { usePageInput } from "./pages-panel.tsx";
import { PrivateNote } from "./private-note.tsx";
import { ofSameOfficial, useEarlierGames } from "./use-earlier-games.ts";
import type { GradeSheet } from "./use-grade-sheet.ts";
import { useStills } from "./use-stills.ts";

const mostShown = 10;

/** An instant of a film of any game of the library. */
export type InstantOfGame = { readonly gameId: string; readonly filmId: string; readonly timeSec: number };

/** An official's own film: what came up of each rule over the games, the last ten of one as pictures, and how others graded it. */
export function ReviewPanel({
  sheet,
  onInstant,
}: {
  readonly sheet: GradeSheet;
  readonly onInstant: (instant: InstantOfGame) => void;
}) {
  const { settings } = useService();
  const { records } = sheet;
  const crew = records.game.crew.map(({ position }) => position);
  const [position, setPosition] = useState(
    settings.ownPosition !== null && crew.includes(settings.ownPosition) ? settings.ownPosition : (crew[0] ?? ""),
  );
  const input = usePageInput(sheet, false);
  const games = useEarlierGames(records.game.id);
  const name = records.game.crew.find((member) => member.position === position)?.name ?? "";
  const others = useMemo(() => ofSameOfficial(games, name, position), [games, name, position]);
  const found = useMemo(
    () => (input ? ownFindings([...others, input].map((of) => ({ of, position }))) : []),
    [input, others, position],
  );
  const rules = useMemo(() => ruleCounts(found), [found]);
  const [chosenRule, setChosenRule] = useState<string | null>(null);
  const rule = rules.find(({ ruleId }) => ruleId === chosenRule) ?? rules[0] ?? null;
  const positions = sheet.book?.positions.map(({ id }) => id) ?? [];
  const trend = input
    ? trendBlocks(
        input,
        position,
        others.map((game) => gameScores(game, position)),
      )
    : [];
  if (!input) return <p className="soft review-wait">Judging the plays…</p>;
  return (
    <div className="review-panel">
      <section className="page-choices" aria-label="What came up">
        <Choice
          label="Position"
          value={position}
          options={crew.map((one) => ({ value: one, name: one }))}
          onChange={setPosition}
        />
        {rules.length === 0 ? (
          <p className="soft">Nothing was measured of {position} yet: mark plays in the field book.</p>
        ) : (
          <table className="rule-counts">
            <caption>
              Rules of {position} over {others.length + 1} {others.length === 0 ? "game" : "games"}
            </caption>
            <thead>
              <tr>
                <th scope="col">Rule</th>
                <th scope="col">Met</th>
                <th scope="col">Missed</th>
                <th scope="col">?</th>
              </tr>
            </thead>
            <tbody>
              {rules.map((one) => (
                <tr key={one.ruleId} aria-current={one === rule ? "true" : undefined}>
                  <th scope="row">
                    <Button look="bare" title={one.asks} onPress={() => setChosenRule(one.ruleId)}>
                      {one.ruleId}
                    </Button>
                  </th>
                  <td>{one.met}</td>
                  <td>{one.missed}</td>
                  <td>{one.untold}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <PrivateNote
          sheet={sheet}
          subject={{ playId: null, position }}
          label={`Private note on ${position} in this game: stays here`}
        />
      </section>
      <section className="page-view review-view" aria-label="The last of a rule">
        {rule ? (
          <>
            <h2>
              The last {Math.min(mostShown, rule.met + rule.missed + rule.untold)} of {rule.ruleId}
            </h2>
            <p className="soft">The book asks: {withoutOthers(rule.asks, positions, position)}.</p>
            <LastOfRule
              key={rule.ruleId}
              found={lastOfRule(found, rule.ruleId, mostShown)}
              games={[...others, input]}
              position={position}
              positions={positions}
              onInstant={onInstant}
            />
          </>
        ) : null}
        <Compared sheet={sheet} position={position} />
        {trend.length > 0 ? (
          <ReportView
            document={{ title: `${position} from game to game`, lines: [], footer: "Private.", blocks: trend }}
            assets={new Map()}
          />
        ) : null}
      </section>
    </div>
  );
}

function LastOfRule({
  found,
  games,
  position,
  positions,
  onInstant,
}: {
  readonly found: readonly FoundInGame[];
  readonly games: readonly Pick<JudgedGame, "records" | "layout">[];
  readonly position: string;
  readonly positions: readonly string[];
  readonly onInstant: (instant: InstantOfGame) => void;
}) {
  const shown = useMemo(
    () =>
      found.flatMap((one) => {
        const game = games.find(({ records }) => records.game.id === one.game.id);
        if (!game || !one.at) return [];
        const { figures, stills } = evidenceFigures(game, one, {
          position,
          alt: withoutOthers(one.finding.sentence, positions, position),
        });
        return [{ one, at: one.at, figure: figures[0] ?? null, still: stills[0] ?? null }];
      }),
    // The lists are made anew at each drawing; their games and the rule say what is in them.
    // eslint-disable-next-line react-hooks/exhaustive-deps
    [found.map(({ play, at }) => `${play.id}${at?.moment.id}`).join(" "), games.length, position],
  );
  const stills = useMemo(() => shown.flatMap(({ still }): StillWanted[] => (still ? [still] : [])), [shown]);
  const assets = useStills(stills);
  return (
    <ul className="rule-row">
      {shown.map(({ one, at, figure, still }) => {
        const bytes = still ? assets.get(still.key)?.bytes : undefined;
        const picture = figure
          ? svgOf(figure.picture, "", bytes ? `data:image/jpeg;base64,${base64Of(bytes)}` : null)
          : null;
        const { verdict } = one.finding;
        const said = `${verdict}, play ${one.play.number} ${clock(at.moment.timeSec)}`;
        return (
          <li key={`${one.play.id} ${at.moment.id} ${one.finding.sentence}`} data-verdict={verdict}>
            <button
              type="button"
              aria-label={`${said}, ${one.game.playedOn ?? one.game.title}. ${withoutOthers(one.finding.sentence, positions, position)} Open the film there.`}
              onClick={() => onInstant({ gameId: one.game.id, filmId: at.moment.filmId, timeSec: at.moment.timeSec })}
            >
              {picture === null ? (
                <span className="soft">not surveyed</span>
              ) : (
                <img alt="" src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(picture)}`} />
              )}
              <span>
                {verdict === "not applicable" ? null : <span aria-hidden="true">{verdictMarks[verdict]} </span>}
                {verdict}, play {one.play.number} <span className="soft">{clock(at.moment.timeSec)}</span>
              </span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}

/** One's own grades beside those of whoever else graded the position, where a packet brought them. */
function Compared({ sheet, position }: { readonly sheet: GradeSheet; readonly position: string }) {
  const { records, observerId } = sheet;
  const authors = otherAuthors(records.grades, position, observerId);
  const [authorId, setAuthorId] = useState<string | null>(null);
  const other = authors.find((id) => id === authorId) ?? authors[0];
  if (other === undefined)
    return (
      <p className="soft">
        Nobody else’s grades of {position} are in this game. When an observer’s packet brings some, they stand beside
        your own here.
      </p>
    );
  const { cells, both, same, meanDifference } = compareGrades(
    records.grades,
    records.plays,
    position,
    observerId,
    other,
  );
  const said = (points: number | null | undefined) => (points === undefined ? "–" : (points ?? "cannot judge"));
  return (
    <section aria-label="Compared with an observer">
      <h2>Your grades beside an observer’s</h2>
      {authors.length > 1 ? (
        <Choice
          label="Observer"
          value={other}
          options={authors.map((id) => ({ value: id, name: id.slice(0, 8) }))}
          onChange={setAuthorId}
        />
      ) : null}
      <p>
        {both} cells have both; {same} are the same
        {meanDifference === null
          ? ""
          : `; the observer’s are ${Math.abs(meanDifference).toFixed(2)} ${meanDifference >= 0 ? "higher" : "lower"} on the mean`}
        .
      </p>
      <table className="rulings">
        <thead>
          <tr>
            {["Play", "Criterion", "Own", "Observer"].map((heading) => (
              <th key={heading} scope="col">
                {heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {cells.map(({ playId, playNumber, criterion, own, other: theirs }) => (
            <tr key={`${playId} ${criterion}`}>
              <th scope="row">{playId === null ? "game" : playNumber}</th>
              <td>{criterionNames[criterion]}</td>
              <td>{said(own)}</td>
              <td>
                {said(theirs)}
                {typeof own === "number" && typeof theirs === "number" && own !== theirs ? " ≠" : ""}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
