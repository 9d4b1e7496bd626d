/** What there is to choose from for a teaching page: the plays of a game and their judged moments, each with what was found. */
import type { Criterion, Play } from "../game/records.ts";
import { clock, downAndDistance, phaseNames } from "../game/words.ts";
import type { Book } from "../mechanics/book.ts";
import type { HandoffReason } from "../mechanics/watch-rules.ts";
import { type Finding, wholeCrew } from "../scoring/finding.ts";
import type { MomentOfPlay } from "../scoring/judge-play.ts";
import { criterionByRule } from "../scoring/play-scores.ts";
import { foundIn, type PageInput } from "./page-input.ts";
import type { TeachingItem } from "./teaching-item.ts";

/** One thing that was missed, in a word, and by whom; null is the crew. */
export type MissedWord = { readonly position: string | null; readonly word: string };

export type MomentChoice = {
  readonly momentId: string;
  /** "zone at 0:49.03" */
  readonly name: string;
  readonly missed: readonly MissedWord[];
};

export type PlayChoice = {
  readonly playId: string;
  /** "Play 10, 3rd & 5" */
  readonly name: string;
  /** Whether it can be shown in motion. */
  readonly isWhole: boolean;
  readonly missed: readonly MissedWord[];
  readonly moments: readonly MomentChoice[];
};

/** Plays with a surveyed and marked moment, in order. */
export function teachingChoices(input: Pick<PageInput, "records" | "judged" | "book">): PlayChoice[] {
  const { records, judged, book } = input;
  const missed = foundIn(input).filter(({ finding }) => finding.verdict === "missed");
  return records.plays
    .toSorted((a, b) => a.number - b.number)
    .flatMap((play): PlayChoice[] => {
      const whole = judged.get(play.id);
      const moments = (whole?.moments ?? []).filter((one) => one.judged.placed.length > 0);
      if (!whole || moments.length === 0) return [];
      const ofPlay = missed.filter((one) => one.play.id === play.id);
      return [
        {
          playId: play.id,
          name: playName(play),
          isWhole: whole.course !== null,
          missed: once(ofPlay.map(({ finding }) => missedWord(finding, book))),
          moments: moments.map(({ moment }) => ({
            momentId: moment.id,
            name: momentName({ moment }),
            missed: once(
              ofPlay.filter(({ at }) => at?.moment.id === moment.id).map(({ finding }) => missedWord(finding, book)),
            ),
          })),
        },
      ];
    });
}

export function playName({ number, situation }: Pick<Play, "number" | "situation">): string {
  return `Play ${number}, ${downAndDistance(situation)}`;
}

/** The moment in the play's own time, as every page says it. */
export function momentName({ moment }: Pick<MomentOfPlay, "moment">): string {
  return `${phaseNames[moment.phase].toLowerCase()} at ${clock(moment.timeSec)}`;
}

/** What a thing on the page is called where it is listed. */
export function itemName(item: TeachingItem, { records, judged }: Pick<PageInput, "records" | "judged">): string {
  if (item.kind === "text") return item.heading === "" ? "Text" : `Text: ${item.heading}`;
  if (item.kind === "play") {
    const play = records.plays.find(({ id }) => id === item.playId);
    return play ? `Play ${play.number}, the whole play` : "A play that is gone";
  }
  for (const play of records.plays) {
    const at = judged.get(play.id)?.moments.find(({ moment }) => moment.id === item.momentId);
    if (at) return `Play ${play.number}, ${momentName(at)}`;
  }
  return "A moment that is not judged";
}

const missedWords: Record<Criterion, string> = {
  station: "off station",
  facing: "turned away",
  key: "key not kept",
  zone: "zone not kept",
  handoff: "handoff",
  look: "hidden look",
  count: "wrong count",
};

const handoffWords: Record<HandoffReason, string> = {
  "key-time-over": "handoff with a gap",
  "press-ended": "handoff with a gap",
  "left-zone": "handoff with a gap",
  "ball-away": "handoff with a gap",
  catch: "handoff with a gap",
  "eyes-on-ball": "eyes on the ball",
  doubled: "two on one",
};

/** A missed finding in a word or two; its sentence says the rest. */
export function missedWord({ position, ruleId, measure }: Finding, book: Book): MissedWord {
  const isCrew = position === wholeCrew;
  const criterion = criterionByRule(book).get(ruleId);
  const handoff = book.handoffs.find(({ id }) => id === ruleId);
  const isStraight = measure?.kind === "look" && measure.looks.some(({ angleCredit }) => angleCredit === 0);
  const look = isCrew ? "nobody saw it" : isStraight ? "straight-lined look" : missedWords.look;
  const word = handoff
    ? handoffWords[handoff.reason]
    : criterion === "look"
      ? look
      : criterion
        ? missedWords[criterion]
        : ruleId;
  return { position: isCrew ? null : position, word };
}

function once(all: readonly MissedWord[]): MissedWord[] {
  return all.filter(
    (one, index) => all.findIndex(({ position, word }) => position === one.position && word === one.word) === index,
  );
}
