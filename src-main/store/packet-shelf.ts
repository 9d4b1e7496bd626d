import { Failure } from "#core/contract/errors";
import { canonicalText } from "#core/exchange/canonical";
import {
  changesNothing,
  changesTo,
  type Here,
  isConflict,
  type MergePlan,
  mergePlan,
  type PartCount,
  type PlainFamily,
  plainContent,
  withContent,
} from "#core/exchange/merge-plan";
import type { BookFile, Packet } from "#core/exchange/packet";
import { type SaidFamily, settlingVersion, subjectOf, Versions as SaidVersions } from "#core/exchange/said-versions";
import { type Change, put } from "#core/game/changes";
import type { Grade, RecordOf, Ruling } from "#core/game/records";
import type { OwnScale, Scale } from "#core/grading/scales";
import type { BookShelf } from "./book-shelf.ts";
import { tableOf } from "./checked-changes.ts";
import type { Games } from "./games.ts";
import { type Edited, type History, writeRows } from "./history.ts";
import type { LibraryNotes } from "./library-notes.ts";
import type { Sqlite } from "./sqlite.ts";
import { recordShapes, type Tables } from "./tables.ts";
import { sha256, type Versions } from "./versions.ts";

/** What the library itself does not know of what surrounds it. */
export type Surroundings = {
  readonly shippedBookIds: ReadonlySet<string>;
  readonly scales: readonly OwnScale[];
  /** The library's note of settings with more scales of its own, and its name. */
  readonly settingsWith: (scales: readonly Scale[]) => { readonly name: string; readonly value: string };
};

export type Imported = {
  readonly plan: MergePlan;
  /** What it did to a game that was here; null where it did nothing to one, or added it. */
  readonly edited: Edited | null;
};

export type KeptPacket = {
  readonly packetId: string;
  readonly gameId: string;
  readonly title: string;
  readonly madeAt: string;
  readonly observerId: string;
  readonly observerName: string | null;
  readonly importedAt: string;
  readonly counts: PartCount[];
};

export type ConflictFamily = PlainFamily | SaidFamily;

export type ConflictSide = {
  readonly versionId: string;
  readonly isStanding: boolean;
  readonly act: "given" | "changed" | "taken back" | null;
  readonly said: string;
  readonly reason: string;
  readonly authorId: string | null;
  readonly at: string | null;
  readonly record: string | null;
};

export type Conflict = {
  readonly gameId: string | null;
  readonly family: ConflictFamily;
  readonly subject: string;
  readonly sides: ConflictSide[];
};

export type Choice = Pick<Conflict, "gameId" | "family" | "subject"> & { readonly versionId: string };

export type PacketShelf = {
  /** What importing would do. Throws INVALID where it cannot be imported. */
  readonly plan: (packet: Packet, around: Surroundings) => MergePlan;
  /** Imports a packet that was read and found sound, in one transaction. Throws INVALID. */
  readonly take: (packet: Packet, packetId: string, around: Surroundings) => Imported;
  /** Imported packets, the last first. */
  readonly list: () => KeptPacket[];
  /** What was said otherwise on two sides and is still to be chosen from: the standing side first. */
  readonly conflicts: () => Conflict[];
  /** Throws NOT_FOUND (no such conflict or side) and INVALID. The edit is null where nothing of a game changed. */
  readonly settle: (choice: Choice, authorId: string) => Edited | null;
};

type StoredAlternative = {
  readonly game_id: string;
  readonly family: PlainFamily;
  readonly record_id: string;
  readonly content: string;
  readonly record_json: string;
};

/** Books are of no game: their rows name none. */
const noGame = "";

