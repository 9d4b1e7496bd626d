import { type Criterion, criteria, type Grade, phases } from "../game/records.ts";
import { clock, downAndDistance, phaseNames } from "../game/words.ts";
import { rulingWords } from "../grading/rulings.ts";
import { isAmended } from "../grading/seal.ts";
import { pointsOf, type Scale, wordsFor } from "../grading/scales.ts";
import type { Finding, Verdict } from "../scoring/finding.ts";
import { findingFacts, lookTerms, surenessWords } from "../scoring/finding-facts.ts";
import { scoringVersion } from "../scoring/judge-moment.ts";
import { criterionByRule, gameEvidence, scoresOf } from "../scoring/play-scores.ts";
import type { Block, Fact, StillWanted } from "./document.ts";
import { evidenceFigures } from "./evidence-figure.ts";
import {
  cautionOf,
  criterionNames,
  type Found,
  foundIn,
  headLines,
  officialName,
  type Page,
  type PageInput,
  rulingRateWords,
  withoutOthers,
} from "./page-input.ts";
import { trendBlocks, type GameScores } from "./trend.ts";

const mostWell = 3;
const mostToWorkOn = 5;

/**
 * The page of one official: what was done well, what to work on, each with its evidence, then the counts, grades and
 * rulings, and their own trend. It holds nothing of any other official: no name, no grade, no mark on a picture.
 */
export function officialPage(input: PageInput, position: string, earlier: readonly GameScores[] = []): Page {
  const { records, book, authorId } = input;
  const found = foundIn(input).filter(({ finding }) => finding.position === position);
  const grades = records.grades.filter((grade) => grade.position === position && grade.authorId === authorId);
  const cards = chosen(input, found, grades);
  const made = {
    well: cards.well.map((one) => card(input, position, one, grades)),
    workOn: cards.workOn.map((one) => card(input, position, one, grades)),
  };
  const told = found.filter(({ finding }) => finding.verdict === "met" || finding.verdict === "missed");
  const untold = found.filter(({ finding }) => finding.verdict === "cannot tell");
  const seen = new Set(told.map(({ play }) => play.id));
  const blocks: Block[] = [
    { kind: "text", tone: "caution", text: cautionOf(book) },
    {
      kind: "facts",
      facts: [
        { name: "Plays judged", value: `${seen.size} of ${records.plays.length}` },
        { name: "Findings that count", value: String(told.length) },
        { name: "Could not be told", value: String(untold.length) },
        { name: "Grades given", value: String(grades.length) },
      ],
    },
    { kind: "heading", level: 2, text: "Done well" },
    ...(made.well.length > 0
      ? made.well.map(({ block }) => block)
      : [soft("Nothing that was measured shows it surely enough to be said here.")]),
    { kind: "heading", level: 2, text: "To work on" },
    ...(made.workOn.length > 0
      ? made.workOn.map(({ block }) => block)
      : [soft("Nothing that was measured was missed, or a person overruled it.")]),
    ...gradeBlocks(input, position, grades),
    ...rulingBlocks(input, position),
    ...ruleBlocks(input, position, found),
    ...trendBlocks(input, position, earlier),
  ];
  const stills = [...made.well, ...made.workOn].flatMap((one) => one.stills);
  return {
    document: {
      title: `Feedback for ${officialName(input, position)}`,
      lines: headLines(input),
      footer: `${officialName(input, position)} · private: for the official named and whom the association lets see it`,
      blocks,
    },
    stills: stills.filter((still, index) => stills.findIndex(({ key }) => key === still.key) === index),
  };
}

const soft = (text: string): Block => ({ kind: "text", tone: "soft", text });

/** One thing to say, and how often it was so. */
type Chosen = { readonly one: Found; readonly all: readonly Found[] };

/**
 * Of each rule the finding that is surest; those of most weight first, and of one criterion only two before every other one
 * has had its turn. What a person graded as the book asks, or better, is not something to work on, whatever was found.
 */
