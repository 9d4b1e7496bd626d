import { type FieldPoint, fieldPoint } from "#core/field/units";
import { layOut, templateById } from "#core/field/template";
import type { Film, FieldSide, Mark, MarkSubject, Moment, Situation, Stake } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import { parseBook } from "#core/mechanics/book-shape";
import type { Finding } from "#core/scoring/finding";
import { filmSurveys } from "#core/scoring/film-surveys";
import { type JudgedMoment, judgeMoment } from "#core/scoring/judge-moment";
import type { Responsible } from "#core/scoring/matters";
import flagBook from "../../../src-core/mechanics/books/flag-crew-of-four.json" with { type: "json" };
import { aimedCamera, inFrame, see, type TestCamera } from "../field/cameras.ts";

/** A play laid out in field yards and seen through a camera of known place: its clicks carry no noise at all. */
export const flagField = layOut(templateById("flag-100x40")!);

const parsed = parseBook(flagBook);
if (!parsed.ok) throw new Error(`${parsed.fault.path}: ${parsed.fault.message}`);
export const flagCrewBook: Book = parsed.book;

export type Standing = { readonly subject: MarkSubject; readonly at: FieldPoint; readonly facing?: FieldPoint };

export type StagedPlay = {
  readonly camera: TestCamera;
  /** Where along the field the camera stands and aims, when it is not the usual place. */
  readonly cameraXYards?: number;
  readonly situation: Situation;
  readonly lineJudgeSide: FieldSide;
  readonly people: Readonly<Record<string, Standing>>;
};

const official = (position: string): MarkSubject => ({ kind: "official", position });
export const receiver: MarkSubject = { kind: "player", side: "A", role: "receiver" };

const fullHd = { widthPx: 1920, heightPx: 1080 };
export const pressBoxAt = (atX: number, atY: number, aimX: number, aimY: number) =>
  aimedCamera("press box", [atX, atY, 12], [aimX, aimY, 0], 1200, fullHd);

/**
 * Going right from x = 34, line judge on the far side, deepest back 7 yd behind the line. Everybody stands where a crew
 * of four stands by common practice, in numbers worked out by hand: 27 - 7 = 20 along and 20 - 7 = 13 across for the
 * referee, 34 + 10 = 44 and 34 + 20 = 54 for the deep two, two thirds of 40 yd for the far hash.
 */
export const inPlace: StagedPlay = {
  camera: pressBoxAt(38, -25, 38, 18),
  situation: {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: 34,
    lineToGainXYards: 50,
    ballYYards: 20,
  },
  lineJudgeSide: "far",
  people: {
    R: { subject: official("R"), at: fieldPoint(20, 13), facing: fieldPoint(26.5, 16.5) },
    LJ: { subject: official("LJ"), at: fieldPoint(34, 40.2) },
    FJ: { subject: official("FJ"), at: fieldPoint(44, -0.5), facing: fieldPoint(41, 5.65) },
    BJ: { subject: official("BJ"), at: fieldPoint(54, 80 / 3) },
    snapper: { subject: { kind: "player", side: "A", role: "snapper" }, at: fieldPoint(33, 20) },
    passer: { subject: { kind: "player", side: "A", role: "passer" }, at: fieldPoint(29, 20) },
    back: { subject: { kind: "player", side: "A", role: "back" }, at: fieldPoint(27, 20) },
    wide: { subject: receiver, at: fieldPoint(33.5, 12) },
    defender: { subject: { kind: "player", side: "B", role: "defender" }, at: fieldPoint(45, 20) },
    ball: { subject: { kind: "ball" }, at: fieldPoint(34, 20) },
  },
};

export function moved(play: StagedPlay, who: string, alongYards: number, acrossYards: number): StagedPlay {
  const standing = play.people[who]!;
  const at = fieldPoint(standing.at.xYards + alongYards, standing.at.yYards + acrossYards);
  return { ...play, people: { ...play.people, [who]: { ...standing, at } } };
}

export function without(play: StagedPlay, who: string): StagedPlay {
  return { ...play, people: Object.fromEntries(Object.entries(play.people).filter(([id]) => id !== who)) };
}

export function withSituation(play: StagedPlay, part: Partial<Situation>): StagedPlay {
  return { ...play, situation: { ...play.situation, ...part } };
}

