import { hashSetYards, numberPositionYards } from "./field-choices.ts";
import { type FieldTemplate, plain } from "./template-measures.ts";

/** Fields of the tackle game, from the published rules and digests of them; the source stands with each. */

const widthYards = 160 / 3; // 160 ft: NCAA 2016-17 rules 1-2, NFHS rule 1 digest, NFL rule 1

const elevenPlayers = {
  ...plain,
  game: "tackle",
  playLengthYards: 100,
  endZoneYards: 10,
  widthYards,
  lineEveryYards: 5,
  tickEveryYards: 5,
  shortMarkEveryYards: 1,
} as const;

/** The smaller fields of the same rule book. Yard lines, posts and try mark are taken from its field for 11. */
const reduced = {
  ...elevenPlayers,
  playLengthYards: 80,
  widthYards: 40,
  numbersYards: { bottom: 5, top: 7 },
  goalWidth: "23-4",
  tryMarksYards: [3],
} as const;

const reducedSource =
  "digits' feet 5 yd from the sideline: a field-drawing package's data, at second hand. Some hosts use a longer or wider field; yard lines, goal posts and try mark are taken from the NFHS field for 11.";

export const tackleTemplates: readonly FieldTemplate[] = [
  {
    ...elevenPlayers,
    id: "ncaa",
    name: "College tackle (NCAA)",
    hashFromSidelineYards: hashSetYards("ncaa", widthYards),
    numbersYards: numberPositionYards("tops-9"),
    goalWidth: "18-6",
    tryMarksYards: [3],
    benchLines: [
      { id: "coaching-line", name: "coaching line", outYards: 2, fromGoalYards: 25 },
      { id: "limit-line", name: "limit line", outYards: 4, fromGoalYards: null },
    ],
    source:
      "NCAA football rules 2016-17: 100 yd with 10-yd end zones, 160 ft wide, hash marks 60 ft from the sideline (1-2-1, 2-12-2, 2-12-7), number tops 9 yd from the sideline (1-2-1-i), coaching line 6 ft and limit line 12 ft out (1-2-3, 1-2-4), posts 18 ft 6 in apart (1-2-5). Try mark at 3 yd: at second hand.",
  },
  {
    ...elevenPlayers,
    id: "nfhs",
    name: "High school tackle, 11 players (NFHS)",
    hashFromSidelineYards: hashSetYards("nfhs", widthYards),
    numbersYards: numberPositionYards("tops-9"),
    goalWidth: "23-4",
    tryMarksYards: [3],
    source:
      "NFHS football rules book, rule 1 (digest of 2025): 360 by 160 ft, hash marks 53 ft 4 in from the sideline, posts 23 ft 4 in apart, try mark at 3 yd. Number tops 9 yd from the sideline are customary.",
  },
  {
    ...elevenPlayers,
    id: "nfl",
    name: "Professional tackle (NFL)",
    hashFromSidelineYards: hashSetYards("nfl", widthYards),
    numbersYards: numberPositionYards("bottoms-12"),
    goalWidth: "18-6",
    tryMarksYards: [2],
    goalLinePaintYards: 8 / 36,
    source:
      "NFL playing rules, rule 1 sections 1-2, and the league's glossary: 360 by 160 ft, hash marks 70 ft 9 in from the sideline, posts 18 ft 6 in apart. Number bottoms 12 yd from the sideline, an 8-in goal line and the try mark at 2 yd: at second hand.",
  },
  {
    ...reduced,
    id: "nfhs-9",
    name: "High school tackle, 9 players",
    hashFromSidelineYards: (40 - 70 / 9) / 2,
    source: `80 × 40 yd with 10-yd end zones, hash rows 7.78 yd (23 ft 4 in) apart, ${reducedSource}`,
  },
  {
    ...reduced,
    id: "nfhs-8",
    name: "High school tackle, 8 players",
    hashFromSidelineYards: 15,
    source: `80 × 40 yd with 10-yd end zones, hash marks 45 ft from each sideline: encyclopaedia text on the eight-man game; ${reducedSource}`,
  },
  {
    ...reduced,
    id: "nfhs-6",
    name: "High school tackle, 6 players",
    hashFromSidelineYards: 15,
    source: `80 × 40 yd with 10-yd end zones, hash rows 10 yd apart, ${reducedSource}`,
  },
];
