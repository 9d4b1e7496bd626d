import { Failure } from "#core/contract/errors";
import { whatItWould } from "#core/exchange/merge-words";
import { makePacket } from "#core/exchange/make-packet";
import { type Packet, packetEnding, type PacketOptions } from "#core/exchange/packet";
import { packetFault } from "#core/exchange/packet-faults";
import { namesLeftIn, whatItHolds } from "#core/exchange/what-it-holds";
import { fileName } from "#core/report/file-name";
import { packetBytes } from "../exchange/packet-file.ts";
import { personIdBy } from "../exchange/person-id.ts";
import { readPacket } from "../exchange/read-packet.ts";
import type { ExportDesk } from "../reports/export-desk.ts";
import type { Edited } from "../store/history.ts";
import type { Library } from "../store/library.ts";
import { sha256 } from "../store/versions.ts";
import type { Choice, Conflict, Surroundings } from "../store/packet-shelf.ts";
import type { Books } from "./books.ts";
import { readingFile } from "./file-failure.ts";
import type { createSettings } from "./settings.ts";

export function createPackets(parts: {
  readonly library: Library;
  readonly books: Books;
  readonly settings: ReturnType<typeof createSettings>;
  readonly exports: ExportDesk;
  readonly version: string;
  readonly publish: (gameId: string, edited: Edited) => void;
}) {
  const { library, books, settings, exports, version, publish } = parts;
  const observerId = () => library.note("observer-id") ?? "";

  const made = (gameId: string, options: PacketOptions): { packet: Packet; names: string[] } => {
    const { sequence: _, history: __, ...records } = library.openGame(gameId);
    const { observerName, scales } = settings.get();
    const result = makePacket(
      {
        records,
        versions: library.saidVersions(gameId),
        scales,
        books: books.ownFiles(records.game.bookId),
        observerName,
        personIdOf: personIdBy(library.note("people-key") ?? ""),
      },
      options,
      {
        madeAt: new Date().toISOString(),
        app: version,
        schema: library.schemaVersion,
        observerId: observerId(),
      },
    );
    if (!result.ok) throw new Failure("INVALID", result.sentence);
    // What would be refused where it goes is not sent.
    const fault = packetFault(result.packet, sha256);
    if (fault !== null)
      throw new Failure("INVALID", `No packet can be made of this game (${fault}): put that right, then make it.`);
    const withheld = [
      ...(options.crewNames ? [] : records.game.crew.map(({ name }) => name)),
      ...(options.observerName ? [] : [observerName]),
    ];
    return { packet: result.packet, names: withheld };
  };

  const read = async (path: string, signal: AbortSignal | undefined) => {
    const result = await readingFile(path, () => readPacket(path, { signal }));
    if (result.ok) return result;
    throw new Failure("INVALID", result.sentence, { path });
  };
  const around = (): Surroundings => ({
    shippedBookIds: books.shippedIds,
    scales: settings.get().scales,
    settingsWith: settings.withScales,
  });
  const sourceOf = ({ head, game }: Packet, packetId: string) => ({
    packetId,
    gameId: game.id,
    title: game.title,
    madeAt: head.madeAt,
    observerId: head.madeBy.observerId,
    observerName: head.madeBy.name,
  });

  return {
    preview: (gameId: string, options: PacketOptions) => {
      const { packet, names } = made(gameId, options);
      return {
        holds: [...whatItHolds(packet), ...namesLeftIn(packet, names)],
        sizeBytes: packetBytes(packet).length,
      };
    },

    write: async (gameId: string, folder: string, options: PacketOptions) => {
      const { packet } = made(gameId, options);
      const { title, playedOn } = packet.game;
      const name = fileName(playedOn === null ? title : `${title} ${playedOn}`);
      const { exportId } = await exports.begin(folder, name);
      try {
        await exports.append(exportId, fileName(`${name.slice(0, 80)}${packetEnding}`), packetBytes(packet), true);
        return { exportId, ...(await exports.finish(exportId)) };
      } catch (error) {
        exports.cancel(exportId);
        throw error;
      }
    },

    look: async (path: string, signal: AbortSignal | undefined) => {
      const { packet, packetId } = await read(path, signal);
      const plan = library.packets.plan(packet, around());
      return {
        ...sourceOf(packet, packetId),
        holds: whatItHolds(packet),
        isNewGame: plan.isNewGame,
        counts: [...plan.counts],
        would: whatItWould(plan, packet),
      };
    },

    import: async (path: string, signal: AbortSignal | undefined) => {
      const { packet, packetId } = await read(path, signal);
      signal?.throwIfAborted();
      const { plan, edited } = library.packets.take(packet, packetId, around());
      if (edited) publish(packet.game.id, edited);
      const { isNewGame, counts } = plan;
      return { packetId, gameId: packet.game.id, isNewGame, counts: [...counts], did: whatItWould(plan, packet) };
    },

    settle: (choice: Choice): Conflict[] => {
      const edited = library.packets.settle(choice, observerId());
      if (edited && choice.gameId !== null) publish(choice.gameId, edited);
      return library.packets.conflicts();
    },
  };
}
