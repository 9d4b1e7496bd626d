import type { CrewMember, Game, GameRecords, Seal } from "../game/records.ts";
import { type OwnScale, scaleById, scales as knownScales } from "../grading/scales.ts";
import { type BookFile, type Packet, type PacketHead, type PacketOptions, withoutPath } from "./packet.ts";
import { headsOf, inOrder, type SaidVersion, scalesUsed, Versions } from "./said-versions.ts";

export type PacketSource = {
  readonly records: GameRecords;
  readonly versions: readonly SaidVersion[];
  readonly scales: readonly OwnScale[];
  /** The own book that the game is judged by and those it extends; none where it is a shipped one. */
  readonly books: readonly BookFile[];
  readonly observerName: string;
  /** An id for whoever is known here by a name alone: the same for the same name, and saying nothing of it. */
  readonly personIdOf: (name: string) => string;
};

export type MadePacket =
  | { readonly ok: true; readonly packet: Packet }
  | { readonly ok: false; readonly sentence: string };

type Made = Pick<PacketHead, "madeAt" | "app" | "schema"> & { readonly observerId: string };

/** The packet of a game, the same for the same content in whatever order a library has it. */
export function makePacket(source: PacketSource, options: PacketOptions, made: Made): MadePacket {
  const { records } = source;
  const scaleIds = scalesUsed(headsOf(Versions.of(source.versions)));
  const lost = scaleIds.find((id) => scaleById(id, source.scales) === undefined);
  if (lost !== undefined)
    return {
      ok: false,
      sentence: `The game has grades of a scale that is not in this library (${lost}): grade them anew.`,
    };
  const shipped = new Set(knownScales.map(({ id }) => id));
  const scales = source.scales.map(({ scale }) => scale).filter(({ id }) => scaleIds.includes(id) && !shipped.has(id));
  const measured = options.measurements;
  return {
    ok: true,
    packet: {
      head: {
        madeAt: made.madeAt,
        madeBy: { observerId: made.observerId, name: options.observerName ? source.observerName : null },
        app: made.app,
        schema: made.schema,
        gameId: records.game.id,
        bookId: records.game.bookId,
        scaleIds,
        options,
      },
      game: sentGame(records.game, options, source.personIdOf),
      films: byId(records.films).map(withoutPath),
      plays: byId(records.plays),
      angles: byId(records.angles),
      moments: byId(records.moments),
      stakes: measured ? byId(records.stakes) : [],
      carries: measured && options.carries ? byId(records.carries) : [],
      marks: measured ? byId(records.marks) : [],
      grades: byId(records.grades),
      rulings: byId(records.rulings),
      seals: byId<Seal>(records.seals),
      versions: inOrder(source.versions),
      scales: byId(scales),
      books: byId(source.books),
    },
  };
}

function sentGame(game: Game, options: PacketOptions, personIdOf: (name: string) => string): Game {
  const sent = ({ position, name, personId }: CrewMember): CrewMember => {
    const id = personId ?? (name.trim() === "" ? null : personIdOf(name));
    return { position, name: options.crewNames ? name : "", ...(id === null ? {} : { personId: id }) };
  };
  return { ...game, crew: game.crew.map(sent) };
}

function byId<T extends { readonly id: string }>(rows: readonly T[]): T[] {
  return rows.toSorted((a, b) => (a.id < b.id ? -1 : 1));
}
