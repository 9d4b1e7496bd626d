/** Totals a season apart from the window: a large one takes seconds. Ended from outside when it is no longer wanted. */
import { pointsOf } from "#core/grading/scales";
import { type DoubleGradedGame, doubleGradedGame } from "#core/season/double-graded";
import { type FleissKappa, fleissKappa } from "#core/season/fleiss-kappa";
import { gamesInOrder, seasonGrades, seasonScale } from "#core/season/season-data";
import type { SeasonGrade } from "#core/season/season-grade";
import { seasonTotals } from "#core/season/season-totals";
import type { AgreedGame, HeatCell, SeasonAnswer, SeasonMessage, SeasonQuestion } from "./season-messages.ts";

const seed = 7;
const draws = 4000;
const agreementDraws = 400;

const say = (message: SeasonMessage): void => self.postMessage(message);

self.addEventListener("message", ({ data }: MessageEvent<SeasonQuestion>) => {
  try {
    say({ kind: "done", answer: answerTo(data) });
  } catch (error) {
    say({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  }
});

function answerTo({
  data,
  officials,
  observers,
  games,
  minimum,
  topK,
  criterion,
}: SeasonQuestion): SeasonAnswer | null {
  const chosen = seasonScale(data);
  if (!chosen) return null;
  const { scale, onOthers } = chosen;
  const { grades: all, unnamed } = seasonGrades(data, scale.id, { officials, observers, games });
  const grades = criterion === null ? all : all.filter((grade) => grade.criterion === criterion);
  const totals = seasonTotals(grades, {
    scale,
    gamesInOrder: gamesInOrder(data.games),
    minimum,
    topK,
    seed,
    draws,
  });
  return {
    totals,
    scaleId: scale.id,
    onOtherScales: onOthers,
    unnamed,
    agreed: agreedGames(grades, pointsOf(scale)),
    heat: heatOf(grades),
  };
}

function agreedGames(grades: readonly SeasonGrade[], points: readonly number[]): AgreedGame[] {
  return [...Map.groupBy(grades, ({ gameId }) => gameId)].flatMap(([gameId, own]) => {
    const agreement = doubleGradedGame(own, points, { seed, draws: agreementDraws });
    return agreement ? [{ gameId, agreement, fleiss: fleissOf(agreement, points) }] : [];
  });
}

/** Fleiss' kappa asks for as many grades of everything: what all observers graded. */
function fleissOf({ observers, rows }: DoubleGradedGame, points: readonly number[]): FleissKappa | null {
  if (observers.length < 3) return null;
  const whole = rows.filter((row) => row.points.every((value) => value !== null));
  return fleissKappa(whole.map((row) => points.map((point) => row.points.filter((value) => value === point).length)));
}

function heatOf(grades: readonly SeasonGrade[]): HeatCell[] {
  const cells = new Map<string, { first: SeasonGrade; sum: number; count: number }>();
  for (const grade of grades) {
    if (grade.points === null) continue;
    const key = JSON.stringify([grade.officialId, grade.position, grade.observerId]);
    const cell = cells.get(key) ?? { first: grade, sum: 0, count: 0 };
    cell.sum += grade.points;
    cell.count++;
    cells.set(key, cell);
  }
  return [...cells.values()].map(({ first: { officialId, position, observerId }, sum, count }) => ({
    officialId,
    position,
    observerId,
    mean: sum / count,
    grades: count,
  }));
}
