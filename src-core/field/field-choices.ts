/**
 * What a game's field has that its level does not settle: hosts play on the markings that are there (state bodies have
 * told schools to play on college or professional hash marks where they could not be re-marked).
 */

/** How far the hash rows lie from their own sideline; "none" where a field has none painted. */
export type HashSet = "none" | "thirds" | "ncaa" | "nfhs" | "nfl";

/** Where the yard-line digits lie: their tops 9 yd in from the sideline, or their bottoms 12 yd in. */
export type NumberPosition = "none" | "tops-9" | "bottoms-12";

/** Inside width of the goal posts: 18 ft 6 in or 23 ft 4 in. */
export type GoalWidth = "18-6" | "23-4" | "none";

/** The measures of a field that no template fits, in yards. */
export type CustomField = {
  readonly name: string;
  /** Goal line to goal line. */
  readonly playLengthYards: number;
  readonly endZoneYards: number;
  readonly widthYards: number;
  readonly lineEveryYards: number;
  readonly tickEveryYards: number | null;
  readonly hashFromSidelineYards: number | null;
  readonly numbersYards: { readonly bottom: number; readonly top: number } | null;
};

/** Choices of one game; null leaves it to the template. `custom` counts when the template is "custom". */
export type FieldChoices = {
  readonly hashSet: HashSet | null;
  readonly numbers: NumberPosition | null;
  readonly goalWidth: GoalWidth | null;
  readonly custom: CustomField | null;
};

export const asTheTemplate: FieldChoices = { hashSet: null, numbers: null, goalWidth: null, custom: null };
