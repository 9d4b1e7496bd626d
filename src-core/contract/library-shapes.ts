/** Shapes of what is said of a library as a file: its backups, and long work on it. */
import { z } from "zod";
import { idShape } from "./shapes.ts";

/** Why a library is not open. "gone": nothing lies there, and backups of what lay there do. */
export const closedReasons = [
  "gone",
  "damaged",
  "log-alone",
  "linked",
  "not-a-library",
  "newer",
  "in-use",
  "no-folder",
  "read-only-folder",
  "disk-full",
  "node-too-old",
  "failed",
] as const;
export type ClosedReason = (typeof closedReasons)[number];

export const backupShape = z.strictObject({ name: z.string(), madeAt: z.iso.datetime(), sizeBytes: z.int() });

/** `fault` says in words why a backup must not be put in the library's place. */
export const readBackupShape = z.discriminatedUnion("ok", [
  z.strictObject({
    ok: z.literal(true),
    holds: z.strictObject({
      schema: z.int(),
      games: z.array(
        z.strictObject({
          title: z.string(),
          playedOn: z.string().nullable(),
          plays: z.int(),
          marks: z.int(),
          grades: z.int(),
        }),
      ),
      lastEditAt: z.string().nullable(),
    }),
  }),
  z.strictObject({ ok: z.literal(false), fault: z.string() }),
]);

/** What long work says while it goes on, and its result at the end. It is cancelled by the call's signal. */
export const workShape = <T extends z.ZodType>(result: T) =>
  z.discriminatedUnion("kind", [
    z.strictObject({ kind: z.literal("progress"), done: z.int(), total: z.int() }),
    z.strictObject({ kind: z.literal("done"), result }),
  ]);

/** A text of the library that has the words looked for, and where they stand in it. */
export const foundShape = z.strictObject({
  in: z.enum(["game", "official", "film", "ruling", "grade", "note"]),
  gameId: idShape,
  game: z.string(),
  playedOn: z.string().nullable(),
  /** Number of its play; null where it is of the whole game. */
  play: z.int().nullable(),
  position: z.string().nullable(),
  /** The criterion of a grade, or how a ruling was judged. */
  about: z.string().nullable(),
  /** Who wrote it, where that is another observer. */
  author: z.string().nullable(),
  text: z.string(),
  places: z.array(z.tuple([z.int(), z.int()])),
  /** Where in the film it is looked at; null where the game has none. */
  at: z.strictObject({ filmId: idShape, timeSec: z.number() }).nullable(),
});
