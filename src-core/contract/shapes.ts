/**
 * Shapes of everything that crosses the contract or lies in a JSON column. Unknown properties and non-finite numbers
 * are refused; the error carries the path. The types are the records' own: a shape that drifts from its record does
 * not compile.
 */
import { z } from "zod";
import type { Change } from "../game/changes.ts";
import type { FieldChoices } from "../field/field-choices.ts";
import {
  type Angle,
  type Carry,
  criteria,
  type Film,
  type Game,
  type Grade,
  type Mark,
  type MarkSubject,
  type Moment,
  phases,
  type Play,
  type PrivateNote,
  playEnds,
  playKinds,
  playerRoles,
  type Ruling,
  rulingClasses,
  rulingKinds,
  type Seal,
  type Situation,
  type Stake,
} from "../game/records.ts";

export const idShape = z.string().regex(/^[A-Za-z0-9_-]{1,64}$/u);
/** Half a surrogate pair cannot be written as UTF-8, and would come back from the library as something else. */
const wellFormed = (value: string) => value.isWellFormed();
export const text = (most: number) => z.string().max(most).refine(wellFormed, "not well-formed text");
export const named = (most: number) => z.string().trim().min(1).max(most).refine(wellFormed, "not well-formed text");
const yards = z.number().min(-60).max(220);
const pixels = z.number().min(-20_000).max(20_000);
const seconds = z.number().min(-60).max(200_000);

export const imagePointShape = z.strictObject({ uPx: pixels, vPx: pixels });

/** A measure of a field: none is longer than the longest there is, with end zones. */
const measure = z.number().min(0).max(200);

export const fieldChoicesShape = z.strictObject({
  hashSet: z.enum(["none", "thirds", "ncaa", "nfhs", "nfl"]).nullable(),
  numbers: z.enum(["none", "tops-9", "bottoms-12"]).nullable(),
  goalWidth: z.enum(["18-6", "23-4", "none"]).nullable(),
  custom: z
    .strictObject({
      name: named(80),
      playLengthYards: measure.min(10),
      endZoneYards: measure,
      widthYards: measure.min(5),
      lineEveryYards: measure.min(1),
      tickEveryYards: measure.min(0.5).nullable(),
      hashFromSidelineYards: measure.nullable(),
      numbersYards: z.strictObject({ bottom: measure, top: measure }).nullable(),
    })
    .nullable(),
}) satisfies z.ZodType<FieldChoices>;

export const gameShape = z.strictObject({
  id: idShape,
  title: named(120),
  playedOn: z.iso.date().nullable(),
  level: text(80),
  homeName: named(80),
  awayName: named(80),
  playersPerSide: z.int().min(3).max(12),
  templateId: idShape,
  fieldChoices: fieldChoicesShape,
  bookId: idShape,
  lineJudgeSide: z.enum(["near", "far"]),
  crew: z
    .array(
      z.strictObject({
        position: z.string().regex(/^[A-Z]{1,3}$/u),
        name: text(80),
        personId: idShape.exactOptional(),
      }),
    )
    .max(12)
    .readonly(),
}) satisfies z.ZodType<Game>;

export const filmShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  order: z.int().min(1).max(9999),
  label: named(200),
  path: text(4096),
  sizeBytes: z.int().min(0),
  fingerprint: z.string().regex(/^[0-9a-f]{64}$/u),
  widthPx: z.int().min(1).max(16_384),
  heightPx: z.int().min(1).max(16_384),
  durationSec: z.number().min(0).max(200_000),
  codec: text(60),
  lens: z
    .strictObject({
      radial: z.number().min(-1).max(1),
      beforePx: z.number().min(0).max(1000),
      afterPx: z.number().min(0).max(1000),
      lines: z.int().min(1).max(100),
    })
    .nullable(),
}) satisfies z.ZodType<Film>;

export const situationShape = z.strictObject({
  offence: z.enum(["home", "away"]),
  direction: z.enum(["right", "left"]),
  down: z.union([z.literal(1), z.literal(2), z.literal(3), z.literal(4)]).nullable(),
  scrimmageXYards: yards,
  lineToGainXYards: yards.nullable(),
  ballYYards: yards,
}) satisfies z.ZodType<Situation>;

export const playShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  filmId: idShape,
  number: z.int().min(1).max(9999),
  startSec: seconds,
  endSec: seconds,
  snapSec: seconds.nullable(),
  releaseSec: seconds.nullable(),
  catchSec: seconds.nullable(),
  deadSec: seconds.nullable(),
  kind: z.enum(playKinds).nullable(),
  quarter: z.int().min(1).max(20).nullable(),
  series: z.int().min(1).max(999).nullable(),
  situation: situationShape,
  result: z
    .strictObject({
      kind: z.enum(playEnds),
      spot: z.strictObject({ xYards: yards, yYards: yards }).nullable(),
    })
    .nullable(),
}) satisfies z.ZodType<Play>;

