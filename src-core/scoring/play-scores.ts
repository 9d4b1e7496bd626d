import { type Criterion, criteria } from "../game/records.ts";
import type { Book, RuleList } from "../mechanics/book.ts";
import { type Finding, wholeCrew } from "./finding.ts";

/** What one official, or the crew together, made of one criterion. */
export type CriterionScore = {
  readonly criterion: Criterion;
  /** Mean of the expected credits, 0 to 100; null while it is withheld. */
  readonly score: number | null;
  /** Findings that count, and those that could not be told; what did not apply is in neither. */
  readonly counted: number;
  readonly untold: number;
  readonly weight: number;
};

export type OfficialScore = {
  /** A position of the book, or `wholeCrew` for what is nobody's alone. */
  readonly position: string;
  /** Criteria that came up, in the order of the book's vocabulary. */
  readonly criteria: readonly CriterionScore[];
  /** Mean of the criteria's scores by the book's weights; null while it is withheld. */
  readonly score: number | null;
  readonly withheld: string | null;
};

/** Scores with what they were made by: another book, edition or scoring version makes others. */
export type Scores = {
  readonly bookId: string;
  readonly bookEdition: string;
  readonly scoringVersion: string;
  readonly officials: readonly OfficialScore[];
};

/** How much it takes for a score: findings a criterion, and of all that came up the share that could be told. */
export type Evidence = { readonly leastFindings: number; readonly leastToldShare: number };
export const playEvidence: Evidence = { leastFindings: 1, leastToldShare: 0.5 };
/** Over a game one finding says little of an official. */
export const gameEvidence: Evidence = { leastFindings: 3, leastToldShare: 0.5 };

const criterionOf: Record<Exclude<RuleList, "duties">, Criterion> = {
  stations: "station",
  facings: "facing",
  keys: "key",
  zones: "zone",
  handoffs: "handoff",
  looks: "look",
  counts: "count",
};

/** The criterion of each rule of a book. */
export function criterionByRule(book: Book): ReadonlyMap<string, Criterion> {
  const found = new Map<string, Criterion>();
  for (const list of Object.keys(criterionOf) as (keyof typeof criterionOf)[]) {
    for (const { id } of book[list]) found.set(id, criterionOf[list]);
  }
  return found;
}

/** Folds findings, of one play or of many, into scores. The order of the findings never matters. */
export function scoresOf(
  findings: readonly Finding[],
  book: Book,
  scoringVersion: string,
  evidence: Evidence = playEvidence,
): Scores {
  const byRule = criterionByRule(book);
  const positions = [...book.positions.map(({ id }) => id), wholeCrew];
  return {
    bookId: book.id,
    bookEdition: book.edition,
    scoringVersion,
    officials: positions.flatMap((position) => {
      const own = findings.filter((finding) => finding.position === position);
      const rows = criteria.flatMap((criterion): CriterionScore[] => {
        const rated = own.filter(
          ({ ruleId, verdict }) => byRule.get(ruleId) === criterion && verdict !== "not applicable",
        );
        return rated.length > 0 ? [criterionScore(criterion, rated, book, evidence)] : [];
      });
      return rows.length > 0 ? [officialScore(position, rows, evidence)] : [];
    }),
  };
}

function criterionScore(
  criterion: Criterion,
  rated: readonly Finding[],
  book: Book,
  evidence: Evidence,
): CriterionScore {
  const credits = rated
    .flatMap(({ verdict, score }) => (verdict === "cannot tell" || score === null ? [] : [score]))
    .toSorted((a, b) => a - b);
  const untold = rated.length - credits.length;
  const enough = credits.length >= evidence.leastFindings && credits.length / rated.length >= evidence.leastToldShare;
  return {
    criterion,
    score: enough ? credits.reduce((sum, credit) => sum + credit, 0) / credits.length : null,
    counted: credits.length,
    untold,
    weight: book.grading.weights[criterion],
  };
}

/** Withheld when less than this share of the weight of what came up has a score. */
const leastWeightShare = 0.5;

function officialScore(position: string, rows: readonly CriterionScore[], evidence: Evidence): OfficialScore {
  const whole = rows.reduce((sum, { weight }) => sum + weight, 0);
  const scored = rows.filter(({ score }) => score !== null);
  const weight = scored.reduce((sum, row) => sum + row.weight, 0);
  if (weight > 0 && weight >= leastWeightShare * whole) {
    const sum = scored.reduce((total, row) => total + row.weight * (row.score ?? 0), 0);
    return { position, criteria: rows, score: sum / weight, withheld: null };
  }
  const counted = rows.reduce((sum, row) => sum + row.counted, 0);
  const untold = rows.reduce((sum, row) => sum + row.untold, 0);
  const why =
    weight === 0 && scored.length > 0
      ? "the book gives no weight to what came up"
      : `${counted} ${counted === 1 ? "finding counts" : "findings count"} and ${untold} could not be told; ` +
        `it takes ${evidence.leastFindings} a criterion, and half of what came up`;
  return { position, criteria: rows, score: null, withheld: why };
}
