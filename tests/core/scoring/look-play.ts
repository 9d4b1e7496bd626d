import { fieldPoint } from "#core/field/units";
import type { MarkSubject, PlayerRole, Side } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import type { JudgedMoment } from "#core/scoring/judge-moment";
import type { Look, MomentLooks } from "#core/scoring/look";
import type { Responsible } from "#core/scoring/matters";
import { lookRule } from "./look-rule.ts";
import {
  flagCrewBook,
  inPlace,
  judge,
  marksOf,
  momentHere,
  type StagedPlay,
  type Standing,
  stakesOf,
} from "./staged-play.ts";

/** The flag book with the round rule for looks. */
export const lookBook: Book = { ...flagCrewBook, looks: [lookRule] };
export const official = (position: string): MarkSubject => ({ kind: "official", position });
export const player = (side: Side, role: PlayerRole): MarkSubject => ({ kind: "player", side, role });
export const stand = (
  subject: MarkSubject,
  at: readonly [number, number],
  faces?: readonly [number, number],
): Standing => ({
  subject,
  at: fieldPoint(...at),
  ...(faces ? { facing: fieldPoint(...faces) } : {}),
});

export function staged(people: StagedPlay["people"]): StagedPlay {
  return { ...inPlace, people };
}

/** Two seconds after the snap, with clicks as sharp as asked; 0.02 px leaves no error that a printed digit would show. */
export function watch(
  play: StagedPlay,
  { sigmaPx = 0.02, responsible }: { sigmaPx?: number; responsible?: Responsible } = {},
) {
  const stakes = stakesOf(play.camera).map((stake) => ({ ...stake, sigmaPx }));
  const moment = { ...momentHere, phase: "zone" as const };
  return judge(play, { marks: marksOf(play, sigmaPx), book: lookBook, stakes, moment, responsible });
}

export function looksOf(judged: JudgedMoment): MomentLooks {
  if (judged.looks === null) throw new Error("no looks were judged");
  return judged.looks;
}

export function lookOf(judged: JudgedMoment, position: string, matterId = "a+b"): Look {
  const matter = looksOf(judged).matters.find((one) => one.matter.id === matterId);
  const look = matter?.looks.find((one) => one.position === position);
  if (!look) throw new Error(`${position} has no look at ${matterId}`);
  return look;
}

/** What of the looks is not met. */
export const looksAmiss = (judged: JudgedMoment) =>
  judged.findings.filter((finding) => finding.ruleId === lookRule.id && finding.verdict !== "met");

export const looksMet = (judged: JudgedMoment) =>
  judged.findings.filter((finding) => finding.ruleId === lookRule.id && finding.verdict === "met");

export const degrees = (radians: number) => (radians * 180) / Math.PI;

/** The line judge looks along the pair from 6 yd; the field judge has it square. Common practice, no source. */
export const along = staged({
  R: stand(official("R"), [22, 18], [22, 10]),
  LJ: stand(official("LJ"), [40, 14.5], [40, 18]),
  FJ: stand(official("FJ"), [52, 20.75], [46, 20.75]),
  BJ: stand(official("BJ"), [43, 36], [53, 36]),
  a: stand(player("A", "receiver"), [40, 20]),
  b: stand(player("B", "defender"), [40, 21.5]),
});
