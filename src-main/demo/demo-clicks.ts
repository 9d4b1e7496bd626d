import { z } from "zod";
import { phases, playEnds, playerRoles } from "#core/game/records";

/**
 * The clicks that come with the demo film: what a person did on its frames, in pixels of the displayed film. Frame
 * indices count from 0 at `demoFramesPerSecond`.
 */
export const demoFramesPerSecond = 30;

const seconds = z.number().min(0).max(3600);
const yards = z.number().min(-60).max(220);
const pixel = z.number().min(-20_000).max(20_000);
const point = z.strictObject({ uPx: pixel, vPx: pixel });

const markShape = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("official"),
    position: z.string().regex(/^[A-Z]{1,3}$/u),
    uPx: pixel,
    vPx: pixel,
    facing: point.nullable(),
  }),
  z.strictObject({
    kind: z.literal("player"),
    team: z.enum(["A", "B"]),
    role: z.enum(playerRoles),
    uPx: pixel,
    vPx: pixel,
    facing: z.null(),
  }),
  z.strictObject({ kind: z.literal("ball"), uPx: pixel, vPx: pixel }),
]);

const momentShape = z.strictObject({
  phase: z.enum(phases),
  frameIndex: z.int().min(0).max(1_000_000),
  stakes: z.array(z.strictObject({ landmarkId: z.string().min(1).max(80), uPx: pixel, vPx: pixel })),
  marks: z.array(markShape),
});

const playShape = z.strictObject({
  number: z.int().min(1).max(999),
  startSec: seconds,
  endSec: seconds,
  snapSec: seconds.nullable(),
  releaseSec: seconds.nullable(),
  catchSec: seconds.nullable(),
  deadSec: seconds.nullable(),
  quarter: z.int().min(1).max(20),
  series: z.int().min(1).max(999),
  situation: z.strictObject({
    offence: z.enum(["herons", "lanterns"]),
    direction: z.enum(["right", "left"]),
    down: z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]).nullable(),
    distanceYards: z.number().min(0).max(99).nullable(),
    scrimmageXYards: yards,
    lineToGainXYards: yards.nullable(),
    ballYYards: yards,
  }),
  /** How the play ended, where the film shows it. */
  result: z
    .strictObject({
      kind: z.enum(playEnds),
      spot: z.strictObject({ xYards: yards, yYards: yards }).nullable(),
    })
    .exactOptional(),
  moments: z.array(momentShape),
});

export const demoClicksShape = z.strictObject({
  filmSha256: z.string().regex(/^[0-9a-f]{64}$/u),
  plays: z.array(playShape).min(1),
});

export type DemoClicks = z.infer<typeof demoClicksShape>;
export type DemoMark = z.infer<typeof markShape>;
