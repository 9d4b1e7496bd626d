import { type Interval, studentInterval, usualLevel } from "./intervals.ts";

/** In fewer games a straight line is no news. */
export const leastTrendGames = 4;

/** The least squares line through one number a game, in points a game. */
export type Trend = {
  readonly games: number;
  readonly slope: number;
  readonly standardError: number;
  /** By Student's t with two fewer degrees of freedom than games. */
  readonly interval: Interval;
};

/** `means` in the order of the games' dates; every game weighs the same. Null with fewer than `leastTrendGames`. */
export function trendOverGames(means: readonly number[], level: number = usualLevel): Trend | null {
  const games = means.length;
  if (games < leastTrendGames) return null;
  const middle = (games - 1) / 2;
  const mean = means.reduce((sum, value) => sum + value, 0) / games;
  let along = 0;
  let across = 0;
  for (const [game, value] of means.entries()) {
    along += (game - middle) ** 2;
    across += (game - middle) * (value - mean);
  }
  const slope = across / along;
  const left = means.reduce((sum, value, game) => sum + (value - mean - slope * (game - middle)) ** 2, 0);
  const standardError = Math.sqrt(left / (games - 2) / along);
  return { games, slope, standardError, interval: studentInterval(slope, standardError, games - 2, level) };
}
