import type { FieldLayout } from "../field/template.ts";
import { playSecOf } from "../game/angles.ts";
import type { GameRecords, Mark, Moment, Play } from "../game/records.ts";
import type { AnchorPlayer } from "../mechanics/anchors.ts";
import type { Book } from "../mechanics/book.ts";
import { bookInQuarter } from "../mechanics/second-half.ts";
import { countFindings } from "./count.ts";
import type { FilmSurveys, SurveyState } from "./film-surveys.ts";
import { type Finding, wholeCrew } from "./finding.ts";
import { type Formation, readFormation } from "./formation.ts";
import { ballFindings } from "./handoff-ball.ts";
import { type Course, courseOf } from "./handoff-course.ts";
import { doubledFindings } from "./handoff-doubled.ts";
import { keyFindings } from "./handoff-keys.ts";
import { type Judged, lapseRanks } from "./handoff-lapse.ts";
import { type Handoff, passingFindings } from "./handoff-passing.ts";
import { type MatterTimeline, timelinesOf } from "./handoff-timeline.ts";
import { zoneFindings } from "./handoff-zones.ts";
import { type JudgedMoment, judgeMoment, scoringVersion } from "./judge-moment.ts";
import type { Responsible } from "./matters.ts";
import { type Scores, scoresOf } from "./play-scores.ts";
import type { MomentMarks } from "./station.ts";

/** One moment of a play, judged with what the whole play says of whose each matter was. */
export type MomentOfPlay = { readonly moment: Moment; readonly judged: JudgedMoment };

/** Everything that follows from the clicks of one play. Nothing here is kept. */
export type JudgedPlay = {
  readonly playId: string;
  readonly moments: readonly MomentOfPlay[];
  /** Of the last moment before the snap, or at it; null where there is none with marks on the ground. */
  readonly formation: Formation | null;
  /** Null with fewer than two moments on the ground, without a moment after the snap, or in a book without looks. */
  readonly course: Course | null;
  readonly timelines: readonly MatterTimeline[];
  readonly handoffs: readonly Handoff[];
  /** What the play as a whole shows: counts, keys, zones and handoffs. */
  readonly findings: readonly Finding[];
  /** From the findings of the play and of all its moments. */
  readonly scores: Scores;
  /** Moments left out, and why. */
  readonly leftOut: readonly string[];
};

export type PlayInput = {
  readonly play: Play;
  readonly game: Pick<GameRecords["game"], "lineJudgeSide" | "playersPerSide">;
  readonly moments: readonly {
    readonly moment: Moment;
    readonly survey: SurveyState;
    readonly marks: readonly Mark[];
  }[];
  readonly layout: FieldLayout;
  readonly book: Book;
};

/** A whole play from its clicks. Never depends on the order of moments or marks. */
export function judgePlay({ play, game, moments, layout, book: wholeBook }: PlayInput): JudgedPlay {
  const book = bookInQuarter(wholeBook, play.quarter);
  const { situation } = play;
  const { lineJudgeSide } = game;
  const sorted = moments.toSorted(
    (a, b) => a.moment.timeSec - b.moment.timeSec || (a.moment.id < b.moment.id ? -1 : 1),
  );
  const judge = ({ moment, survey, marks }: (typeof sorted)[number], responsible?: Responsible): MomentOfPlay => ({
    moment,
    judged: judgeMoment({ moment, situation, lineJudgeSide, survey, marks, layout, book, responsible }),
  });
  const alone = sorted.map((one) => judge(one));
  const placed = alone.flatMap(({ moment, judged }) =>
    judged.placed.length > 0 && !isDoubled(moment, alone) ? [{ moment, placed: judged.placed }] : [],
  );
  const course =
    placed.length > 1
      ? courseOf({ book, layout, situation, lineJudgeSide, snapSec: play.snapSec, moments: placed })
      : null;
  const passing = course ? passingFindings(course) : null;
  const judgedParts = course
    ? [
        ...keyFindings(course),
        ...(passing?.judged ?? []),
        ...zoneFindings(course),
        ...ballFindings(course),
        ...doubledFindings(course),
      ]
    : [];
  const set = alone.findLast(({ moment, judged }) => moment.phase === "pre-snap" && judged.placed.length > 0);
  const findings = [
    ...(set ? countFindings(set.judged, { layout, playersPerSide: game.playersPerSide, book }) : []),
    ...saidOnce(judgedParts),
  ];
  const judgedMoments = course
    ? sorted.map((one) => withoutRepeats(judge(one, responsibleAt(course, one.moment)), findings, course))
    : alone;
  return {
    playId: play.id,
    moments: judgedMoments,
    formation: set
      ? readFormation(sceneOf(set.judged, { layout, situation, lineJudgeSide }), book.looks[0]?.pairWithinYards)
      : null,
    course,
    timelines: course ? timelinesOf(course) : [],
    handoffs: passing?.handoffs ?? [],
    findings,
    scores: scoresOf([...findings, ...judgedMoments.flatMap(({ judged }) => judged.findings)], book, scoringVersion),
    leftOut: alone.flatMap(({ moment, judged }) => {
      const why =
        judged.survey.kind !== "solved"
          ? "is not surveyed"
          : judged.placed.length === 0
            ? "has no marks"
            : isDoubled(moment, alone)
              ? "is marked on another angle too, with more people there: keys and handoffs are read from that one"
              : null;
      return why === null ? [] : [`The moment at ${moment.timeSec.toFixed(2)} s ${why}.`];
    }),
  };
}

/** Two angles of one instant are one instant: half of a frame at the slowest rate there is. Seconds. */
const sameInstantSec = 0.02;

