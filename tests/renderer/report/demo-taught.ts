import { parseBook } from "#core/mechanics/book-shape";
import type { TaughtPlay } from "#core/report/play-steps";
import { type JudgedPlay, judgePlayRecords } from "#core/scoring/judge-play";
import type { Course } from "#core/scoring/handoff-course";
import flagBook from "../../../src-core/mechanics/books/flag-crew-of-four.json" with { type: "json" };
import { demoGame, demoLayout, demoSurveys } from "../../core/scoring/demo-records.ts";

const parsed = parseBook(flagBook);
if (!parsed.ok) throw new Error(parsed.fault.message);
const { book } = parsed;

/** A play of the demo game, judged from the clicks on its film. */
export function demoTaught(number: number): TaughtPlay & { readonly judged: JudgedPlay; readonly course: Course } {
  const play = demoGame.plays.find((one) => one.number === number);
  if (!play) throw new Error(`the demo game has no play ${number}`);
  const judged = judgePlayRecords(demoGame, play, { surveysOf: () => demoSurveys, layout: demoLayout, book });
  if (judged.course === null) throw new Error(`play ${number} has no course`);
  return { play, judged, course: judged.course, layout: demoLayout, book };
}
