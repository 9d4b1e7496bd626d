import { type Criterion, criteria } from "../game/records.ts";
import type { Shape } from "../picture/shape.ts";
import { scoringVersion } from "../scoring/judge-moment.ts";
import { type CriterionScore, gameEvidence, scoresOf } from "../scoring/play-scores.ts";
import type { Block, Figure } from "./document.ts";
import { criterionNames, foundIn, type PageInput } from "./page-input.ts";

/** What one official's findings came to in one game. */
export type GameScores = {
  readonly gameId: string;
  readonly title: string;
  /** YYYY-MM-DD; null where the game has no date. */
  readonly playedOn: string | null;
  readonly criteria: readonly CriterionScore[];
};

export function gameScores(input: Pick<PageInput, "records" | "judged" | "book">, position: string): GameScores {
  const { game } = input.records;
  const own = foundIn(input)
    .map(({ finding }) => finding)
    .filter((finding) => finding.position === position);
  const scores = scoresOf(own, input.book, scoringVersion, gameEvidence).officials;
  return {
    gameId: game.id,
    title: game.title,
    playedOn: game.playedOn,
    criteria: scores.find((official) => official.position === position)?.criteria ?? [],
  };
}

/** An official's own scores from game to game, the oldest first; nothing with a single game. */
export function trendBlocks(
  input: Pick<PageInput, "records" | "judged" | "book">,
  position: string,
  earlier: readonly GameScores[],
): Block[] {
  if (earlier.length === 0) return [];
  const here = gameScores(input, position);
  const games = [...earlier.filter(({ gameId }) => gameId !== here.gameId), here].toSorted(
    (a, b) => (a.playedOn ?? "").localeCompare(b.playedOn ?? "") || (a.gameId < b.gameId ? -1 : 1),
  );
  const shown = criteria.filter((criterion) =>
    games.some((game) => game.criteria.some((one) => one.criterion === criterion && one.score !== null)),
  );
  const scoreIn = (game: GameScores, criterion: Criterion) =>
    game.criteria.find((one) => one.criterion === criterion)?.score ?? null;
  const said = (score: number | null) => (score === null ? "–" : score.toFixed(0));
  return [
    { kind: "heading", level: 2, text: "From game to game" },
    {
      kind: "figures",
      figures: shown.map((criterion) =>
        plot(
          criterion,
          games.map((game) => scoreIn(game, criterion)),
        ),
      ),
    },
    {
      kind: "table",
      caption: `Scores of ${position} by game, 0 to 100, as computed`,
      columns: [
        { name: "Game", align: "start" },
        ...shown.map((criterion) => ({ name: criterionNames[criterion], align: "end" as const })),
      ],
      rows: games.map((game) => [
        `${game.playedOn ?? "no date"} ${game.title}`,
        ...shown.map((criterion) => said(scoreIn(game, criterion))),
      ]),
    },
    {
      kind: "text",
      tone: "soft",
      text: "Games differ in film, field and opponents; a step between two of them may be no more than that.",
    },
  ];
}

/** A line of scores from 0 at the foot to 100 at the top; a game without a score leaves a gap. */
function plot(criterion: Criterion, scores: readonly (number | null)[]): Figure {
  const width = 240;
  const top = 10;
  const foot = 90;
  const x = (index: number) => (scores.length === 1 ? width / 2 : 30 + (index * (width - 45)) / (scores.length - 1));
  const y = (score: number) => foot - (score / 100) * (foot - top);
  const rule = (score: number): Shape[] => [
    {
      kind: "path",
      ink: "field-line",
      closed: false,
      points: [
        [24, y(score)],
        [width, y(score)],
      ],
    },
    { kind: "label", ink: "note", at: [12, y(score)], text: String(score), place: "on" },
  ];
  const pieces = scores.reduce<[number, number][][]>((lines, score, index) => {
    if (score === null) return [...lines, []];
    const last = lines.at(-1) ?? [];
    return [...lines.slice(0, -1), [...last, [x(index), y(score)]]];
  }, []);
  const shapes: Shape[] = [
    ...[0, 50, 100].flatMap(rule),
    ...pieces
      .filter((points) => points.length > 1)
      .map((points): Shape => ({ kind: "path", ink: "measured", points, closed: false })),
    ...pieces.flat().map((at): Shape => ({ kind: "cross", ink: "measured", at })),
  ];
  const known = scores.flatMap((score) => (score === null ? [] : [score.toFixed(0)]));
  return {
    picture: { surface: "paper", box: { x: 0, y: 0, width, height: 100 }, inkUnit: 0.7, shapes, stillKey: null },
    alt: `${criterionNames[criterion]} from game to game: ${known.join(", ")}.`,
    caption: criterionNames[criterion],
  };
}
