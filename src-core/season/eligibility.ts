import type { OfficialTotal } from "./official-totals.ts";

/** What an assigner asks of whoever is to be considered, in numbers they fill in; null asks nothing. */
export type EligibilityRules = {
  readonly leastGames: number | null;
  readonly leastObservers: number | null;
  readonly leastGrades: number | null;
  /** On the scale's own points: at least as good as this, whichever end is the good one. */
  readonly worstValue: number | null;
  /** The lower end of the interval counts, and not the value itself. */
  readonly bySureValue: boolean;
  /** Share of grades that said "cannot judge", 0 to 1. */
  readonly mostUnjudged: number | null;
};

export const noRules: EligibilityRules = {
  leastGames: null,
  leastObservers: null,
  leastGrades: null,
  worstValue: null,
  bySureValue: false,
  mostUnjudged: null,
};

/** One rule held against one official: with the number it was held against. */
export type Tick = { readonly rule: string; readonly holds: boolean; readonly why: string };

export type Eligibility = {
  readonly officialId: string;
  readonly position: string;
  readonly isEligible: boolean;
  readonly ticks: readonly Tick[];
};

const minus = (value: number) => value.toFixed(2).replace("-", "−");

/** Each rule that asks something, held against an official at a position, with its reason. */
export function eligibilityOf(total: OfficialTotal, rules: EligibilityRules, best: "most" | "least"): Eligibility {
  const { evidence, adjusted } = total;
  const atLeast = (rule: string, asked: number | null, has: number): Tick[] =>
    asked === null ? [] : [{ rule: `${rule}: at least ${asked}`, holds: has >= asked, why: `${has} of ${asked}` }];
  const ticks: Tick[] = [
    ...atLeast("games at the position", rules.leastGames, evidence.games),
    ...atLeast("distinct observers", rules.leastObservers, evidence.observers),
    ...atLeast("grades", rules.leastGrades, evidence.grades),
    ...valueTicks(total, rules, best),
    ...unjudgedTicks(evidence.cannotJudge, evidence.grades, rules.mostUnjudged),
  ];
  return {
    officialId: total.officialId,
    position: total.position,
    // Without a value there is nothing to put anybody forward by, whatever the rules ask.
    isEligible: adjusted !== null && ticks.every(({ holds }) => holds),
    ticks:
      adjusted === null
        ? [...ticks, { rule: "a value that is not withheld", holds: false, why: total.withheld ?? "withheld" }]
        : ticks,
  };
}

function valueTicks({ adjusted }: OfficialTotal, rules: EligibilityRules, best: "most" | "least"): Tick[] {
  if (rules.worstValue === null || adjusted === null) return [];
  const { value, interval } = adjusted;
  const counted = rules.bySureValue ? (best === "most" ? interval.low : interval.high) : value;
  const holds = best === "most" ? counted >= rules.worstValue : counted <= rules.worstValue;
  const said = rules.bySureValue ? "the sure end of the adjusted value" : "the adjusted value";
  return [
    {
      rule: `${said}: ${best === "most" ? "at least" : "at most"} ${rules.worstValue}`,
      holds,
      why: `${minus(counted)}${rules.bySureValue ? ` (value ${minus(value)})` : ""}`,
    },
  ];
}

function unjudgedTicks(unjudged: number, judged: number, most: number | null): Tick[] {
  if (most === null) return [];
  const all = unjudged + judged;
  const share = all === 0 ? 0 : unjudged / all;
  return [
    {
      rule: `could not be judged: at most ${Math.round(most * 100)} %`,
      holds: share <= most,
      why: `${Math.round(share * 100)} % of ${all}`,
    },
  ];
}
