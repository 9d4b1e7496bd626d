import { defused, writeCsvRows } from "../cutlist/csv-table.ts";
import type { Eligibility } from "./eligibility.ts";
import type { RankedOfficial, SeasonTotals } from "./season-totals.ts";

/** What a season's table is written with: names beside ids. */
export type Names = {
  readonly nameOf: (officialId: string) => string;
  readonly observerOf: (observerId: string) => string;
};

type Cell = string | number | null;

/** RFC 4180; what a spreadsheet would run is defused, numbers stay numbers. */
export function csvTable(columns: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const cell = (value: Cell) => (typeof value === "number" ? String(value) : defused(value ?? ""));
  return writeCsvRows([[...columns], ...rows.map((row) => row.map(cell))]);
}

/** Totals, a row an official at a position. Points are on the season's scale. */
export function totalsCsv(totals: SeasonTotals, eligibility: readonly Eligibility[], { nameOf }: Names): string {
  const placeOf = new Map<string, RankedOfficial & { readonly group: string }>(
    totals.standings.flatMap(({ position, group, places }) =>
      places.map((place) => [`${position} ${place.officialId}`, { ...place, group }] as const),
    ),
  );
  const eligible = new Map<string, Eligibility>(eligibility.map((one) => [`${one.position} ${one.officialId}`, one]));
  return csvTable(
    [
      "official_id",
      "name",
      "position",
      "grades",
      "plays",
      "games",
      "observers",
      "cannot_judge",
      "raw_mean",
      "raw_spread",
      "adjusted",
      "standard_error",
      "low_95",
      "high_95",
      "rank",
      "rank_at_worst",
      "in_top_k",
      "group",
      "withheld",
      "eligible",
      "adjustment",
    ],
    totals.officials.map(({ officialId, position, evidence, mean, spread, adjusted, withheld }) => {
      const key = `${position} ${officialId}`;
      const place = placeOf.get(key);
      return [
        officialId,
        nameOf(officialId),
        position,
        evidence.grades,
        evidence.plays,
        evidence.games,
        evidence.observers,
        evidence.cannotJudge,
        mean,
        spread,
        adjusted?.value ?? null,
        adjusted?.standardError ?? null,
        adjusted?.interval.low ?? null,
        adjusted?.interval.high ?? null,
        place?.rank ?? null,
        place?.rankAtWorst ?? null,
        place?.inTopK ?? null,
        place?.group ?? null,
        withheld,
        eligible.get(key)?.isEligible === true ? "yes" : "no",
        adjusted?.sentence ?? null,
      ];
    }),
  );
}

/** Observers, a row each: severity in points worse than others. */
export function observersCsv(totals: SeasonTotals, { observerOf }: Names): string {
  return csvTable(
    [
      "observer_id",
      "name",
      "grades",
      "cannot_judge",
      "games",
      "officials",
      "mean",
      "spread",
      "share_of_scale",
      "severity",
      "standard_error",
      "low_95",
      "high_95",
      "drift_a_game",
    ],
    totals.observers.map((one) => [
      one.observerId,
      observerOf(one.observerId),
      one.grades,
      one.cannotJudge,
      one.games,
      one.officials,
      one.mean,
      one.spread,
      one.shareOfScale,
      one.severity?.points ?? null,
      one.severity?.standardError ?? null,
      one.severity?.interval.low ?? null,
      one.severity?.interval.high ?? null,
      one.drift?.slope ?? null,
    ]),
  );
}

/** Everything of a season as one JSON text. */
export function seasonJson(
  totals: SeasonTotals,
  eligibility: readonly Eligibility[],
  scaleId: string,
  { nameOf, observerOf }: Names,
): string {
  const whole = {
    format: "crewglass-season",
    formatVersion: 1,
    scaleId,
    caution: "Evidence for those who must choose. Evaluations are private.",
    names: {
      officials: Object.fromEntries(totals.officials.map(({ officialId }) => [officialId, nameOf(officialId)])),
      observers: Object.fromEntries(totals.observers.map(({ observerId }) => [observerId, observerOf(observerId)])),
    },
    totals,
    eligibility,
  };
  return `${JSON.stringify(whole, null, 2)}\n`;
}