export function openPacketShelf(parts: {
  readonly db: Sqlite;
  readonly tables: Tables;
  readonly games: Games;
  readonly history: History;
  readonly versions: Versions;
  readonly shelf: BookShelf;
  readonly notes: LibraryNotes;
  readonly clock: () => Date;
}): PacketShelf {
  const { db, tables, games, history, versions, shelf, notes, clock } = parts;
  const selectBrought = db
    .prepare<[string], string>(
      "SELECT family || '/' || record_id || '/' || content FROM brought WHERE game_id IN (?, '')",
    )
    .pluck();
  const insertBrought = db.prepare<[string, string, string, string]>(
    "INSERT OR IGNORE INTO brought (game_id, family, record_id, content) VALUES (?, ?, ?, ?)",
  );
  const removeBrought = db.prepare<[string, string, string, string]>(
    "DELETE FROM brought WHERE game_id = ? AND family = ? AND record_id = ? AND content = ?",
  );
  const insertAlternative = db.prepare<[string, string, string, string, string, string | null]>(
    "INSERT OR REPLACE INTO alternative (game_id, family, record_id, content, record_json, settled_at) VALUES (?, ?, ?, ?, ?, ?)",
  );
  const settleAlternatives = db.prepare<[string, string, string, string]>(
    "UPDATE alternative SET settled_at = ? WHERE game_id = ? AND family = ? AND record_id = ? AND settled_at IS NULL",
  );
  const selectAlternatives = db.prepare<[], StoredAlternative>(
    "SELECT game_id, family, record_id, content, record_json FROM alternative WHERE settled_at IS NULL ORDER BY game_id, family, record_id, content",
  );
  const selectPacket = db.prepare<[string], { id: string }>("SELECT id FROM packet WHERE id = ?");
  const insertPacket = db.prepare<[string, string, string, string, string, string | null, string, string]>(
    "INSERT OR REPLACE INTO packet (id, game_id, title, made_at, observer_id, observer_name, counts_json, imported_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
  );
  const selectPackets = db.prepare<[], Omit<KeptPacket, "counts"> & { countsJson: string }>(`
    SELECT id AS packetId, game_id AS gameId, title, made_at AS madeAt, observer_id AS observerId,
      observer_name AS observerName, imported_at AS importedAt, counts_json AS countsJson
    FROM packet ORDER BY imported_at DESC, rowid DESC
  `);
  const selectOpen = db.prepare<[], { gameId: string; family: SaidFamily; subject: string }>(
    "SELECT game_id AS gameId, family, subject FROM conflict ORDER BY game_id, family, subject",
  );
  const insertOpen = db.prepare<[string, string, string]>(
    "INSERT OR IGNORE INTO conflict (game_id, family, subject) VALUES (?, ?, ?)",
  );
  const removeOpen = db.prepare<[string, string, string]>(
    "DELETE FROM conflict WHERE game_id = ? AND family = ? AND subject = ?",
  );

  const here = (gameId: string, around: Surroundings): Here => {
    const isHere = tables.game.get(gameId) !== null;
    return {
      records: isHere ? games.open(gameId) : null,
      versions: isHere ? versions.whole(gameId) : [],
      brought: new Set(selectBrought.all(gameId)),
      ownBooks: new Map(shelf.list().map(({ id, file }) => [id, file])),
      shippedBookIds: around.shippedBookIds,
      scales: around.scales,
    };
  };
  const plan = (packet: Packet, around: Surroundings): MergePlan => {
    const planned = mergePlan(here(packet.game.id, around), packet, sha256);
    if (!planned.ok) throw new Failure("INVALID", `${planned.sentence} Nothing was imported.`);
    assertFree(planned.plan.changes);
    return planned.plan;
  };
  /** Ids are of one table each: one that is another game's, or another cell's, is not taken from it. */
  const assertFree = (changes: readonly Change[]) => {
    const gone = new Set(changes.filter(({ after }) => after === null).map(({ family, id }) => `${family}/${id}`));
    const taken = changes.some(
      ({ family, id, before }) => before === null && !gone.has(`${family}/${id}`) && tableOf(tables, family).has(id),
    );
    if (taken)
      throw new Failure(
        "INVALID",
        "This packet holds records under ids that belong to something else in this library. Nothing was imported: ask whoever sent it to make it anew.",
      );
  };
  const gameOf = (family: PlainFamily, gameId: string) => (family === "book" ? noGame : gameId);

  const write = (packet: Packet, packetId: string, around: Surroundings) => {
    const planned = plan(packet, around);
    if (changesNothing(planned) && selectPacket.get(packetId)) return { planned, brought: null };
    const gameId = packet.game.id;
    const mark = versions.mark();
    const { name } = packet.head.madeBy;
    let brought: ReturnType<History["bring"]> | null = null;
    if (planned.isNewGame) writeRows(tables, planned.changes);
    else if (planned.changes.length > 0)
      brought = history.bring(gameId, `Import a packet of ${name?.trim() || "an observer"}`, planned.changes);
    versions.replaceSince(mark, planned.versions);
    for (const { family, subject, isOpen } of planned.subjects)
      (isOpen ? insertOpen : removeOpen).run(gameId, family, subject);
    for (const { family, id, content } of planned.brought)
      insertBrought.run(gameOf(family, gameId), family, id, content);
    for (const { family, id, content, record } of planned.alternatives)
      insertAlternative.run(gameOf(family, gameId), family, id, content, canonicalText(record), null);
    for (const { id, file } of planned.books) shelf.put(id, file);
    if (planned.scales.length > 0) {
      const note = around.settingsWith(planned.scales);
      notes.set(note.name, note.value);
    }
    const { madeAt, madeBy } = packet.head;
    insertPacket.run(
      packetId,
      gameId,
      packet.game.title,
      madeAt,
      madeBy.observerId,
      name,
      JSON.stringify(planned.counts),
      clock().toISOString(),
    );
    return { planned, brought };
  };
  const take = db.transaction(write);

  const saidConflicts = (): Conflict[] =>
    [...Map.groupBy(selectOpen.all(), ({ gameId }) => gameId)].flatMap(([gameId, open]) => {
      const all = SaidVersions.of(versions.whole(gameId));
      return open.flatMap(({ family, subject }): Conflict[] => {
        const key = SaidVersions.keyOf({ family, subject });
        const heads = all.bySubject.get(key)?.heads ?? [];
        const standing = all.standing(key);
        // What was taken back here since, as it was there, is no longer in question.
        if (!standing || !isConflict(heads)) return [];
        const sides = heads
          .toSorted((a, b) => Number(b === standing) - Number(a === standing) || (a.id < b.id ? -1 : 1))
          .map(({ id, act, said, reason, authorId, at, record }): ConflictSide => {
            const text = record === null ? null : JSON.stringify(record);
            return { versionId: id, isStanding: id === standing.id, act, said, reason, authorId, at, record: text };
          });
        return [{ gameId, family, subject, sides }];
      });
    });

  const standingPlain = (family: PlainFamily, id: string): unknown => {
    if (family !== "book") return tableOf(tables, family).get(id);
    const file = shelf.get(id);
    return file === null ? null : ({ id, file } satisfies BookFile);
  };
  const contentId = (family: PlainFamily, record: unknown) => sha256(canonicalText(plainContent(family, record)));
  const plainConflicts = (): Conflict[] => {
    const bySubject = Map.groupBy(selectAlternatives.all(), (row) => `${row.game_id}/${row.family}/${row.record_id}`);
    return [...bySubject.values()].flatMap((rows): Conflict[] => {
      const [{ game_id: gameId, family, record_id: subject }] = rows as [StoredAlternative, ...StoredAlternative[]];
      const standing = standingPlain(family, subject);
      // What was removed since has nothing left to choose.
      if (standing === null) return [];
      const side = (versionId: string, record: string, isStanding: boolean): ConflictSide => {
        return { versionId, isStanding, act: null, said: "", reason: "", authorId: null, at: null, record };
      };
      const others = rows.map((row) => side(row.content, row.record_json, false));
      const ours = side(contentId(family, standing), canonicalText(plainContent(family, standing)), true);
      return [{ gameId: gameId === noGame ? null : gameId, family, subject, sides: [ours, ...others] }];
    });
  };
  const conflicts = () => [...saidConflicts(), ...plainConflicts()];

  const settleSaid = (gameId: string, family: SaidFamily, choice: Choice, authorId: string) => {
    const all = SaidVersions.of(versions.whole(gameId));
    const subject = all.bySubject.get(SaidVersions.keyOf({ family, subject: choice.subject }));
    const chosen = subject?.heads.find(({ id }) => id === choice.versionId);
    if (!subject || !chosen || subject.heads.length < 2) throw noConflict();
    const { record } = chosen;
    if (record !== null && record.playId !== null && tables.play.get(record.playId) === null)
      throw new Failure("INVALID", "The play that this is about is no longer in the game: choose the other.");
    const version = settlingVersion(subject, chosen, { authorId, at: clock().toISOString() }, sha256);
    const rows: readonly (Grade | Ruling)[] =
      family === "grade" ? tables.grade.ofGame(gameId) : tables.ruling.ofGame(gameId);
    const row = rows.find((one) => subjectOf(family, one) === choice.subject);
    const mark = versions.mark();
    const brought = history.bring(gameId, "Settle what was said otherwise", changesTo(family, row, version));
    versions.replaceSince(mark, [version]);
    removeOpen.run(gameId, family, choice.subject);
    return brought;
  };

  const settlePlain = (family: PlainFamily, choice: Choice, sides: readonly ConflictSide[]) => {
    const { subject, versionId } = choice;
    const gameId = gameOf(family, choice.gameId ?? noGame);
    const at = clock().toISOString();
    const standing = standingPlain(family, subject);
    const ours = sides.find(({ isStanding }) => isStanding);
    const chosen = sides.find((side) => side.versionId === versionId);
    if (!ours || !chosen || chosen.record === null) throw noConflict();
    settleAlternatives.run(at, gameId, family, subject);
    // What a person chose is this library's own from now on, and what they did not choose has been seen.
    for (const side of sides) insertBrought.run(gameId, family, subject, side.versionId);
    removeBrought.run(gameId, family, subject, versionId);
    if (chosen === ours) return null;
    insertAlternative.run(gameId, family, subject, ours.versionId, ours.record ?? "", at);
    const after = withContent(family, JSON.parse(chosen.record), standing);
    if (family === "book") {
      shelf.put(subject, (after as BookFile).file);
      return null;
    }
    const record = recordShapes[family].parse(after);
    const change: Change = put(family, standing as RecordOf[typeof family], record);
    return history.bring(gameId, "Settle what was described otherwise", [change]);
  };

  const settle = db.transaction((choice: Choice, authorId: string) => {
    const { gameId, family, subject } = choice;
    if (family === "grade" || family === "ruling") {
      if (gameId === null) throw noConflict();
      return settleSaid(gameId, family, choice, authorId);
    }
    const conflict = plainConflicts().find(
      (one) => one.family === family && one.subject === subject && one.gameId === gameId,
    );
    if (!conflict) throw noConflict();
    return settlePlain(family, choice, conflict.sides);
  });

  return {
    plan,
    take: (packet, packetId, around) => {
      const { planned, brought } = take.immediate(packet, packetId, around);
      return { plan: planned, edited: brought?.edited() ?? null };
    },
    list: () =>
      selectPackets
        .all()
        .map(({ countsJson, ...packet }) => ({ ...packet, counts: JSON.parse(countsJson) as PartCount[] })),
    conflicts,
    settle: (choice, authorId) => settle.immediate(choice, authorId)?.edited() ?? null,
  };
}

function noConflict(): Failure {
  return new Failure("NOT_FOUND", "This has been settled, or is no longer in the library: look at the list again.");
}
