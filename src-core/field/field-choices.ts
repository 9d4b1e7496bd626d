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

export const hashSets = ["ncaa", "nfhs", "nfl", "thirds", "none"] as const satisfies readonly HashSet[];
export const numberPositions = ["tops-9", "bottoms-12", "none"] as const satisfies readonly NumberPosition[];
export const goalWidths = ["18-6", "23-4", "none"] as const satisfies readonly GoalWidth[];

/** Yards from a sideline to the inbounds ends of its row of hash marks, across a width in yards; null without hash marks. */
export function hashSetYards(set: HashSet, widthYards: number): number | null {
  switch (set) {
    case "none":
      return null;
    case "thirds":
      return widthYards / 3;
    case "ncaa":
      return 20; // 60 ft: NCAA 2016-17 rules 1-2-1, 2-12-7
    case "nfhs":
      return 160 / 9; // 53 ft 4 in, thirds of 160 ft: NFHS rule 1 digest
    case "nfl":
      return 283 / 12; // 70 ft 9 in: NFL operations glossary, hashmarks
  }
}

/**
 * Yards from a sideline to the feet (bottom) and the heads (top) of its digits; null without digits. Only the tops at 9
 * yd (NCAA rules 1-2-1-i) and the bottoms at 12 yd (NFL, number placement) are published; the other end follows from
 * digits 6 ft high.
 */
export function numberPositionYards(
  position: NumberPosition,
): { readonly bottom: number; readonly top: number } | null {
  switch (position) {
    case "none":
      return null;
    case "tops-9":
      return { bottom: 7, top: 9 };
    case "bottoms-12":
      return { bottom: 12, top: 14 };
  }
}

/** Yards between the inside faces of the uprights; null without goal posts. NCAA rules 1-2-5; NFHS rule 1 digest. */
export function goalWidthYards(width: GoalWidth): number | null {
  switch (width) {
    case "none":
      return null;
    case "18-6":
      return 18.5 / 3;
    case "23-4":
      return 70 / 9;
  }
}

/** Two rows, each so far in from its own sideline, have room between them. */
export function rowsFit(inYards: number, widthYards: number): boolean {
  return inYards > 0 && 2 * inYards < widthYards;
}
