export type FleissKappa = {
  readonly subjects: number;
  /** Ratings of each subject. */
  readonly raters: number;
  /** Share of pairs of ratings of a subject that agree, and what chance would give. */
  readonly observed: number;
  readonly expected: number;
  readonly kappa: number;
  /** If there were no agreement beyond chance. */
  readonly standardErrorNull: number;
  readonly z: number;
  /** Of each category against all others; null for one that was never used, or always. */
  readonly perCategory: readonly (number | null)[];
};

/**
 * Agreement of many raters on categories (Fleiss 1971, Psychol. Bull. 76:378-382), with the standard error of Fleiss, Nee
 * and Landis (1979, Psychol. Bull. 86:974-977). `counts` has a row a subject: how many raters gave each category, as many
 * ratings in every row; who gave them does not matter.
 *
 * Null when rows differ in their number of ratings, have fewer than two, or everybody always gave one category.
 */
export function fleissKappa(counts: readonly (readonly number[])[]): FleissKappa | null {
  const subjects = counts.length;
  const raters = counts[0]?.reduce((sum, count) => sum + count, 0) ?? 0;
  if (raters < 2 || counts.some((row) => row.reduce((sum, count) => sum + count, 0) !== raters)) return null;
  const categories = counts[0]!.map((_, category) => category);
  const shares = categories.map(
    (category) => counts.reduce((sum, row) => sum + row[category]!, 0) / (subjects * raters),
  );
  const pairs = subjects * raters * (raters - 1);
  const observed =
    counts.reduce((sum, row) => sum + row.reduce((own, count) => own + count * (count - 1), 0), 0) / pairs;
  const expected = shares.reduce((sum, share) => sum + share * share, 0);
  const spread = shares.reduce((sum, share) => sum + share * (1 - share), 0);
  if (spread < 1e-12) return null;
  const kappa = (observed - expected) / (1 - expected);
  const skew = shares.reduce((sum, share) => sum + share * (1 - share) * (1 - 2 * share), 0);
  const standardErrorNull = Math.sqrt((2 * (spread * spread - skew)) / pairs) / spread;
  return {
    subjects,
    raters,
    observed,
    expected,
    kappa,
    standardErrorNull,
    z: kappa / standardErrorNull,
    perCategory: categories.map((category) => {
      const share = shares[category]!;
      if (share === 0 || share === 1) return null;
      const split = counts.reduce((sum, row) => sum + row[category]! * (raters - row[category]!), 0);
      return 1 - split / (pairs * share * (1 - share));
    }),
  };
}