export const angleShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  playId: idShape,
  filmId: idShape,
  playInstantSec: seconds,
  instantSec: seconds,
}) satisfies z.ZodType<Angle>;

export const momentShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  playId: idShape,
  filmId: idShape,
  phase: z.enum(phases),
  frameIndex: z.int().min(0).max(50_000_000),
  timeSec: seconds,
}) satisfies z.ZodType<Moment>;

const sigmaPx = z.number().min(0.05).max(200);

const raw = imagePointShape.nullable();

export const stakeShape = z.discriminatedUnion("kind", [
  z.strictObject({
    id: idShape,
    gameId: idShape,
    momentId: idShape,
    kind: z.literal("point"),
    landmarkId: text(80).min(1),
    click: imagePointShape,
    raw,
    sigmaPx,
  }),
  z.strictObject({
    id: idShape,
    gameId: idShape,
    momentId: idShape,
    kind: z.literal("line"),
    lineId: text(80).min(1),
    clicks: z
      .array(z.strictObject({ at: imagePointShape, raw }))
      .min(1)
      .max(50)
      .readonly(),
    sigmaPx,
  }),
]) satisfies z.ZodType<Stake>;

export const carryShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  momentId: idShape,
  firstIndex: z.int().min(0).max(50_000_000),
  frameCount: z.int().min(1).max(1200),
  frames: z
    .string()
    .max(400_000)
    .regex(/^[A-Za-z0-9+/=]*$/u),
  stopBefore: text(40).nullable(),
  stopAfter: text(40).nullable(),
}) satisfies z.ZodType<Carry>;

export const markSubjectShape = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("official"), position: z.string().regex(/^[A-Z]{1,3}$/u) }),
  z.strictObject({ kind: z.literal("player"), side: z.enum(["A", "B"]), role: z.enum(playerRoles) }),
  z.strictObject({ kind: z.literal("ball") }),
]) satisfies z.ZodType<MarkSubject>;

export const markShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  momentId: idShape,
  subject: markSubjectShape,
  click: imagePointShape,
  sigmaPx,
  facing: imagePointShape.nullable(),
}) satisfies z.ZodType<Mark>;

const position = z.string().regex(/^[A-Z]{1,3}$/u);

export const gradeShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  playId: idShape.nullable(),
  position,
  criterion: z.enum(criteria),
  scaleId: idShape,
  points: z.number().min(-1000).max(1000).nullable(),
  suggested: z.number().min(-1000).max(1000).nullable(),
  reason: text(2000),
  comment: text(4000),
  momentIds: z.array(idShape).max(50).readonly(),
  authorId: idShape,
  gradedAt: z.iso.datetime(),
}) satisfies z.ZodType<Grade>;

export const rulingShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  playId: idShape,
  kind: z.enum(rulingKinds),
  class: z.enum(rulingClasses),
  foul: named(120),
  position: position.nullable(),
  seers: z.array(position).max(12).readonly(),
  momentId: idShape.nullable(),
  spotGivenXYards: yards.nullable(),
  comment: text(4000),
  authorId: idShape,
  ruledAt: z.iso.datetime(),
}) satisfies z.ZodType<Ruling>;

export const noteShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  playId: idShape.nullable(),
  position: position.nullable(),
  text: named(8000),
  authorId: idShape,
  writtenAt: z.iso.datetime(),
}) satisfies z.ZodType<PrivateNote>;

export const sealShape = z.strictObject({
  id: idShape,
  gameId: idShape,
  authorId: idShape,
  sealedAt: z.iso.datetime(),
}) satisfies z.ZodType<Seal>;

const changeOf = <F extends string, S extends z.ZodType>(family: F, shape: S) =>
  z.strictObject({ family: z.literal(family), id: idShape, before: shape.nullable(), after: shape.nullable() });

export const changeShape = z.discriminatedUnion("family", [
  changeOf("game", gameShape),
  changeOf("film", filmShape),
  changeOf("play", playShape),
  changeOf("angle", angleShape),
  changeOf("moment", momentShape),
  changeOf("stake", stakeShape),
  changeOf("carry", carryShape),
  changeOf("mark", markShape),
  changeOf("grade", gradeShape),
  changeOf("ruling", rulingShape),
  changeOf("note", noteShape),
  changeOf("seal", sealShape),
]) satisfies z.ZodType<Change>;
