import { type FieldPoint, fieldPoint } from "#core/field/units";
import { type Mark, type MarkSubject, type Moment, nothingSaid, type Phase, type Play } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import type { Finding, WatchMeasure } from "#core/scoring/finding";
import { filmSurveys } from "#core/scoring/film-surveys";
import { type JudgedPlay, judgePlay } from "#core/scoring/judge-play";
import {
  filmHere,
  flagCrewBook,
  flagField,
  inPlace,
  marksOf,
  momentHere,
  type StagedPlay,
  type Standing,
  stakesOf,
  transformed,
} from "./staged-play.ts";

/**
 * A play laid out instant by instant, going right from x = 34 with the ball at y = 20, the line judge on the far side: LJ
 * and BJ have the far receivers and zones, FJ the near ones, to y = 40 / 3 + 2. Everybody stands where the first instant
 * puts them until a later one moves them; looks are at a person or a spot, by the angle alone.
 */
export type Spot = readonly [x: number, y: number];
export type Shot = {
  readonly sec: number;
  readonly phase: Phase;
  readonly people: Readonly<Record<string, Spot>>;
  readonly looks: Readonly<Record<string, string | Spot | null>>;
};

const crew = ["R", "LJ", "FJ", "BJ"];
const subjects: Record<string, MarkSubject> = {
  ...Object.fromEntries(crew.map((position) => [position, { kind: "official", position } as const])),
  snapper: { kind: "player", side: "A", role: "snapper" },
  passer: { kind: "player", side: "A", role: "passer" },
  back: { kind: "player", side: "A", role: "back" },
  blocker: { kind: "player", side: "A", role: "blocker" },
  nearWide: { kind: "player", side: "A", role: "receiver" },
  farSlot: { kind: "player", side: "A", role: "receiver" },
  farWide: { kind: "player", side: "A", role: "receiver" },
  rusher: { kind: "player", side: "B", role: "rusher" },
  middle: { kind: "player", side: "B", role: "defender" },
  onNearWide: { kind: "player", side: "B", role: "defender" },
  onFarSlot: { kind: "player", side: "B", role: "defender" },
  onFarWide: { kind: "player", side: "B", role: "defender" },
  deepNear: { kind: "player", side: "B", role: "defender" },
  deepFar: { kind: "player", side: "B", role: "defender" },
  ball: { kind: "ball" },
};

const set: Record<string, Spot> = {
  R: [20, 13],
  LJ: [34, 40.2],
  FJ: [44, -0.5],
  BJ: [54, 80 / 3],
  snapper: [33, 20],
  passer: [29, 20],
  back: [28, 24],
  blocker: [33, 18],
  nearWide: [33.4, 6],
  farSlot: [33.2, 28],
  farWide: [33.4, 36],
  rusher: [41, 15],
  middle: [39, 21],
  onNearWide: [39, 6.5],
  onFarSlot: [44, 28],
  onFarWide: [46, 36.5],
  deepNear: [52, 14],
  deepFar: [53, 32],
  ball: [34, 20],
};
const setLooks = { R: "snapper", LJ: "snapper", FJ: "nearWide", BJ: "farSlot" };

/** An instant as it differs from the one before it. */
export type ShotPart = Pick<Shot, "sec" | "phase"> & {
  readonly people?: Shot["people"];
  readonly looks?: Shot["looks"];
};

export function shots(...parts: readonly ShotPart[]): Shot[] {
  let people: Shot["people"] = set;
  let looks: Shot["looks"] = setLooks;
  return parts.map((part) => {
    people = { ...people, ...part.people };
    looks = { ...looks, ...part.looks };
    return { sec: part.sec, phase: part.phase, people, looks };
  });
}

/** Looks from afar are marked from 5 yd ahead on. */
const pointYards = 5;

function standings({ people, looks }: Shot): Record<string, Standing> {
  return Object.fromEntries(
    Object.entries(people).map(([name, [x, y]]): [string, Standing] => {
      const subject = subjects[name.replace(/\d+$/u, "")];
      if (!subject) throw new Error(`nobody is called ${name}`);
      const look = looks[name];
      const at = fieldPoint(x, y);
      if (subject.kind !== "official" || look == null) return [name, { subject, at }];
      const [tx, ty] = typeof look === "string" ? people[look]! : look;
      const away = Math.hypot(tx - x, ty - y);
      const facing: FieldPoint = fieldPoint(x + (pointYards * (tx - x)) / away, y + (pointYards * (ty - y)) / away);
      return [name, { subject, at, facing }];
    }),
  );
}

