import { defused, writeCsvRows } from "../cutlist/csv-table.ts";
import { isAmended } from "../grading/seal.ts";
import { scaleById, type OwnScale } from "../grading/scales.ts";
import { findingFacts, surenessWords } from "../scoring/finding-facts.ts";
import { scoringVersion } from "../scoring/judge-moment.ts";
import { criterionByRule } from "../scoring/play-scores.ts";
import { type Found, foundIn, type PageInput } from "./page-input.ts";

/** One column of an exported table: what it holds, with its unit. */
export type TableColumn<R> = {
  readonly name: string;
  readonly holds: string;
  readonly of: (row: R) => string | number | boolean | null;
};

type Rows<R> = { readonly columns: readonly TableColumn<R>[]; readonly rows: readonly R[] };

/** Every finding of the game, a row each. */
export function findingTable(input: PageInput): Rows<Found> {
  const byRule = criterionByRule(input.book);
  const measured = ({ finding: { measure } }: Found) => measure;
  const station = (found: Found) => {
    const measure = measured(found);
    return measure?.kind === "station" ? measure : null;
  };
  return {
    rows: foundIn(input),
    columns: [
      { name: "game_id", holds: "id of the game", of: () => input.records.game.id },
      { name: "play_id", holds: "id of the play", of: ({ play }) => play.id },
      { name: "play", holds: "number of the play in the game", of: ({ play }) => play.number },
      {
        name: "moment_id",
        holds: "id of the moment it was seen at; empty without",
        of: ({ at }) => at?.moment.id ?? null,
      },
      { name: "phase", holds: "phase of the play that the rule is for", of: ({ finding }) => finding.phase },
      {
        name: "film_time_sec",
        holds: "time of that moment on its film, seconds",
        of: ({ at }) => at?.moment.timeSec ?? null,
      },
      {
        name: "position",
        holds: "letters of the official, or “crew” for what was nobody’s alone",
        of: ({ finding }) => finding.position,
      },
      {
        name: "criterion",
        holds: "station, facing, key, zone, handoff, look or count",
        of: ({ finding }) => byRule.get(finding.ruleId) ?? null,
      },
      { name: "rule", holds: "id of the rule in the book", of: ({ finding }) => finding.ruleId },
      {
        name: "verdict",
        holds: "met, missed, cannot tell or not applicable",
        of: ({ finding }) => finding.verdict,
      },
      {
        name: "probability_met",
        holds: "that the rule was met over the errors of the marks, 0 to 1; empty where nothing was measured",
        of: (found) => measured(found)?.probabilityMet ?? null,
      },
      {
        name: "credit",
        holds: "expected credit, 0 to 100; empty where nothing was measured",
        of: ({ finding }) => finding.score,
      },
      {
        name: "depth_yd",
        holds: "of a station: yards from the rule’s anchor, positive downfield",
        of: (found) => station(found)?.depthYards.value ?? null,
      },
      {
        name: "depth_low_yd",
        holds: "lower end of its 95 % interval, yards",
        of: (f) => station(f)?.depthYards.low ?? null,
      },
      {
        name: "depth_high_yd",
        holds: "upper end of its 95 % interval, yards",
        of: (f) => station(f)?.depthYards.high ?? null,
      },
      {
        name: "width_yd",
        holds: "of a station: yards from the rule’s anchor, positive outward",
        of: (found) => station(found)?.widthYards.value ?? null,
      },
      {
        name: "width_low_yd",
        holds: "lower end of its 95 % interval, yards",
        of: (f) => station(f)?.widthYards.low ?? null,
      },
      {
        name: "width_high_yd",
        holds: "upper end of its 95 % interval, yards",
        of: (f) => station(f)?.widthYards.high ?? null,
      },
      {
        name: "outside_yd",
        holds: "of a station: yards outside the target",
        of: (found) => station(found)?.outsideYards.value ?? null,
      },
      {
        name: "numbers",
        holds: "all numbers of the finding as the screen has them, with units and 95 % intervals",
        of: ({ finding }) =>
          [
            ...findingFacts(finding).map(
              ({ name, figure, interval }) => `${name} ${figure}${interval === null ? "" : ` (${interval})`}`,
            ),
            surenessWords(finding),
          ]
            .filter(Boolean)
            .join("; "),
      },
      { name: "sentence", holds: "the finding in words", of: ({ finding }) => finding.sentence },
      { name: "book", holds: "id of the mechanics book", of: () => input.book.id },
      { name: "book_edition", holds: "its edition", of: () => input.book.edition },
      { name: "scoring_version", holds: "version of the scoring that made it", of: () => scoringVersion },
    ],
  };
}

type GradeRow = PageInput["records"]["grades"][number];