/** The play as a mirror (x alone) or a half-turn of the field (x and y) shows it, with its camera. */
export function transformed(play: StagedPlay, kind: "mirrored" | "turned"): StagedPlay {
  const point = ({ xYards: x, yYards: y }: FieldPoint) =>
    fieldPoint(flagField.totalLengthYards - x, kind === "turned" ? flagField.widthYards - y : y);
  const x = (xYards: number) => flagField.totalLengthYards - xYards;
  const { situation, lineJudgeSide } = play;
  const turned = kind === "turned";
  const cameraX = x(play.cameraXYards ?? 38);
  return {
    camera: turned ? pressBoxAt(cameraX, 65, cameraX, 22) : pressBoxAt(cameraX, -25, cameraX, 18),
    situation: {
      ...situation,
      direction: situation.direction === "right" ? "left" : "right",
      scrimmageXYards: x(situation.scrimmageXYards),
      lineToGainXYards: situation.lineToGainXYards === null ? null : x(situation.lineToGainXYards),
      ballYYards: turned ? flagField.widthYards - situation.ballYYards : situation.ballYYards,
    },
    lineJudgeSide: turned ? (lineJudgeSide === "far" ? "near" : "far") : lineJudgeSide,
    people: Object.fromEntries(
      Object.entries(play.people).map(([id, { subject, at, facing }]) => [
        id,
        { subject, at: point(at), ...(facing ? { facing: point(facing) } : {}) },
      ]),
    ),
  };
}

export function stakesOf(camera: TestCamera): Stake[] {
  return flagField.landmarks
    .filter((landmark) => inFrame(camera, landmark.at))
    .map((landmark) => ({
      id: landmark.id,
      gameId: "g",
      momentId: "m",
      kind: "point",
      landmarkId: landmark.id,
      click: see(camera, landmark.at),
      raw: null,
      sigmaPx: 1.5,
    }));
}

export function marksOf(play: StagedPlay, sigmaPx = 2): Mark[] {
  return Object.entries(play.people).map(([id, { subject, at, facing }]) => ({
    id,
    gameId: "g",
    momentId: "m",
    subject,
    click: see(play.camera, at),
    sigmaPx,
    facing: facing ? see(play.camera, facing) : null,
  }));
}

export const filmHere: Film = {
  id: "f",
  gameId: "g",
  order: 1,
  label: "Film",
  path: "/film.mp4",
  sizeBytes: 1,
  fingerprint: "0".repeat(64),
  widthPx: 1,
  heightPx: 1,
  durationSec: 9,
  codec: "H.264",
  lens: null,
};

export const momentHere: Moment = {
  id: "m",
  gameId: "g",
  playId: "p",
  filmId: "f",
  phase: "pre-snap",
  frameIndex: 0,
  timeSec: 0,
};

export function judge(
  play: StagedPlay,
  {
    marks = marksOf(play),
    book = flagCrewBook,
    stakes = stakesOf(play.camera),
    moment = momentHere,
    responsible,
  }: {
    readonly marks?: Mark[];
    readonly book?: Book;
    readonly stakes?: Stake[];
    readonly moment?: Moment;
    readonly responsible?: Responsible | undefined;
  } = {},
): JudgedMoment {
  return judgeMoment({
    moment,
    situation: play.situation,
    lineJudgeSide: play.lineJudgeSide,
    survey: filmSurveys(
      { moments: [moment], stakes, carries: [] },
      { ...filmHere, ...play.camera.image },
      flagField,
    ).at(moment.frameIndex),
    marks,
    layout: flagField,
    book,
    responsible,
  });
}

export function findingOf(play: StagedPlay, ruleId: string, options: Parameters<typeof judge>[1] = {}): Finding {
  const { findings } = judge(play, options);
  const finding = findings.find((candidate) => candidate.ruleId === ruleId);
  if (!finding) throw new Error(`${ruleId} did not apply; ${findings.map((one) => one.ruleId).join(", ")} did`);
  return finding;
}

export function stationMeasure(finding: Finding) {
  if (finding.measure?.kind !== "station") throw new Error(`${finding.ruleId} was not measured`);
  return finding.measure;
}
