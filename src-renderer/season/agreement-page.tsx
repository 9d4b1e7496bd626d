import { useState } from "react";
import type { Scale } from "#core/grading/scales";
import type { Interval } from "#core/season/intervals";
import { figure, intervalWords, percentWords } from "#core/season/season-words";
import { Button } from "../parts/button.tsx";
import type { AgreedGame, SeasonAnswer } from "../stage/season/season-messages.ts";
import type { Season } from "./use-season.ts";

/** Games that more than one observer graded, and how far they agree, with percent agreement beside every kappa. */
export function AgreementPage({
  season,
  answer,
  scale,
}: {
  readonly season: Season;
  readonly answer: SeasonAnswer;
  readonly scale: Scale;
}) {
  const titleOf = (gameId: string) => {
    const game = season.data?.games.find(({ id }) => id === gameId);
    return game ? `${game.playedOn ?? ""} ${game.title}`.trim() : gameId;
  };
  const [openId, setOpenId] = useState<string | null>(null);
  const open = answer.agreed.find(({ gameId }) => gameId === openId) ?? answer.agreed[0] ?? null;
  if (!open)
    return (
      <p className="soft">
        No game of this season was graded by two observers. Agreement is told only where two saw the same plays.
      </p>
    );
  return (
    <>
      <p className="caution">
        Nearly all plays of a good crew deserve the same grade, so that kappa can be low where observers hardly differ:
        the percentage stands beside it. Alpha and kappa are 1 for full agreement and 0 for what chance alone would
        give.
      </p>
      <table className="season-table">
        <caption>Games graded twice or more, on {scale.name}</caption>
        <thead>
          <tr>
            {["Game", "Observers", "Same grade", "Weighted kappa", "Alpha (interval)", "95 % interval"].map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {answer.agreed.map((one) => (
            <GameRow
              key={one.gameId}
              one={one}
              title={titleOf(one.gameId)}
              isOpen={one === open}
              onOpen={() => setOpenId(one.gameId)}
            />
          ))}
        </tbody>
      </table>
      <GameSideBySide season={season} one={open} title={titleOf(open.gameId)} />
    </>
  );
}

const withInterval = (value: number, interval: Interval | null) =>
  interval ? `${figure(value)} (${intervalWords(interval)})` : figure(value);

function GameRow({
  one: { agreement },
  title,
  isOpen,
  onOpen,
}: {
  readonly one: AgreedGame;
  readonly title: string;
  readonly isOpen: boolean;
  readonly onOpen: () => void;
}) {
  const [pair] = agreement.pairs;
  const alpha = agreement.alpha.interval;
  return (
    <tr aria-current={isOpen ? "true" : undefined}>
      <th scope="row">
        <Button look="bare" onPress={onOpen}>
          {title}
        </Button>
      </th>
      <td>{agreement.observers.length}</td>
      <td>
        {pair?.agreement
          ? `${percentWords(pair.agreement.share)} of ${pair.both} (${percentWords(pair.agreement.interval.low)} to ${percentWords(pair.agreement.interval.high)})`
          : "–"}
      </td>
      <td>{pair?.weightedKappa ? figure(pair.weightedKappa.kappa) : "–"}</td>
      <td>{alpha ? figure(alpha.alpha) : "–"}</td>
      <td>{alpha?.interval ? intervalWords(alpha.interval) : "–"}</td>
    </tr>
  );
}

/** One game as its observers graded it, play by play. */
function GameSideBySide({
  season: { observerOf, nameOf },
  one: { agreement, fleiss },
  title,
}: {
  readonly season: Season;
  readonly one: AgreedGame;
  readonly title: string;
}) {
  const playOf = (playId: string | null) => (playId === null ? "game" : (/(\d+)$/u.exec(playId)?.[1] ?? playId));
  return (
    <section aria-label={`${title}, side by side`}>
      <h2>{title}</h2>
      <ul>
        {agreement.pairs.map((pair) => (
          <li key={`${pair.first} ${pair.second}`}>
            {observerOf(pair.first)} and {observerOf(pair.second)}: {pair.agreed} of {pair.both} the same
            {pair.agreement ? ` (${percentWords(pair.agreement.share)})` : ""}
            {pair.difference === null
              ? ""
              : `; the second ${figure(Math.abs(pair.difference))} points ${pair.difference >= 0 ? "higher" : "lower"} on the mean`}
            {pair.kappa ? `; kappa ${withInterval(pair.kappa.kappa, pair.kappa.interval)}` : ""}
            {pair.weightedKappa
              ? `, weighted ${withInterval(pair.weightedKappa.kappa, pair.weightedKappa.interval)}`
              : ""}
            .
          </li>
        ))}
        {(["nominal", "ordinal", "interval"] as const).map((level) => {
          const alpha = agreement.alpha[level];
          return alpha ? (
            <li key={level}>
              Alpha, {level}: {withInterval(alpha.alpha, alpha.interval)}.
            </li>
          ) : null;
        })}
        {fleiss ? (
          <li>
            Fleiss’ kappa of what all graded: {figure(fleiss.kappa)}, {percentWords(fleiss.observed)} of pairs agreeing.
          </li>
        ) : null}
        {agreement.intraclass?.map(({ form, icc, interval }) => (
          <li key={form}>
            {form}: {withInterval(icc, interval)}.
          </li>
        ))}
      </ul>
      <table className="season-table">
        <caption>Play by play</caption>
        <thead>
          <tr>
            <th scope="col">Play</th>
            <th scope="col" className="words">
              Official
            </th>
            <th scope="col" className="words">
              Criterion
            </th>
            {agreement.observers.map((id) => (
              <th key={id} scope="col">
                {observerOf(id)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {agreement.rows.map((row, index) => {
            const given = row.points.filter((value) => value !== null);
            const differs = new Set(given).size > 1;
            return (
              <tr key={index}>
                <th scope="row">{playOf(row.playId)}</th>
                <td className="words">
                  {nameOf(row.officialId)} <span className="soft">{row.position}</span>
                </td>
                <td className="words">{row.criterion}</td>
                {row.points.map((points, seat) => (
                  <td key={seat}>
                    {points ?? "–"}
                    {differs && points !== null ? " ≠" : ""}
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
