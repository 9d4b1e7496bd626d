import { numberPositionYards } from "./field-choices.ts";
import { type FieldTemplate, plain } from "./template-measures.ts";

/** Fields of the flag game, from the published rules and digests of them; the source stands with each. */

/** Two halves: a line to gain at midfield, and nothing painted between but what a template adds. */
const halves = { ...plain, game: "flag", endZoneYards: 10 } as const;

const fiveASide = { ...halves, playLengthYards: 50, lineEveryYards: 25 } as const;

const youthZones = { beforeGoal: 5, beforeMiddle: 5 } as const;
const youthSource =
  "several youth leagues' pages: 70 yd overall with 10-yd end zones, a line to gain at midfield, no running within 5 yd of midfield and of the goal line";

export const flag100x40: FieldTemplate = {
  ...plain,
  game: "flag",
  id: "flag-100x40",
  name: "Flag, 100 × 40 yd, a line every 20",
  playLengthYards: 80,
  endZoneYards: 10,
  widthYards: 40,
  lineEveryYards: 20,
  tickEveryYards: 5,
  shortMarkEveryYards: 5,
  hashFromSidelineYards: 40 / 3,
  numbersYards: numberPositionYards("tops-9"),
  tryMarksYards: [3, 10],
  source:
    "80 yd between goal lines, 100 × 40 yd overall, zone lines each 20 yd, try marks at 3 and 10 yd: college intramural rules (NIRSA, digest). Hash ticks at thirds and digits are a choice of the field's owner, not of the rules.",
};

export const flagTemplates: readonly FieldTemplate[] = [
  flag100x40,
  {
    ...halves,
    id: "flag-60x30",
    name: "Flag 4v4, 60 × 30 yd (intramural)",
    playLengthYards: 40,
    widthYards: 30,
    lineEveryYards: 20,
    tryMarksYards: [3, 10],
    source:
      "60 × 30 yd overall, two 20-yd zones, 10-yd end zones, marks at 3 and 10 yd: college intramural 4v4 rules (NIRSA)",
  },
  {
    ...fiveASide,
    id: "ifaf-5v5",
    name: "Flag 5v5, 70 × 25 yd (IFAF)",
    widthYards: 25,
    tryMarksYards: [5, 10],
    noRunningYards: { beforeGoal: 5, beforeMiddle: null },
    source:
      "IFAF flag football rules 2023 (digest): 50 × 25 yd, end zones 10 yd, middle line at 25, no-running zone 5 yd before each goal line, try marks at 5 and 10 yd",
  },
  {
    ...fiveASide,
    id: "ifaf-7v7",
    name: "Flag 7v7, 70 × 30 yd (IFAF)",
    widthYards: 30,
    tryMarksYards: [5, 10],
    noRunningYards: { beforeGoal: 5, beforeMiddle: null },
    source: "IFAF flag football rules 2023 (digest): as for 5v5, but 30 yd wide",
  },
  {
    ...fiveASide,
    id: "youth-70x25",
    name: "Youth flag, 70 × 25 yd",
    widthYards: 25,
    noRunningYards: youthZones,
    source: `25 yd wide, ${youthSource}`,
  },
  {
    ...fiveASide,
    id: "youth-70x30",
    name: "Youth flag, 70 × 30 yd",
    widthYards: 30,
    noRunningYards: youthZones,
    source: `30 yd wide, ${youthSource}`,
  },
  {
    ...halves,
    id: "youth-across-tackle",
    name: "Youth flag, laid across a tackle field",
    playLengthYards: 100 / 3,
    widthYards: 30,
    lineEveryYards: 50 / 3,
    noRunningYards: youthZones,
    tackleLineEveryYards: 5,
    source:
      "USA Football flag rule book, 2018: 30 yd by 53 1/3 yd with two 10-yd end zones, midfield to gain, no running within 5 yd of midfield and of the goal line. The wording does not say whether 53 1/3 yd holds the end zones; it is read as the tackle field's whole width, end zones and all, which leaves 33 1/3 yd between the goal lines.",
  },
];
