import type { GameRecords } from "../game/records.ts";
import type { Verdict } from "../scoring/finding.ts";
import { type Found, foundIn, type PageInput } from "./page-input.ts";

/** A finding with the game it is from. */
export type FoundInGame = Found & { readonly game: GameRecords["game"] };

/** How often a rule was met and missed, over all games given. */
export type RuleCount = {
  readonly ruleId: string;
  readonly asks: string;
  readonly met: number;
  readonly missed: number;
  readonly untold: number;
};

type Judged = Pick<PageInput, "records" | "judged">;

/** The findings of one official over games, the newest game's last; of one game in the order of its plays. */
export function ownFindings(games: readonly { readonly of: Judged; readonly position: string }[]): FoundInGame[] {
  return games
    .toSorted((a, b) => (a.of.records.game.playedOn ?? "").localeCompare(b.of.records.game.playedOn ?? ""))
    .flatMap(({ of, position }) =>
      foundIn(of)
        .filter(({ finding }) => finding.position === position && finding.verdict !== "not applicable")
        .map((found) => ({ ...found, game: of.records.game })),
    );
}

/** The rules that came up, those missed most often first. */
export function ruleCounts(found: readonly FoundInGame[]): RuleCount[] {
  const rules = new Map<string, FoundInGame[]>();
  for (const one of found) rules.set(one.finding.ruleId, [...(rules.get(one.finding.ruleId) ?? []), one]);
  const count = (all: readonly FoundInGame[], verdict: Verdict) =>
    all.filter(({ finding }) => finding.verdict === verdict).length;
  return [...rules]
    .map(([ruleId, all]) => ({
      ruleId,
      asks: all[0]?.finding.asks ?? "",
      met: count(all, "met"),
      missed: count(all, "missed"),
      untold: count(all, "cannot tell"),
    }))
    .toSorted((a, b) => b.missed - a.missed || b.met + b.untold - a.met - a.untold || (a.ruleId < b.ruleId ? -1 : 1));
}

/** The last findings of a rule that a moment shows, the newest first. */
export function lastOfRule(found: readonly FoundInGame[], ruleId: string, most: number): FoundInGame[] {
  return found
    .filter(({ finding, at }) => finding.ruleId === ruleId && at !== null)
    .slice(-most)
    .toReversed();
}
