/**
 * One grade as the totals of a season take it. What is graded is an official at a position: whoever works two positions
 * has two totals.
 */
export type SeasonGrade = {
  readonly officialId: string;
  readonly position: string;
  readonly criterion: string;
  /** Who gave it. */
  readonly observerId: string;
  readonly gameId: string;
  /** Null: a grade of the whole game. */
  readonly playId: string | null;
  /** On the scale of the season; null: cannot be judged from film, which leaves the denominator. */
  readonly points: number | null;
};