/** Whether another angle of the same instant has more marks on the ground, or as many and comes first. */
function isDoubled(moment: Moment, all: readonly MomentOfPlay[]): boolean {
  const here = all.find((one) => one.moment.id === moment.id)?.judged.placed.length ?? 0;
  return all.some(({ moment: other, judged: { placed } }) => {
    if (other.id === moment.id || other.filmId === moment.filmId) return false;
    if (Math.abs(other.timeSec - moment.timeSec) > sameInstantSec) return false;
    return placed.length > here || (placed.length === here && other.id < moment.id);
  });
}

/** The same from the records of a game. */
export function judgePlayRecords(
  records: Pick<GameRecords, "game" | "angles" | "moments" | "marks">,
  play: Play,
  given: RecordsGiven,
): JudgedPlay {
  return judgePlay(playInput(records, play, given));
}

export type RecordsGiven = {
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  readonly layout: FieldLayout;
  readonly book: Book;
};

/** What a play is judged from, out of the records of its game. */
export function playInput(
  records: Pick<GameRecords, "game" | "angles" | "moments" | "marks">,
  play: Play,
  given: RecordsGiven,
): PlayInput {
  return {
    play,
    game: records.game,
    layout: given.layout,
    book: given.book,
    moments: records.moments
      .filter((moment) => moment.playId === play.id)
      .map((moment) => ({
        // Everything below runs on the play's own clock.
        moment: { ...moment, timeSec: playSecOf(play, records.angles, moment) },
        survey: given.surveysOf(moment.filmId)?.at(moment.frameIndex) ?? { kind: "none" },
        marks: records.marks.filter((mark) => mark.momentId === moment.id),
      })),
  };
}

function sceneOf(
  { placed }: MomentMarks,
  given: Pick<Course, "layout" | "situation" | "lineJudgeSide">,
): Parameters<typeof readFormation>[0] {
  const ball = placed.find(({ subject }) => subject.kind === "ball");
  return {
    ...given,
    players: placed.flatMap(({ markId, subject, measured }): AnchorPlayer[] =>
      subject.kind === "player" ? [{ markId, side: subject.side, role: subject.role, at: measured.position }] : [],
    ),
    ball: ball ? { markId: ball.markId, at: ball.measured.position } : null,
  };
}

/** A catch hands the field over anew: until so long after it nobody in particular has what is not the runner. Seconds. */
const settlingSec = 0.6;

/** Whose each matter of a moment is, by the whole play: everybody whose it may be within the errors. */
function responsibleAt(course: Course, moment: Moment): Responsible | undefined {
  const since = moment.timeSec - course.snapAtSec;
  const time = course.times.find((one) => Math.abs(one - since) < 1e-9);
  if (time === undefined) return undefined;
  const caughtAt = course.times.find((one) => course.phaseAt(one) === "catch" || course.phaseAt(one) === "dead-ball");
  const isSettling = caughtAt !== undefined && time >= caughtAt && time - caughtAt < settlingSec;
  return (matter) => {
    if (isSettling) return [];
    const track = course.players.find(({ points }) => points.some(({ markId }) => markId === matter.player.markId));
    const at = track ? course.matterAt(track, time) : null;
    if (!at) return [];
    const { holders, possible } = at.responsibility;
    return holders.length > 0 && possible.length > 0 ? possible : holders.map(({ position }) => position);
  };
}

/** A matter that nobody saw because of what the play already says of it is not said again at the moment. */
function withoutRepeats({ moment, judged }: MomentOfPlay, said: readonly Finding[], course: Course): MomentOfPlay {
  const since = moment.timeSec - course.snapAtSec;
  const isSaid = ({ measure, verdict, position }: Finding): boolean => {
    if (measure?.kind !== "look" || verdict === "met") return false;
    const track = course.players.find(({ points }) =>
      points.some(({ markId }) => measure.matterId.startsWith(`${markId}+`)),
    );
    return said.some(
      (finding) =>
        finding.verdict === "missed" &&
        finding.measure?.kind === "watch" &&
        finding.measure.trackId === track?.id &&
        (finding.position === position || position === wholeCrew) &&
        finding.measure.fromSec <= since + 1e-9 &&
        finding.measure.toSec >= since - 1e-9,
    );
  };
  return { moment, judged: { ...judged, findings: judged.findings.filter((finding) => !isSaid(finding)) } };
}

/** Of findings against one official at one time, the one nearest to the cause. The rest, by rule and then by time. */
function saidOnce(judged: readonly Judged[]): Finding[] {
  const isAgainst = ({ finding }: Judged) => finding.verdict === "missed" || finding.verdict === "cannot tell";
  const weight = ({ rank, finding }: Judged) => lapseRanks.indexOf(rank) + (finding.verdict === "missed" ? 0 : 100);
  const kept = judged.filter(
    (one, index) =>
      !isAgainst(one) ||
      !judged.some(
        (other, at) =>
          at !== index &&
          isAgainst(other) &&
          other.finding.position === one.finding.position &&
          other.fromSec <= one.toSec &&
          one.fromSec <= other.toSec &&
          (weight(other) < weight(one) || (weight(other) === weight(one) && at < index)),
      ),
  );
  const key = ({ finding: { ruleId, position } }: Judged) => `${ruleId} ${position}`;
  const came = new Set(kept.flatMap((one) => (one.finding.verdict === "not applicable" ? [] : [key(one)])));
  return kept
    .filter((one) => one.finding.verdict !== "not applicable" || !came.has(key(one)))
    .toSorted((a, b) => a.fromSec - b.fromSec || (a.finding.ruleId < b.finding.ruleId ? -1 : 1))
    .map(({ finding }) => finding);
}
