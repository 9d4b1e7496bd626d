/**
 * A scale of grades. Points run from `least` to `most` by `step`; `best` says which end is the good one. At the points of
 * `reasonAt` a person says why.
 */
export type Scale = {
  readonly id: string;
  readonly name: string;
  readonly least: number;
  readonly most: number;
  readonly step: number;
  readonly best: "most" | "least";
  readonly words: readonly { readonly points: number; readonly says: string }[];
  readonly reasonAt: readonly number[];
};

/** The words are the house's own; an association's scale comes before them. The first is taken where nobody chose. */
export const scales: readonly [Scale, ...Scale[]] = [
  {
    id: "five-points",
    name: "1 to 5, 5 is best",
    least: 1,
    most: 5,
    step: 1,
    best: "most",
    words: [
      { points: 1, says: "not at all as the book asks" },
      { points: 2, says: "hardly as asked" },
      { points: 3, says: "partly as asked" },
      { points: 4, says: "as asked" },
      { points: 5, says: "better than asked" },
    ],
    reasonAt: [1, 5],
  },
  {
    id: "seven-points",
    name: "1 to 7, 1 is best",
    least: 1,
    most: 7,
    step: 1,
    best: "least",
    words: [
      { points: 1, says: "better than asked" },
      { points: 2, says: "as asked" },
      { points: 4, says: "partly as asked" },
      { points: 7, says: "not at all as the book asks" },
    ],
    reasonAt: [1, 7],
  },
  {
    id: "hundred",
    name: "0 to 100 by fives, 100 is best",
    least: 0,
    most: 100,
    step: 5,
    best: "most",
    words: [
      { points: 0, says: "not at all as the book asks" },
      { points: 50, says: "partly as asked" },
      { points: 95, says: "as asked" },
      { points: 100, says: "better than asked" },
    ],
    reasonAt: [0, 100],
  },
];

/** A scale of a person's own. One that grades may rest on is never changed: what is changed is a new one, and this retires. */
export type OwnScale = { readonly scale: Scale; readonly retired: boolean };

export function scaleById(id: string, own: readonly OwnScale[] = []): Scale | undefined {
  return scales.find((scale) => scale.id === id) ?? own.find(({ scale }) => scale.id === id)?.scale;
}

/** The scales that a game can be graded by from now on. */
export function scalesToChoose(own: readonly OwnScale[]): Scale[] {
  return [...scales, ...own.flatMap(({ scale, retired }) => (retired ? [] : [scale]))];
}

const mostPoints = 201;

/** Why a scale cannot be graded by, in words that say what to do; null where it can. */
export function scaleFault(scale: Scale): string | null {
  const { least, most, step, name } = scale;
  if (name.trim() === "") return "Give the scale a name.";
  if (![least, most, step].every(Number.isFinite)) return "The least, the most and the step are numbers.";
  if (most <= least) return "The most is above the least.";
  if (step <= 0) return "The step is above 0.";
  const steps = (most - least) / step;
  if (Math.abs(steps - Math.round(steps)) > 1e-6) return `From ${least} by ${step} does not come to ${most}.`;
  if (Math.round(steps) + 1 > mostPoints) return `A scale has at most ${mostPoints} points: take a larger step.`;
  if (Math.round(steps) < 3) return "A scale has at least four points: two between its ends.";
  return null;
}

/** All points of a scale, the least first. */
export function pointsOf({ least, most, step }: Pick<Scale, "least" | "most" | "step">): number[] {
  return Array.from(
    { length: Math.round((most - least) / step) + 1 },
    // Steps such as 0.1 do not add up in binary.
    (_, index) => Math.round((least + index * step) * 1e6) / 1e6,
  );
}

export function isOnScale(scale: Scale, points: number): boolean {
  return pointsOf(scale).includes(points);
}

/** What a point says; nothing for those between. */
export function wordsFor(scale: Scale, points: number): string {
  return scale.words.find((word) => word.points === points)?.says ?? "";
}

/**
 * The point that a computed score (0 to 100) stands for, along the scale from its bad end to its good one; null where the
 * score is withheld. A score of full marks is what the book asks for: it is never put at an end that takes a reason, for
 * whoever goes that far must say why themselves.
 */
export function suggestedPoints(scale: Scale, score: number | null): number | null {
  if (score === null) return null;
  const open = pointsOf(scale).filter((points) => !scale.reasonAt.includes(points));
  const fromBad = scale.best === "most" ? open : open.toReversed();
  const at = Math.round((Math.min(100, Math.max(0, score)) / 100) * (fromBad.length - 1));
  return fromBad[at] ?? null;
}
