import { createHash } from "node:crypto";
import type { Hash } from "#core/exchange/canonical";
import { makePacket } from "#core/exchange/make-packet";
import type { Packet, PacketOptions } from "#core/exchange/packet";
import { type KeptVersion, type SaidVersion, stamped, subjectOf } from "#core/exchange/said-versions";
import type { GameRecords, Grade, Ruling } from "#core/game/records";
import { aWholeGame } from "../../main/store/build-game.ts";

export const sha256: Hash = (text) => createHash("sha256").update(text).digest("hex");

export const everything: PacketOptions = { observerName: true, crewNames: true, measurements: true, carries: true };

/** A grade or ruling as a library keeps it when it is given. */
export function given(record: Grade | Ruling): KeptVersion {
  const common = { id: null, after: null, act: "given", gameId: record.gameId, recordId: record.id } as const;
  if ("gradedAt" in record) {
    const { reason, authorId, gradedAt: at, points } = record;
    const subject = subjectOf("grade", record);
    return { ...common, family: "grade", subject, said: String(points), reason, authorId, at, record };
  }
  const { comment: reason, authorId, ruledAt: at, foul } = record;
  return { ...common, family: "ruling", subject: record.id, said: foul, reason, authorId, at, record };
}

export function changed(record: Grade | Ruling): KeptVersion {
  return { ...given(record), act: "changed" };
}

export function takenBack(record: Grade | Ruling, at: string): KeptVersion {
  return { ...given(record), act: "taken back", at, record: null };
}

export function versionsOf(records: GameRecords): SaidVersion[] {
  return stamped([...records.grades, ...records.rulings].map(given), sha256);
}

export function aPacket(
  records: GameRecords = aWholeGame(),
  options: Partial<PacketOptions> = {},
  versions: readonly SaidVersion[] = versionsOf(records),
): Packet {
  const made = makePacket(
    {
      records,
      versions,
      scales: [],
      books: [],
      observerName: "Wendeline Askew",
      personIdOf: (name) => `person-${name.length}`,
    },
    { ...everything, ...options },
    { madeAt: "2026-09-22T12:00:00.000Z", app: "0.1.0", schema: 70, observerId: "observer-1" },
  );
  if (!made.ok) throw new Error(made.sentence);
  return made.packet;
}