function chosen(
  { book, scale }: PageInput,
  found: readonly Found[],
  grades: readonly Grade[],
): { readonly well: readonly Chosen[]; readonly workOn: readonly Chosen[] } {
  const byRule = criterionByRule(book);
  const isOverruled = ({ play, finding }: Found) => {
    const grade = grades.find(
      ({ playId, criterion }) => playId === play.id && criterion === byRule.get(finding.ruleId),
    );
    return grade !== undefined && grade.suggested !== null && isBetter(scale, grade.points, grade.suggested);
  };
  const weight = ({ finding }: Found) => {
    const criterion = byRule.get(finding.ruleId);
    return criterion ? book.grading.weights[criterion] : 0;
  };
  const sure = ({ finding: { measure, verdict } }: Found) =>
    measure === null ? 0 : verdict === "met" ? measure.probabilityMet : 1 - measure.probabilityMet;
  const pick = (verdict: Verdict, most: number): Chosen[] => {
    const rules = new Map<string, Found[]>();
    for (const one of found) {
      if (one.finding.verdict !== verdict || one.at === null || (verdict === "missed" && isOverruled(one))) continue;
      const { ruleId } = one.finding;
      rules.set(ruleId, [...(rules.get(ruleId) ?? []), one]);
    }
    const best = [...rules.values()].flatMap((all): Chosen[] => {
      // With equals the earlier play stands for them.
      const [one] = all.toSorted((a, b) => lost(b) - lost(a) || sure(b) - sure(a));
      return one ? [{ one, all }] : [];
    });
    const ranked = best.toSorted(
      (a, b) =>
        lost(b.one) * weight(b.one) - lost(a.one) * weight(a.one) ||
        weight(b.one) - weight(a.one) ||
        b.all.length - a.all.length,
    );
    const taken = new Map<Criterion | undefined, number>();
    const isNew = ({ one }: Chosen) => {
      const criterion = byRule.get(one.finding.ruleId);
      taken.set(criterion, (taken.get(criterion) ?? 0) + 1);
      return (taken.get(criterion) ?? 0) <= 2;
    };
    const first = ranked.filter(isNew);
    return [...first, ...ranked.filter((one) => !first.includes(one))].slice(0, most);
  };
  return { well: pick("met", mostWell), workOn: pick("missed", mostToWorkOn) };
}

/** The part of the credit that was lost, 0 to 1. */
function lost({ finding: { verdict, score } }: Found): number {
  return verdict === "missed" ? 1 - (score ?? 0) / 100 : 0;
}

function isBetter(scale: Scale, points: number | null, than: number): boolean {
  if (points === null) return false;
  return scale.best === "most" ? points > than : points < than;
}

function card(
  input: PageInput,
  position: string,
  { one, all }: Chosen,
  grades: readonly Grade[],
): { readonly block: Block; readonly stills: readonly StillWanted[] } {
  const { play, finding, at } = one;
  const positions = input.book.positions.map(({ id }) => id);
  const own = (sentence: string) => withoutOthers(sentence, positions, position);
  const criterion = criterionByRule(input.book).get(finding.ruleId);
  const grade = grades.find((said) => said.playId === play.id && said.criterion === criterion);
  const plays = [...new Set(all.map((each) => each.play.number))];
  const { figures, stills } = evidenceFigures(input, one, { position, alt: own(finding.sentence) });
  const when = at ? `, ${phaseNames[at.moment.phase].toLowerCase()} at ${clock(at.moment.timeSec)}` : "";
  return {
    block: {
      kind: "card",
      heading: `Play ${play.number}, ${downAndDistance(play.situation)}${when}`,
      verdict: finding.verdict === "not applicable" ? null : finding.verdict,
      sentences: [
        own(finding.sentence),
        `The book asks (${finding.ruleId}): ${own(finding.asks)}.`,
        ...(plays.length > 1 ? [`So in ${plays.length} plays: ${plays.join(", ")}.`] : []),
        ...(grade ? [gradeSentence(grade, input.scale)] : []),
      ],
      figures,
      facts: [...factsOf(finding, position), { name: "How sure", value: surenessWords(finding) || "not measured" }],
    },
    stills,
  };
}

