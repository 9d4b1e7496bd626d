/** Shapes of what lies in a packet, and of what the window asks and is told about packets. */
import { z } from "zod";
import {
  type Manifest,
  type Packet,
  packetFormat,
  packetFormatVersion,
  type PacketList,
  type PacketOptions,
} from "../exchange/packet.ts";
import { saidActs, type SaidVersion } from "../exchange/said-versions.ts";
import { scaleShape } from "./settings.ts";
import {
  angleShape,
  carryShape,
  filmShape,
  gameShape,
  gradeShape,
  idShape,
  markShape,
  momentShape,
  playShape,
  rulingShape,
  sealShape,
  stakeShape,
  text,
} from "./shapes.ts";

export const sha256Shape = z.string().regex(/^[0-9a-f]{64}$/u);

export const packetOptionsShape = z.strictObject({
  observerName: z.boolean(),
  crewNames: z.boolean(),
  measurements: z.boolean(),
  carries: z.boolean(),
}) satisfies z.ZodType<PacketOptions>;

/** What every format of a packet says of itself, so that a newer one can be named. */
export const anyManifestShape = z.looseObject({ format: z.literal(packetFormat), formatVersion: z.int().min(1) });

export const manifestShape = z.strictObject({
  format: z.literal(packetFormat),
  formatVersion: z.literal(packetFormatVersion),
  madeAt: z.iso.datetime(),
  madeBy: z.strictObject({ observerId: idShape, name: text(80).nullable() }),
  app: text(40),
  schema: z.int().min(0),
  gameId: idShape,
  bookId: idShape,
  scaleIds: z.array(idShape).max(200).readonly(),
  options: packetOptionsShape,
  files: z
    .array(z.strictObject({ name: text(40), sizeBytes: z.int().min(0), sha256: sha256Shape }))
    .max(40)
    .readonly(),
}) satisfies z.ZodType<Manifest>;

const said = {
  id: sha256Shape,
  after: z.array(sha256Shape).max(100).readonly(),
  gameId: idShape,
  recordId: idShape,
  subject: text(200),
  act: z.enum(saidActs),
  said: text(400),
  reason: text(4000),
  authorId: idShape,
  at: z.iso.datetime(),
};

export const saidVersionShape = z.discriminatedUnion("family", [
  z.strictObject({ ...said, family: z.literal("grade"), record: gradeShape.nullable() }),
  z.strictObject({ ...said, family: z.literal("ruling"), record: rulingShape.nullable() }),
]) satisfies z.ZodType<SaidVersion>;

export const bookFileShape = z.strictObject({ id: idShape, file: text(2_000_000) });

export const packetGameShape = gameShape;

export const packetListShapes: { readonly [L in PacketList]: z.ZodType<Packet[L][number]> } = {
  films: filmShape.omit({ path: true }),
  plays: playShape,
  angles: angleShape,
  moments: momentShape,
  stakes: stakeShape,
  carries: carryShape,
  marks: markShape,
  grades: gradeShape,
  rulings: rulingShape,
  seals: sealShape,
  versions: saidVersionShape,
  scales: scaleShape,
  books: bookFileShape,
};

const sentences = z.array(z.string());
const count = z.int().min(0);

export const partCountShape = z.strictObject({
  part: z.string(),
  new: count,
  same: count,
  newerHere: count,
  newerThere: count,
  conflicts: count,
});

export const packetSourceShape = z.strictObject({
  /** SHA-256 of the file. */
  packetId: sha256Shape,
  gameId: idShape,
  title: z.string(),
  madeAt: z.string(),
  observerId: idShape,
  observerName: z.string().nullable(),
});

export const packetLookShape = packetSourceShape.extend({
  holds: sentences,
  isNewGame: z.boolean(),
  counts: z.array(partCountShape),
  /** What importing would do, in sentences. */
  would: sentences,
});

export const listedPacketShape = packetSourceShape.extend({
  importedAt: z.string(),
  counts: z.array(partCountShape),
});

/** One way a conflict could be settled; `isStanding` is the one that counts until then. */
export const conflictSideShape = z.strictObject({
  versionId: sha256Shape,
  isStanding: z.boolean(),
  act: z.enum(saidActs).nullable(),
  said: z.string(),
  reason: z.string(),
  authorId: idShape.nullable(),
  at: z.string().nullable(),
  /** The record as JSON; null where it was taken back. */
  record: z.string().nullable(),
});

export const conflictFamilies = [
  "game",
  "film",
  "play",
  "angle",
  "moment",
  "stake",
  "carry",
  "mark",
  "grade",
  "ruling",
  "book",
] as const;

export const conflictShape = z.strictObject({
  /** Null for a book, which is of no game. */
  gameId: idShape.nullable(),
  family: z.enum(conflictFamilies),
  /** A record's id, or the cell of a grade. */
  subject: z.string(),
  sides: z.array(conflictSideShape),
});
