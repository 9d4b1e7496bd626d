/**
 * A packet: how one game and what was said of it travels from an observer's library to another. Outside it is a zip of a
 * manifest and of JSON lines, a file a family, which any program can read.
 *
 * It never holds film, where a film lies, private notes, or the history of edits.
 */
import type { Angle, Carry, Film, Game, Grade, Mark, Moment, Play, Ruling, Seal, Stake } from "../game/records.ts";
import type { Scale } from "../grading/scales.ts";
import type { SaidVersion } from "./said-versions.ts";

export const packetFormat = "crewglass-packet";
/** Raised when a reader of the format before would misread a packet. */
export const packetFormatVersion = 1;
export const packetEnding = ".crewpacket";
export const isPacketName = (name: string): boolean => name.toLowerCase().endsWith(packetEnding);

/** What a person chooses to send along. */
export type PacketOptions = {
  /** The observer's own name; their id always goes along. */
  readonly observerName: boolean;
  /** Names of the crew; without, each official is known by position and by an id that says nothing. */
  readonly crewNames: boolean;
  /** Stakes and marks. */
  readonly measurements: boolean;
  /** How the picture moved around each moment, with the measurements only: large, and made again from the film. */
  readonly carries: boolean;
};

/** A film as a packet knows it: what it is recognised by and what its pixels are, and not where it lies. */
export type PacketFilm = Omit<Film, "path">;

export function withoutPath(film: Film | PacketFilm): PacketFilm {
  const { id, gameId, order, label, sizeBytes, fingerprint, widthPx, heightPx, durationSec, codec, lens } = film;
  return { id, gameId, order, label, sizeBytes, fingerprint, widthPx, heightPx, durationSec, codec, lens };
}

/** A mechanics book of a person's own, as the text of its file. */
export type BookFile = { readonly id: string; readonly file: string };

export type PacketHead = {
  readonly madeAt: string;
  readonly madeBy: { readonly observerId: string; readonly name: string | null };
  readonly app: string;
  readonly schema: number;
  readonly gameId: string;
  /** Books and scales used, own or not; those that are the sender's own lie in the packet whole. */
  readonly bookId: string;
  readonly scaleIds: readonly string[];
  readonly options: PacketOptions;
};

export type Packet = {
  readonly head: PacketHead;
  readonly game: Game;
  readonly films: readonly PacketFilm[];
  readonly plays: readonly Play[];
  readonly angles: readonly Angle[];
  readonly moments: readonly Moment[];
  readonly stakes: readonly Stake[];
  readonly carries: readonly Carry[];
  readonly marks: readonly Mark[];
  readonly grades: readonly Grade[];
  readonly rulings: readonly Ruling[];
  readonly seals: readonly Seal[];
  /** Every version of every grade and ruling, each after those it follows. */
  readonly versions: readonly SaidVersion[];
  readonly scales: readonly Scale[];
  readonly books: readonly BookFile[];
};

/** The lists of a packet, each a file of JSON lines, in the order in which they lie in it. */
export const packetLists = [
  "films",
  "plays",
  "angles",
  "moments",
  "stakes",
  "carries",
  "marks",
  "grades",
  "rulings",
  "seals",
  "versions",
  "scales",
  "books",
] as const satisfies readonly (keyof Packet)[];
export type PacketList = (typeof packetLists)[number];
export type PacketPart = "game" | PacketList;
export const packetParts: readonly PacketPart[] = ["game", ...packetLists];

export const manifestName = "manifest.json";
export const partName = (part: PacketPart): string => `${part}.jsonl`;

export type PacketFile = { readonly name: string; readonly sizeBytes: number; readonly sha256: string };

/** The first file of a packet. */
export type Manifest = PacketHead & {
  readonly format: typeof packetFormat;
  readonly formatVersion: typeof packetFormatVersion;
  readonly files: readonly PacketFile[];
};