function gradeSentence({ points, suggested, reason, comment }: Grade, scale: Scale): string {
  const said = points === null ? "cannot be judged from film" : `${points}${wordsOf(scale, points)}`;
  const against = suggested === null || suggested === points ? "" : `, where ${suggested} was suggested`;
  return `Graded: ${said}${against}.${reason === "" ? "" : ` ${reason}`}${comment === "" ? "" : ` ${comment}`}`;
}

function wordsOf(scale: Scale, points: number): string {
  const words = wordsFor(scale, points);
  return words === "" ? "" : `, ${words}`;
}

/** The numbers of a finding as they stand on the screen: of a look term by term for one official, a line each for a crew. */
export function factsOf(finding: Finding, position: string | null): Fact[] {
  if (finding.measure?.kind === "look") {
    const { looks, seenFrom } = finding.measure;
    const asked = { name: "Counts as seen from", value: String(seenFrom) };
    if (position === null)
      return [
        ...looks.map((look) => ({
          name: look.position,
          value: lookTerms(look)
            .map(({ name, figure, credit }) =>
              name === "Quality" ? `quality ${credit} (${figure})` : `${name.toLowerCase()} ${figure}`,
            )
            .join(", "),
        })),
        asked,
      ];
    const own = looks.find((look) => look.position === position);
    const terms = own ? lookTerms(own) : [];
    return [...terms.map(({ name, figure, credit }) => ({ name, value: `${figure}, credit ${credit}` })), asked];
  }
  return findingFacts(finding).map(({ name, figure, interval, outside }) => ({
    name,
    value: `${figure}${interval === null ? "" : ` (${interval})`}${outside === null ? "" : `, ${outside}`}`,
  }));
}

function gradeBlocks({ records, scale }: PageInput, position: string, grades: readonly Grade[]): Block[] {
  if (grades.length === 0) return [];
  const numberOf = new Map(records.plays.map(({ id, number }) => [id, number]));
  const order = (grade: Grade) => (grade.playId === null ? 0 : (numberOf.get(grade.playId) ?? 0));
  const rows = grades
    .toSorted((a, b) => order(a) - order(b) || criteria.indexOf(a.criterion) - criteria.indexOf(b.criterion))
    .map((grade) => [
      grade.playId === null ? "whole game" : `play ${order(grade)}`,
      criterionNames[grade.criterion],
      grade.points === null ? "cannot judge" : String(grade.points),
      grade.suggested === null ? "–" : String(grade.suggested),
      [
        isAmended(records, { authorId: grade.authorId, at: grade.gradedAt })
          ? `Amended ${grade.gradedAt.slice(0, 10)}.`
          : "",
        grade.reason,
        grade.comment,
        evidenceWords(records.moments, grade),
      ]
        .filter(Boolean)
        .join(" "),
    ]);
  return [
    { kind: "heading", level: 2, text: "Grades" },
    soft(`Scale: ${scale.name}. ${scaleWords(scale)}`),
    {
      kind: "table",
      caption: `Grades of ${position}`,
      columns: [
        { name: "Play", align: "start" },
        { name: "Criterion", align: "start" },
        { name: "Grade", align: "end" },
        { name: "Suggested", align: "end" },
        { name: "Why", align: "start" },
      ],
      rows,
    },
  ];
}

function evidenceWords(moments: PageInput["records"]["moments"], { momentIds }: Grade): string {
  const times = moments.filter(({ id }) => momentIds.includes(id)).map(({ timeSec }) => clock(timeSec));
  return times.length === 0 ? "" : `Evidence: ${times.join(", ")}.`;
}

function scaleWords(scale: Scale): string {
  return pointsOf(scale)
    .filter((points) => wordsFor(scale, points) !== "")
    .map((points) => `${points}: ${wordsFor(scale, points)}`)
    .join("; ");
}

