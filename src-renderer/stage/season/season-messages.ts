import type { FleissKappa } from "#core/season/fleiss-kappa";
import type { DoubleGradedGame } from "#core/season/double-graded";
import type { SamePerson, SeasonData } from "#core/season/season-data";
import type { SeasonTotals } from "#core/season/season-totals";
import type { MinimumEvidence } from "#core/season/standing";

export type SeasonQuestion = {
  readonly data: SeasonData;
  readonly officials: readonly SamePerson[];
  readonly observers: readonly SamePerson[];
  readonly games: readonly SamePerson[];
  readonly minimum: MinimumEvidence;
  readonly topK: number;
  /** One criterion alone; null: all of them together. */
  readonly criterion: string | null;
};

/** One game that more than one observer graded, and how far they agree. */
export type AgreedGame = {
  readonly gameId: string;
  readonly agreement: DoubleGradedGame;
  /** Of what all observers graded, three of them or more; null otherwise. */
  readonly fleiss: FleissKappa | null;
};

export type SeasonAnswer = {
  readonly totals: SeasonTotals;
  readonly scaleId: string;
  /** Grades on other scales, and of officials that no game names: in no total. */
  readonly onOtherScales: number;
  readonly unnamed: number;
  readonly agreed: readonly AgreedGame[];
  /** Mean of the grades of each observer of each official at a position, and how many. */
  readonly heat: readonly HeatCell[];
};

export type HeatCell = {
  readonly officialId: string;
  readonly position: string;
  readonly observerId: string;
  readonly mean: number;
  readonly grades: number;
};

export type SeasonMessage =
  | { readonly kind: "done"; readonly answer: SeasonAnswer | null }
  | { readonly kind: "failed"; readonly message: string };
