import { canonicalText } from "#core/exchange/canonical";
import { makePacket } from "#core/exchange/make-packet";
import type { Packet, PacketOptions } from "#core/exchange/packet";
import type { OwnScale } from "#core/grading/scales";
import type { GameRecords } from "#core/game/records";
import { everything } from "../../core/exchange/build-packet.ts";
import { shippedFiles } from "#core/mechanics/shipped-books";
import { packetBytes, sha256Of } from "../../../src-main/exchange/packet-file.ts";
import { personIdBy } from "../../../src-main/exchange/person-id.ts";
import { readPacketBytes } from "../../../src-main/exchange/read-packet.ts";
import { createBooks } from "../../../src-main/service/books.ts";
import { createSettings } from "../../../src-main/service/settings.ts";
import type { Library } from "../../../src-main/store/library.ts";
import type { Imported, Surroundings } from "../../../src-main/store/packet-shelf.ts";

const shippedBookIds = new Set(shippedFiles.map(({ id }) => id));

export function aroundOf(library: Library): Surroundings {
  const settings = createSettings(library);
  return {
    shippedBookIds,
    scales: settings.get().scales,
    settingsWith: settings.withScales,
  };
}

export function recordsOf(library: Library, gameId: string): GameRecords {
  const { sequence: _, history: __, ...records } = library.openGame(gameId);
  return records;
}

/** The packet of a game as the service makes it, at a fixed time. */
export function packetOf(
  library: Library,
  gameId = "game-1",
  with_: {
    readonly options?: Partial<PacketOptions>;
    readonly scales?: readonly OwnScale[];
    readonly observerName?: string;
  } = {},
): Packet {
  const made = makePacket(
    {
      records: recordsOf(library, gameId),
      versions: library.saidVersions(gameId),
      scales: with_.scales ?? createSettings(library).get().scales,
      books: createBooks(library.books).ownFiles(library.openGame(gameId).game.bookId),
      observerName: with_.observerName ?? "Wendeline Askew",
      personIdOf: personIdBy(library.note("people-key") ?? ""),
    },
    { ...everything, ...with_.options },
    {
      madeAt: "2026-09-22T12:00:00.000Z",
      app: "0.1.0",
      schema: library.schemaVersion,
      observerId: library.note("observer-id") ?? "",
    },
  );
  if (!made.ok) throw new Error(made.sentence);
  return made.packet;
}

/** What comes out of the bytes of a packet; a refusal fails the test. */
export async function reread(packet: Packet): Promise<Packet> {
  const read = await readPacketBytes(Buffer.from(packetBytes(packet)));
  if (!read.ok) throw new Error(read.sentence);
  return read.packet;
}

export function take(library: Library, packet: Packet): Imported {
  return library.packets.take(packet, sha256Of(packetBytes(packet)), aroundOf(library));
}

/** All that a library holds of games, books, scales and conflicts, as one text that does not depend on the order it came in. */
export function dump(library: Library): string {
  const games = library.listGames().map(({ id }) => {
    const records = Object.fromEntries(
      Object.entries(recordsOf(library, id)).map(([family, rows]) => [
        family,
        Array.isArray(rows) ? sorted(rows) : rows,
      ]),
    );
    return { ...records, versions: sorted(library.saidVersions(id)) };
  });
  return canonicalText({
    games: sorted(games),
    conflicts: sorted(library.packets.conflicts()),
    books: sorted(library.books.list()),
    scales: sorted(createSettings(library).get().scales),
  });
}

function sorted(rows: readonly unknown[]): string[] {
  return rows.map(canonicalText).toSorted();
}
