/** What lies between an official's raw mean and the adjusted value, in points; the parts add up to the change. */
export type Adjustment = {
  readonly change: number;
  /** Strict or lenient observers taken out. */
  readonly observers: number;
  /** Games, and plays in them, in which everybody was graded lower or higher. */
  readonly games: number;
  /** Criteria graded more often than others have them. */
  readonly criteria: number;
  /** What is taken for chance: towards the mean, the more the less there is to go by. */
  readonly shrinkage: number;
};

/** The scale's words for up and down. */
export type Reading = { readonly best: "most" | "least"; readonly digits: number };

export function signed(value: number, digits: number): string {
  const shown = Math.abs(value).toFixed(digits);
  return `${value < 0 ? "−" : "+"}${shown}`;
}

/** The adjustment in words, the largest part first; parts that would be printed as 0 are not told. */
export function adjustmentSentence(adjustment: Adjustment, observers: number, { best, digits }: Reading): string {
  const isUp = (value: number) => value > 0 === (best === "most");
  const many = observers === 1 ? "1 observer" : `${observers} observers`;
  const { observers: byObservers, games, criteria, shrinkage } = adjustment;
  const parts: [number, string][] = [
    [byObservers, `seen by ${many.replace(" ", isUp(byObservers) ? " strict " : " lenient ")}`],
    [games, `in games where all were graded ${isUp(games) ? "worse" : "better"} than usual`],
    [criteria, `graded on ${isUp(criteria) ? "harder" : "easier"} criteria than others`],
    [shrinkage, "drawn towards the mean"],
  ];
  const told = parts
    .filter(([value]) => Math.abs(value) >= 0.5 * 10 ** -digits)
    .sort(([a], [b]) => Math.abs(b) - Math.abs(a))
    .map(([value, words]) => `${words}: ${signed(value, digits)}`);
  if (told.length === 0) return "Nothing to adjust.";
  const sentence = told.join("; ");
  return `${sentence[0]!.toUpperCase()}${sentence.slice(1)}.`;
}
