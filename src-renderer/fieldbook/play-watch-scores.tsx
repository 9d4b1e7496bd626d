import { useMemo, useState } from "react";
import { wholeCrew } from "#core/scoring/finding";
import { type JudgedPlay, judgePlayRecords } from "#core/scoring/judge-play";
import { gameEvidence, type OfficialScore, type Scores, scoresOf } from "#core/scoring/play-scores";
import type { Fieldbook } from "./use-fieldbook.ts";

/** What the findings come to: of this play, and of the whole game's plays once it is asked for. */
export function PlayScores({
  fieldbook,
  judgedPlay,
}: {
  readonly fieldbook: Fieldbook;
  readonly judgedPlay: JudgedPlay;
}) {
  const [gameShown, showGame] = useState(false);
  return (
    <details className="play-scores">
      <summary>Scores</summary>
      <ScoreTable scores={judgedPlay.scores} label="Scores of this play" />
      <label className="check">
        <input type="checkbox" checked={gameShown} onChange={(event) => showGame(event.target.checked)} />
        Of all plays of this game
      </label>
      {gameShown ? <GameScores fieldbook={fieldbook} /> : null}
      <p className="soft">
        The mean of the credits of a criterion, 0 to 100; then the mean of the criteria by the book’s weights. What
        could not be told or did not apply is left out. Book {judgedPlay.scores.bookId}, edition{" "}
        {judgedPlay.scores.bookEdition}; scoring version {judgedPlay.scores.scoringVersion}.
      </p>
    </details>
  );
}

function GameScores({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { records, surveysOf, layout, book, judgedPlay } = fieldbook;
  const { game, plays, angles, moments, marks } = records;
  const version = judgedPlay?.scores.scoringVersion;
  const scores = useMemo(() => {
    if (!book || version === undefined) return null;
    const findings = plays.flatMap((play) => {
      const judged = judgePlayRecords({ game, angles, moments, marks }, play, { surveysOf, layout, book });
      return [...judged.findings, ...judged.moments.flatMap((one) => one.judged.findings)];
    });
    return scoresOf(findings, book, version, gameEvidence);
  }, [plays, angles, moments, marks, game, surveysOf, layout, book, version]);
  return scores ? <ScoreTable scores={scores} label="Scores of all plays" /> : null;
}

function ScoreTable({ scores, label }: { readonly scores: Scores; readonly label: string }) {
  return (
    <table className="numbers" aria-label={label}>
      <thead>
        <tr>
          <th scope="col" />
          <th scope="col">Score</th>
          <th scope="col">Of which</th>
        </tr>
      </thead>
      <tbody>
        {scores.officials.map((official) => (
          <tr key={official.position} data-position={official.position}>
            <th scope="row">{official.position === wholeCrew ? "Crew" : official.position}</th>
            <td>
              {official.score === null ? <span title={official.withheld ?? ""}>withheld</span> : figure(official.score)}
            </td>
            <td>{parts(official)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const figure = (score: number) => score.toFixed(0);

function parts({ criteria, withheld }: OfficialScore): string {
  const rows = criteria.map(({ criterion, score, counted, untold }) => {
    const of = untold > 0 ? `${counted} of ${counted + untold}` : `${counted}`;
    return `${criterion} ${score === null ? "withheld" : figure(score)} (${of})`;
  });
  return withheld ? `${rows.join(", ")}: ${withheld}` : rows.join(", ");
}