function rulingBlocks({ records, authorId }: PageInput, position: string): Block[] {
  const numberOf = new Map(records.plays.map(({ id, number }) => [id, number]));
  const own = records.rulings
    .filter((ruling) => ruling.authorId === authorId)
    .filter((ruling) => ruling.position === position || ruling.seers.includes(position));
  const rows = own
    .toSorted((a, b) => (numberOf.get(a.playId) ?? 0) - (numberOf.get(b.playId) ?? 0))
    .map((ruling) => [
      `play ${numberOf.get(ruling.playId) ?? "?"}`,
      ruling.foul,
      rulingWords(ruling),
      [
        ruling.position === position ? (ruling.kind === "flag" ? "called it" : "theirs to call") : "",
        ruling.seers.includes(position) ? "should have seen it" : "",
      ]
        .filter(Boolean)
        .join("; "),
      ruling.comment,
    ]);
  if (rows.length === 0) return [];
  return [
    { kind: "heading", level: 2, text: "Rulings" },
    {
      kind: "table",
      caption: `Rulings that concern ${position}`,
      columns: ["Play", "Foul", "Judged as", "The official", "Comment"].map((name) => ({ name, align: "start" })),
      rows,
    },
    soft(
      `Of those that were theirs to call: ${rulingRateWords(own.filter((ruling) => ruling.position === position))}. Between brackets: Wilson, 95 %.`,
    ),
  ];
}

function ruleBlocks({ book }: PageInput, position: string, found: readonly Found[]): Block[] {
  const rules = new Map<string, Found[]>();
  for (const one of found) {
    if (one.finding.verdict === "not applicable") continue;
    rules.set(one.finding.ruleId, [...(rules.get(one.finding.ruleId) ?? []), one]);
  }
  if (rules.size === 0) return [];
  const byRule = criterionByRule(book);
  const positions = book.positions.map(({ id }) => id);
  const count = (all: readonly Found[], verdict: Verdict) =>
    String(all.filter(({ finding }) => finding.verdict === verdict).length);
  const rank = ([ruleId, [one]]: [string, Found[]]) =>
    criteria.indexOf(byRule.get(ruleId) ?? "count") * 10 + phases.indexOf(one?.finding.phase ?? "pre-snap");
  const scores = scoresOf(
    found.map(({ finding }) => finding),
    book,
    scoringVersion,
    gameEvidence,
  ).officials.find((official) => official.position === position);
  return [
    { kind: "heading", level: 2, text: "Counts by rule" },
    {
      kind: "table",
      caption: `Findings of ${position} by rule of the book`,
      columns: [
        { name: "Rule", align: "start" },
        { name: "The book asks", align: "start" },
        { name: "Met", align: "end" },
        { name: "Missed", align: "end" },
        { name: "Could not be told", align: "end" },
      ],
      rows: [...rules]
        .toSorted((a, b) => rank(a) - rank(b) || (a[0] < b[0] ? -1 : 1))
        .map(([ruleId, all]) => [
          ruleId,
          withoutOthers(all[0]?.finding.asks ?? "", positions, position),
          count(all, "met"),
          count(all, "missed"),
          count(all, "cannot tell"),
        ]),
    },
    {
      kind: "table",
      caption: "Scores of the game by criterion, as computed",
      columns: [
        { name: "Criterion", align: "start" },
        { name: "Score, 0 to 100", align: "end" },
        { name: "Findings", align: "end" },
        { name: "Could not be told", align: "end" },
        { name: "Weight in the book", align: "end" },
      ],
      rows: (scores?.criteria ?? []).map(({ criterion, score, counted, untold, weight }) => [
        criterionNames[criterion],
        score === null ? "withheld" : score.toFixed(0),
        String(counted),
        String(untold),
        String(weight),
      ]),
    },
    soft(
      `A score is the mean of the findings’ credits. It is withheld under ${gameEvidence.leastFindings} findings, or where under ` +
        `half of what came up could be told. Computed by scoring version ${scoringVersion}.`,
    ),
  ];
}
