/** Shapes of what is said of a library as a file: its backups, and long work on it. */
import { z } from "zod";

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
