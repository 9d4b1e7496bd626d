import { criteria, type Criterion } from "../game/records.ts";
import { downAndDistance, phaseNames } from "../game/words.ts";
import { rulingWords } from "../grading/rulings.ts";
import { isAmended } from "../grading/seal.ts";
import { type Finding, wholeCrew } from "../scoring/finding.ts";
import { scoringVersion } from "../scoring/judge-moment.ts";
import { gameEvidence, scoresOf } from "../scoring/play-scores.ts";
import type { Block, Column } from "./document.ts";
import { evidenceFigures } from "./evidence-figure.ts";
import { factsOf } from "./official-page.ts";
import {
  cautionOf,
  criterionNames,
  foundIn,
  headLines,
  officialName,
  type Page,
  type PageInput,
  rulingRateWords,
} from "./page-input.ts";

const start = (name: string): Column => ({ name, align: "start" });
const end = (name: string): Column => ({ name, align: "end" });
const soft = (text: string): Block => ({ kind: "text", tone: "soft", text });
const rounded = (score: number | null | undefined) => (score === null || score === undefined ? "–" : score.toFixed(0));

/** What the crew left to nobody, with its evidence: shown at most so many times. */
const mostOfTheCrew = 4;

/** The whole crew for whoever assigns them: each official by criterion, computed and graded, and what fell between them. */
export function crewPage(input: PageInput): Page {
  const { records, book, authorId } = input;
  const found = foundIn(input);
  const findings = found.map(({ finding }) => finding);
  const scores = scoresOf(findings, book, scoringVersion, gameEvidence).officials;
  const positions = records.game.crew.map(({ position }) => position);
  const shown = criteria.filter((criterion) =>
    scores.some((official) => official.criteria.some((one) => one.criterion === criterion)),
  );
  const scoreOf = (position: string, criterion: Criterion) =>
    scores.find((one) => one.position === position)?.criteria.find((one) => one.criterion === criterion)?.score;
  const grades = records.grades.filter((grade) => grade.authorId === authorId);
  const meanOf = (position: string, criterion: Criterion) => {
    const points = grades
      .filter((one) => one.position === position && one.criterion === criterion && one.playId !== null)
      .flatMap((one) => (one.points === null ? [] : [one.points]));
    return points.length === 0
      ? "–"
      : `${(points.reduce((sum, one) => sum + one, 0) / points.length).toFixed(2)} (${points.length})`;
  };
  const between = found
    .filter(({ finding, at }) => finding.position === wholeCrew && finding.verdict === "missed" && at !== null)
    .slice(0, mostOfTheCrew)
    .map((one) => ({
      one,
      ...evidenceFigures(input, one, { position: null, alt: one.finding.sentence }),
    }));
  const blocks: Block[] = [
    { kind: "text", tone: "caution", text: cautionOf(book) },
    { kind: "heading", level: 2, text: "Scores as computed" },
    {
      kind: "table",
      caption: "Scores of the game, 0 to 100; – where withheld, or nothing of it came up",
      columns: [start("Official"), ...shown.map((criterion) => end(criterionNames[criterion])), end("All, by weight")],
      rows: positions.map((position) => [
        officialName(input, position),
        ...shown.map((criterion) => rounded(scoreOf(position, criterion))),
        rounded(scores.find((one) => one.position === position)?.score),
      ]),
    },
    { kind: "heading", level: 2, text: "Grades" },
    ...(grades.length === 0
      ? [soft("No grades have been given in this game.")]
      : [
          {
            kind: "table",
            caption: `Mean grade of the plays and how many, on the scale ${input.scale.name}`,
            columns: [start("Official"), ...shown.map((criterion) => end(criterionNames[criterion]))],
            rows: positions.map((position) => [
              officialName(input, position),
              ...shown.map((criterion) => meanOf(position, criterion)),
            ]),
          } satisfies Block,
        ]),
    { kind: "heading", level: 2, text: "What nobody had" },
    ...(between.length === 0
      ? [soft("No matter was measured that surely nobody saw.")]
      : between.map(({ one, figures }): Block => ({
          kind: "card",
          heading: `Play ${one.play.number}, ${downAndDistance(one.play.situation)}`,
          verdict: "missed",
          sentences: [one.finding.sentence, `The book asks (${one.finding.ruleId}): ${one.finding.asks}.`],
          figures,
          facts: factsOf(one.finding, null),
        }))),
  ];
  return {
    document: {
      title: `The crew in ${records.game.title}`,
      lines: headLines(input),
      footer: `The crew in ${records.game.title} · private: for whoever assigns this crew`,
      blocks,
    },
    stills: between.flatMap(({ stills }) => stills),
  };
}