const snapSec = 10;

export type CourseOptions = {
  /** Clicks so sharp that they leave no error worth a printed digit. */
  readonly sigmaPx?: number;
  readonly book?: Book;
  readonly transform?: "mirrored" | "turned";
  readonly reverse?: boolean;
  readonly playersPerSide?: number;
  readonly snapSec?: number | null;
  readonly quarter?: number;
  readonly situation?: Partial<StagedPlay["situation"]>;
};

/** The play judged from clicks, through one survey of a camera of known place. Marks are named `instant-person`. */
export function judgeShots(all: readonly Shot[], options: CourseOptions = {}): JudgedPlay {
  const { sigmaPx = 0.02, book = flagCrewBook, transform, reverse = false, playersPerSide = 7 } = options;
  const staged = all.map((shot): StagedPlay => {
    const play = { ...inPlace, situation: { ...inPlace.situation, ...options.situation }, people: standings(shot) };
    return transform ? transformed(play, transform) : play;
  });
  const [first] = staged;
  if (!first) throw new Error("a play without instants");
  const stakes = stakesOf(first.camera).map((stake) => ({ ...stake, sigmaPx }));
  const survey = filmSurveys(
    { moments: [momentHere], stakes, carries: [] },
    { ...filmHere, ...first.camera.image },
    flagField,
  ).at(0);
  const moments = all.map(({ sec, phase }, index) => {
    const moment: Moment = { ...momentHere, id: `m${index}`, phase, frameIndex: index, timeSec: snapSec + sec };
    const marks = marksOf(staged[index]!, sigmaPx).map((mark): Mark => ({ ...mark, id: `${index}-${mark.id}` }));
    return { moment, survey, marks: reverse ? marks.toReversed() : marks };
  });
  const play: Play = {
    id: "p",
    gameId: "g",
    filmId: "f",
    number: 1,
    startSec: 5,
    endSec: 20,
    ...nothingSaid,
    snapSec: options.snapSec === undefined ? snapSec : options.snapSec,
    quarter: options.quarter ?? null,
    situation: first.situation,
  };
  return judgePlay({
    play,
    game: { lineJudgeSide: first.lineJudgeSide, playersPerSide },
    moments: reverse ? moments.toReversed() : moments,
    layout: flagField,
    book,
  });
}

/** Findings of who watched what that say that something was amiss, by rule, position and verdict. */
export function amiss(judged: JudgedPlay): string[] {
  return judged.findings
    .filter(({ verdict, ruleId }) => (verdict === "missed" || verdict === "cannot tell") && !ruleId.startsWith("CT-"))
    .map(({ ruleId, position, verdict }) => `${ruleId} ${position} ${verdict}`);
}

export function foundOf(judged: JudgedPlay, ruleId: string, position?: string): Finding {
  const found = judged.findings.find(
    (finding) => finding.ruleId === ruleId && (position === undefined || finding.position === position),
  );
  if (!found) throw new Error(`${ruleId} is not among ${judged.findings.map((one) => one.ruleId).join(", ")}`);
  return found;
}

export function watchMeasure({ measure, ruleId }: Finding): WatchMeasure {
  if (measure?.kind !== "watch") throw new Error(`${ruleId} measured nothing that was watched`);
  return measure;
}

/** A play in which everybody does what common practice asks, and the near receiver crosses from FJ to BJ. */
export const crossing = {
  set: { sec: -0.2, phase: "pre-snap" },
  start: {
    sec: 0.6,
    phase: "keys",
    people: { nearWide: [38, 8], onNearWide: [39.2, 8.6], farSlot: [37, 28], farWide: [38, 36], rusher: [36, 13] },
    looks: { R: "passer", LJ: "snapper", FJ: "nearWide", BJ: "farSlot" },
  },
  early: { sec: 1.2, phase: "keys", people: { nearWide: [42, 10], onNearWide: [43.2, 10.6] } },
  late: {
    sec: 1.8,
    phase: "keys",
    people: { nearWide: [45, 12], onNearWide: [46.2, 12.6], farSlot: [42, 28], onFarSlot: [48, 28] },
  },
  over: { sec: 2.4, phase: "zone", people: { nearWide: [47, 18], onNearWide: [48.2, 18.6] } },
  on: { sec: 2.9, phase: "zone", people: { nearWide: [48, 19], onNearWide: [49.2, 19.6] } },
} as const satisfies Record<string, ShotPart>;