/** The grades of the game, of every author, a row each. */
export function gradeTable({ records, book }: PageInput, own: readonly OwnScale[]): Rows<GradeRow> {
  const numberOf = new Map(records.plays.map(({ id, number }) => [id, number]));
  const scale = ({ scaleId }: GradeRow) => scaleById(scaleId, own);
  return {
    rows: records.grades,
    columns: [
      { name: "grade_id", holds: "id of the grade; it stays the same when the grade is changed", of: ({ id }) => id },
      { name: "game_id", holds: "id of the game", of: ({ gameId }) => gameId },
      { name: "play_id", holds: "id of the play; empty for the whole game", of: ({ playId }) => playId },
      {
        name: "play",
        holds: "number of the play",
        of: ({ playId }) => (playId === null ? null : (numberOf.get(playId) ?? null)),
      },
      { name: "position", holds: "letters of the official", of: ({ position }) => position },
      {
        name: "criterion",
        holds: "station, facing, key, zone, handoff, look or count",
        of: ({ criterion }) => criterion,
      },
      {
        name: "points",
        holds: "points of the scale; empty where it cannot be judged from film",
        of: ({ points }) => points,
      },
      {
        name: "suggested",
        holds: "points that the findings suggested then; empty where withheld",
        of: ({ suggested }) => suggested,
      },
      { name: "scale_id", holds: "id of the scale", of: ({ scaleId }) => scaleId },
      { name: "scale_least", holds: "its least points", of: (grade) => scale(grade)?.least ?? null },
      { name: "scale_most", holds: "its most points", of: (grade) => scale(grade)?.most ?? null },
      {
        name: "scale_best",
        holds: "which end of it is the good one: most or least",
        of: (grade) => scale(grade)?.best ?? null,
      },
      {
        name: "reason",
        holds: "why it differs from what was suggested, or lies at an end",
        of: ({ reason }) => reason,
      },
      { name: "comment", holds: "comment for the official", of: ({ comment }) => comment },
      {
        name: "moment_ids",
        holds: "moments taken as evidence, ids with spaces between",
        of: ({ momentIds }) => momentIds.join(" "),
      },
      { name: "author_id", holds: "id of the observer", of: ({ authorId }) => authorId },
      { name: "graded_at", holds: "when it was last said, ISO 8601, UTC", of: ({ gradedAt }) => gradedAt },
      {
        name: "amended",
        holds: "true where it was said after its author had finalised the game",
        of: ({ authorId, gradedAt }) => isAmended({ seals: records.seals }, { authorId, at: gradedAt }),
      },
      { name: "book", holds: "id of the mechanics book", of: () => book.id },
      { name: "book_edition", holds: "its edition", of: () => book.edition },
    ],
  };
}

type RulingRow = PageInput["records"]["rulings"][number];

/** The rulings of the game, a row each. */
export function rulingTable({ records }: PageInput): Rows<RulingRow> {
  const numberOf = new Map(records.plays.map(({ id, number }) => [id, number]));
  return {
    rows: records.rulings,
    columns: [
      { name: "ruling_id", holds: "id of the ruling", of: ({ id }) => id },
      { name: "game_id", holds: "id of the game", of: ({ gameId }) => gameId },
      { name: "play_id", holds: "id of the play", of: ({ playId }) => playId },
      { name: "play", holds: "number of the play", of: ({ playId }) => numberOf.get(playId) ?? null },
      { name: "kind", holds: "flag or no-call", of: ({ kind }) => kind },
      { name: "class", holds: "correct, incorrect, marginal or cannot judge", of: ({ class: judged }) => judged },
      { name: "foul", holds: "in the author’s own words", of: ({ foul }) => foul },
      {
        name: "position",
        holds: "who called it, or whose it was; empty where not known",
        of: ({ position }) => position,
      },
      {
        name: "seers",
        holds: "who should have seen it, letters with spaces between",
        of: ({ seers }) => seers.join(" "),
      },
      { name: "moment_id", holds: "the moment it is seen at", of: ({ momentId }) => momentId },
      {
        name: "spot_given_x_yd",
        holds: "spot given, yards along the field from the left end line; empty where none is in question",
        of: ({ spotGivenXYards }) => spotGivenXYards,
      },
      { name: "comment", holds: "comment", of: ({ comment }) => comment },
      { name: "author_id", holds: "id of the observer", of: ({ authorId }) => authorId },
      { name: "ruled_at", holds: "when it was last said, ISO 8601, UTC", of: ({ ruledAt }) => ruledAt },
    ],
  };
}

/** RFC 4180, with a line of names first; cells that a spreadsheet would run are defused. */
export function csvOf<R>({ columns, rows }: Rows<R>): string {
  return writeCsvRows([
    columns.map(({ name }) => name),
    ...rows.map((row) => columns.map(({ of }) => cellOf(of(row)))),
  ]);
}

function cellOf(value: ReturnType<TableColumn<unknown>["of"]>): string {
  return typeof value === "number" ? String(value) : defused(String(value ?? ""));
}

function recordsOf<R>({ columns, rows }: Rows<R>) {
  return rows.map((row) => Object.fromEntries(columns.map(({ name, of }) => [name, of(row)])));
}

function columnsOf<R>({ columns }: Rows<R>) {
  return Object.fromEntries(columns.map(({ name, holds }) => [name, holds]));
}

/** Everything of the three tables as one JSON text, with what each column holds. */
export function evaluationJson(input: PageInput, own: readonly OwnScale[]): string {
  const findings = findingTable(input);
  const grades = gradeTable(input, own);
  const rulings = rulingTable(input);
  const whole = {
    format: "crewglass-evaluation",
    formatVersion: 1,
    game: { id: input.records.game.id, title: input.records.game.title, playedOn: input.records.game.playedOn },
    caution: "Evidence for a person, not a verdict on one. Evaluations are private.",
    columns: { findings: columnsOf(findings), grades: columnsOf(grades), rulings: columnsOf(rulings) },
    findings: recordsOf(findings),
    grades: recordsOf(grades),
    rulings: recordsOf(rulings),
  };
  return `${JSON.stringify(whole, null, 2)}\n`;
}

/** What each column of the three tables holds, as a text to lie beside them. */
export function columnWords(input: PageInput, own: readonly OwnScale[]): string {
  const words = <R>(file: string, { columns }: Rows<R>) =>
    [`${file}`, ...columns.map(({ name, holds }) => `  ${name}: ${holds}`)].join("\n");
  return `${[
    words("findings.csv", findingTable(input)),
    words("grades.csv", gradeTable(input, own)),
    words("rulings.csv", rulingTable(input)),
  ].join("\n\n")}\n`;
}
