import type { Scale } from "../grading/scales.ts";
import type { Interval } from "./intervals.ts";
import type { OfficialTotal } from "./official-totals.ts";
import type { RankedOfficial, SeasonTotals } from "./season-totals.ts";

/** Numbers of a season as a person reads them: with a true minus, and as many digits as the scale bears. */
export function figure(value: number, digits = 2): string {
  return value.toFixed(digits).replace("-", "−");
}

export function intervalWords({ low, high }: Interval, digits = 2): string {
  return `${figure(low, digits)} to ${figure(high, digits)}`;
}

export function percentWords(share: number): string {
  return `${Math.round(share * 100)} %`;
}

/** "3", or "3 to 7" where others are not clearly better or worse. */
export function rankWords({ rank, rankAtWorst }: Pick<RankedOfficial, "rank" | "rankAtWorst">): string {
  return rank === rankAtWorst ? String(rank) : `${rank} to ${rankAtWorst}`;
}

/** What a reader must know before comparing anybody, with observers by the names a reader knows them by. */
export function noticeLines(
  { model, groups, notices }: Pick<SeasonTotals, "model" | "groups" | "notices">,
  observerOf: (observerId: string) => string,
): string[] {
  if (model === null || groups.length < 2) return [...notices];
  const named = groups.map(({ name, observers }) => `${name} (${observers.map(observerOf).join(", ")})`);
  return [
    `No official was graded by observers of two of these groups: ${named.join("; ")}. Between them a comparison would rest on what is assumed, so that nobody is ranked across.`,
    ...notices,
  ];
}

export type StandingRow = {
  readonly total: OfficialTotal;
  readonly place: RankedOfficial | null;
  readonly group: string | null;
};

/** One position's officials, the best first; those whose value is withheld come last. */
export function standingRows(totals: SeasonTotals, position: string, scale: Pick<Scale, "best">): StandingRow[] {
  const places = totals.standings.filter((one) => one.position === position);
  const rows = totals.officials
    .filter((total) => total.position === position)
    .map((total): StandingRow => {
      for (const { group, places: ranked } of places) {
        const place = ranked.find(({ officialId }) => officialId === total.officialId);
        if (place) return { total, place, group };
      }
      return { total, place: null, group: null };
    });
  const sign = scale.best === "most" ? -1 : 1;
  return rows.toSorted(
    (a, b) =>
      Number(a.total.adjusted === null) - Number(b.total.adjusted === null) ||
      sign * ((a.total.adjusted?.value ?? 0) - (b.total.adjusted?.value ?? 0)) ||
      (a.total.officialId < b.total.officialId ? -1 : 1),
  );
}

export function positionsOf({ officials }: SeasonTotals): string[] {
  return [...new Set(officials.map(({ position }) => position))].toSorted();
}
