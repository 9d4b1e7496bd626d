import { applyChanges } from "#core/game/changes";
import type { Grade, GameRecords, Ruling } from "#core/game/records";
import { scaleById } from "#core/grading/scales";
import { shippedBooks } from "#core/mechanics/shipped-books";
import type { PageInput } from "#core/report/page-input";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { demoGame, demoLayout, demoSurveys } from "../scoring/demo-records.ts";

export const five = scaleById("five-points")!;
const book = shippedBooks().find(({ id }) => id === demoGame.game.bookId)!;
const judged = new Map(
  demoGame.plays.map((play) => [
    play.id,
    judgePlayRecords(demoGame, play, { surveysOf: () => demoSurveys, layout: demoLayout, book }),
  ]),
);

/** The demo game as its pages are made from, with what is given said of it. */
export function demoInput(said: Partial<Pick<GameRecords, "grades" | "rulings" | "notes" | "seals">> = {}): PageInput {
  return {
    records: { ...applyChanges(demoGame, []), ...said },
    layout: demoLayout,
    book,
    judged,
    scale: five,
    authorId: "observer-1",
    observerName: null,
    madeOn: "26 November 2026",
  };
}

export const playId = (number: number) => demoGame.plays.find((play) => play.number === number)!.id;

let made = 0;
export function aGradeOf(position: string, with_: Partial<Grade> = {}): Grade {
  return {
    id: `grade-${++made}`,
    gameId: demoGame.game.id,
    playId: playId(2),
    position,
    criterion: "station",
    scaleId: "five-points",
    points: 4,
    suggested: 4,
    reason: "",
    comment: "",
    momentIds: [],
    authorId: "observer-1",
    gradedAt: "2026-09-20T18:00:00.000Z",
    ...with_,
  };
}

export function aRulingOf(position: string | null, with_: Partial<Ruling> = {}): Ruling {
  return {
    id: `ruling-${++made}`,
    gameId: demoGame.game.id,
    playId: playId(3),
    kind: "flag",
    class: "correct",
    foul: "Flag guarding",
    position,
    seers: [],
    momentId: null,
    spotGivenXYards: null,
    comment: "",
    authorId: "observer-1",
    ruledAt: "2026-09-20T18:00:00.000Z",
    ...with_,
  };
}
