import { directionSign, type FieldDirection } from "../field/frames.ts";
import { put, remove } from "../game/changes.ts";
import type { GameRecords, Ruling } from "../game/records.ts";
import type { JudgedPlay } from "../scoring/judge-play.ts";
import type { MeasuredSpot } from "../scoring/measured-spot.ts";
import { type By, type GradeEdit, saidAt, sealOf } from "./grades.ts";

export type RulingSaid = Omit<Ruling, "id" | "gameId" | "authorId" | "ruledAt">;

/** Fouls to begin a list with, in the words of any rule book; every library keeps its own. */
export const firstFouls: readonly string[] = [
  "Delay of game",
  "Encroachment",
  "False start",
  "Flag guarding",
  "Holding",
  "Illegal contact",
  "Illegal forward pass",
  "Illegal motion",
  "Illegal rushing",
  "Illegal shift",
  "Offside",
  "Pass interference by A",
  "Pass interference by B",
  "Roughing the passer",
  "Unsportsmanlike conduct",
];

/** How a ruling is spoken of: “correct no-call”. */
export function rulingWords({ class: judged, kind }: Pick<Ruling, "class" | "kind">): string {
  const call = kind === "flag" ? "call" : "no-call";
  return judged === "cannot judge" ? `${call}, cannot judge` : `${judged} ${call}`;
}

/** Why a ruling cannot stand as it is; null where it can. */
export function rulingFault(said: RulingSaid, sealed = false): string | null {
  if (said.foul.trim() === "") return "Say which foul it is about, in your own words.";
  if (sealed && said.comment.trim() === "") return "The game is finalised: say in the comment why it is amended.";
  return null;
}

/** Says, or says anew, what a person makes of a flag or of a foul that was not called. */
export function rulingEdit(records: GameRecords, before: Ruling | null, said: RulingSaid, by: By): GradeEdit {
  const play = records.plays.find(({ id }) => id === said.playId);
  if (!play) return { ok: false, sentence: "This play is no longer in the game." };
  const isSealed = sealOf(records.seals, by.authorId) !== null;
  const sentence = rulingFault(said, isSealed);
  if (sentence !== null) return { ok: false, sentence };
  const after: Ruling = {
    ...said,
    id: before?.id ?? by.newId(),
    gameId: records.game.id,
    foul: said.foul.trim(),
    comment: said.comment.trim(),
    authorId: by.authorId,
    ruledAt: saidAt(records, before?.ruledAt ?? null, by),
  };
  const label = `${isSealed ? "Amend the ruling on" : "Ruling on"} ${said.foul.trim()} in play ${play.number}`;
  return { ok: true, label, changes: [put("ruling", before, after)] };
}

export function takeRulingBack(records: GameRecords, ruling: Ruling): GradeEdit {
  if (sealOf(records.seals, ruling.authorId))
    return { ok: false, sentence: "The game is finalised: a ruling is amended with a reason, and not taken back." };
  const number = records.plays.find(({ id }) => id === ruling.playId)?.number ?? 0;
  const label = `Take back the ruling on ${ruling.foul} in play ${number}`;
  return { ok: true, label, changes: [remove("ruling", ruling)] };
}

/** An official who had something to watch there, or saw what was another's, and how well (0 to 1). */
export type Seer = { readonly position: string; readonly quality: number; readonly isAssigned: boolean };

/**
 * Who should have seen what happened at a moment: whom the book gives a matter there, then whoever saw one well enough,
 * the best look first. Empty where no looks were measured: then a person says.
 */
export function proposedSeers(judged: JudgedPlay | undefined, momentId: string | null): Seer[] {
  const looks = judged?.moments.find(({ moment }) => moment.id === momentId)?.judged.looks ?? null;
  if (!looks) return [];
  const best = new Map<string, Seer>();
  for (const { isAssigned, looks: those } of looks.matters)
    for (const { position, isWatcher, quality } of those) {
      const isOwn = isAssigned && isWatcher;
      if (!isOwn && quality < looks.rule.seenFrom) continue;
      const before = best.get(position);
      best.set(position, {
        position,
        quality: Math.max(before?.quality ?? 0, quality),
        isAssigned: isOwn || (before?.isAssigned ?? false),
      });
    }
  return [...best.values()].toSorted(
    (a, b) =>
      Number(b.isAssigned) - Number(a.isAssigned) || b.quality - a.quality || (a.position < b.position ? -1 : 1),
  );
}

/** How far the spot that was given lies from the one that was measured: yards downfield of it, with the 95 % interval. */
export type SpotDifference = { readonly yards: number; readonly low: number; readonly high: number };

/** Two standard deviations of a normal distribution leave 5 % outside at 1.96. */
const sdsIn95 = 1.96;

export function spotDifference(
  spotGivenXYards: number,
  measured: MeasuredSpot,
  direction: FieldDirection,
): SpotDifference {
  const yards = (spotGivenXYards - measured.spot.xYards) * directionSign(direction);
  const half = sdsIn95 * measured.sdAlongX;
  return { yards, low: yards - half, high: yards + half };
}

/** How many of each class, and the share of the judged ones that were correct: marginal ones and what cannot be judged are in no rate. */
export type RulingRate = {
  readonly correct: number;
  readonly incorrect: number;
  readonly marginal: number;
  readonly cannotJudge: number;
};

export function rulingRate(rulings: readonly Pick<Ruling, "class">[]): RulingRate {
  const of = (judged: Ruling["class"]) => rulings.filter((ruling) => ruling.class === judged).length;
  return {
    correct: of("correct"),
    incorrect: of("incorrect"),
    marginal: of("marginal"),
    cannotJudge: of("cannot judge"),
  };
}