/** The game play by play: what was found and graded of whom, the rulings, and what was amended. */
export function gamePage(input: PageInput): Page {
  const { records, book, judged, authorId } = input;
  const plays = records.plays.toSorted((a, b) => a.number - b.number);
  const grades = records.grades.filter((grade) => grade.authorId === authorId);
  const rulings = records.rulings.filter((ruling) => ruling.authorId === authorId);
  const found = foundIn(input);
  const ofPlay = (playId: string, verdict: Finding["verdict"]) =>
    found.filter(({ play, finding }) => play.id === playId && finding.verdict === verdict);
  const coverages = plays.flatMap((play) =>
    (judged.get(play.id)?.moments ?? []).flatMap(({ judged: { looks } }) =>
      looks?.coverage ? [looks.coverage.value] : [],
    ),
  );
  const numberOf = new Map(plays.map(({ id, number }) => [id, number]));
  const amended = grades.filter((grade) => isAmended(records, { authorId, at: grade.gradedAt }));
  const missed = found.filter(({ finding }) => finding.verdict === "missed");
  const blocks: Block[] = [
    { kind: "text", tone: "caution", text: cautionOf(book) },
    {
      kind: "facts",
      facts: [
        { name: "Plays", value: String(plays.length) },
        { name: "Plays judged from marks", value: String([...judged.values()].filter(isJudged).length) },
        { name: "Moments", value: String(records.moments.length) },
        {
          name: "Look-through coverage, mean of the moments",
          value:
            coverages.length === 0
              ? "not measured"
              : `${Math.round((coverages.reduce((sum, one) => sum + one, 0) / coverages.length) * 100)} % of ${coverages.length}`,
        },
        { name: "Grades given", value: String(grades.length) },
        { name: "Of them amended after the game was finalised", value: String(amended.length) },
      ],
    },
    { kind: "heading", level: 2, text: "Play by play" },
    {
      kind: "table",
      caption: "Findings and grades of each play",
      columns: [start("Play"), start("Situation"), end("Met"), end("Missed"), end("Could not be told"), end("Grades")],
      rows: plays.map((play) => [
        String(play.number),
        downAndDistance(play.situation),
        String(ofPlay(play.id, "met").length),
        String(ofPlay(play.id, "missed").length),
        String(ofPlay(play.id, "cannot tell").length),
        String(grades.filter(({ playId }) => playId === play.id).length),
      ]),
    },
    { kind: "heading", level: 2, text: "What was missed" },
    ...(missed.length === 0
      ? [soft("Nothing was measured that was surely missed.")]
      : [
          {
            kind: "table",
            caption: "Every finding that was surely missed",
            columns: [start("Play"), start("Official"), start("Rule"), start("What was measured")],
            rows: missed.map(({ play, finding, at }) => [
              String(play.number),
              finding.position === wholeCrew ? "the crew" : finding.position,
              finding.ruleId,
              `${finding.sentence}${at ? ` (${phaseNames[at.moment.phase].toLowerCase()})` : ""}`,
            ]),
          } satisfies Block,
        ]),
    { kind: "heading", level: 2, text: "Rulings" },
    ...(rulings.length === 0
      ? [soft("No rulings were judged in this game.")]
      : [
          {
            kind: "table",
            caption: "Flags and no-calls, judged apart from mechanics",
            columns: ["Play", "Foul", "Judged as", "Official", "Should have seen it", "Comment"].map(start),
            rows: rulings
              .toSorted((a, b) => (numberOf.get(a.playId) ?? 0) - (numberOf.get(b.playId) ?? 0))
              .map((ruling) => [
                String(numberOf.get(ruling.playId) ?? "?"),
                ruling.foul,
                rulingWords(ruling),
                ruling.position ?? "not known",
                ruling.seers.join(", "),
                ruling.comment,
              ]),
          } satisfies Block,
        ]),
    ...(rulings.length === 0 ? [] : [soft(`${rulingRateWords(rulings)}. Between brackets: Wilson, 95 %.`)]),
    soft(`Computed by scoring version ${scoringVersion} from the marks as they are.`),
  ];
  return {
    document: {
      title: records.game.title,
      lines: headLines(input),
      footer: `${records.game.title} · private: for whoever assigns this crew`,
      blocks,
    },
    stills: [],
  };
}

function isJudged({
  moments,
}: {
  readonly moments: readonly { readonly judged: { readonly placed: readonly unknown[] } }[];
}) {
  return moments.some(({ judged }) => judged.placed.length > 0);
}
