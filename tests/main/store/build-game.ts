import { asTheTemplate } from "#core/field/field-choices";
import type {
  Angle,
  Carry,
  Film,
  Game,
  Grade,
  GameRecords,
  LineStake,
  Mark,
  Moment,
  Play,
  PointStake,
  PrivateNote,
  Ruling,
  Seal,
} from "#core/game/records";

export function aGame(id = "game-1", with_: Partial<Game> = {}): Game {
  return {
    id,
    title: "Herons v Lanterns",
    playedOn: "2026-09-19",
    level: "Saltmarsh Valley Flag League",
    homeName: "Kiln Street Herons",
    awayName: "Port Ansel Lanterns",
    playersPerSide: 7,
    templateId: "flag-100x40",
    fieldChoices: asTheTemplate,
    bookId: "flag-crew-of-four",
    lineJudgeSide: "far",
    crew: [{ position: "R", name: "Tamsin Orrelby" }],
    ...with_,
  };
}

export function aFilm(gameId: string, id: string, with_: Partial<Film> = {}): Film {
  return {
    id,
    gameId,
    order: 1,
    label: "First half",
    path: "/films/first-half.mp4",
    sizeBytes: 6_000_000_000,
    fingerprint: "ab".repeat(32),
    widthPx: 1280,
    heightPx: 720,
    durationSec: 61.033,
    codec: "avc1.640028",
    lens: null,
    ...with_,
  };
}

export function aPlay(gameId: string, id: string, filmId: string, with_: Partial<Play> = {}): Play {
  return {
    id,
    gameId,
    filmId,
    number: 1,
    startSec: 1.5,
    endSec: 9.25,
    snapSec: 3.1,
    releaseSec: 4.4,
    catchSec: 5.1,
    deadSec: 7.2,
    kind: "pass",
    quarter: 2,
    series: 7,
    situation: {
      offence: "home",
      direction: "right",
      down: 3,
      scrimmageXYards: 42,
      lineToGainXYards: 50,
      ballYYards: 20.5,
    },
    result: { kind: "spot", spot: { xYards: 51.5, yYards: 18 } },
    ...with_,
  };
}

export function anAngle(play: Play, id: string, filmId: string): Angle {
  return { id, gameId: play.gameId, playId: play.id, filmId, playInstantSec: 3.1, instantSec: 62.4 };
}

export function aMoment(play: Play, id: string, with_: Partial<Moment> = {}): Moment {
  return {
    id,
    gameId: play.gameId,
    playId: play.id,
    filmId: play.filmId,
    phase: "pre-snap",
    frameIndex: 90,
    timeSec: 3,
    ...with_,
  };
}

export function aStake(moment: Moment, id: string, with_: Partial<PointStake> = {}): PointStake {
  return {
    id,
    gameId: moment.gameId,
    momentId: moment.id,
    kind: "point",
    landmarkId: "near-sideline/L20",
    click: { uPx: 301.25, vPx: 410.5 },
    raw: null,
    sigmaPx: 1.5,
    ...with_,
  };
}

export function aLine(moment: Moment, id: string): LineStake {
  return {
    id,
    gameId: moment.gameId,
    momentId: moment.id,
    kind: "line",
    lineId: "far-sideline",
    clicks: [
      { at: { uPx: 20.5, vPx: 110.25 }, raw: { uPx: 21, vPx: 112 } },
      { at: { uPx: 900, vPx: 130 }, raw: null },
    ],
    sigmaPx: 1.5,
  };
}

export function aCarry(moment: Moment, id: string): Carry {
  return {
    id,
    gameId: moment.gameId,
    momentId: moment.id,
    firstIndex: 90,
    frameCount: 2,
    frames: "AAAA",
    stopBefore: null,
    stopAfter: "cut",
  };
}

export function aMark(moment: Moment, id: string, with_: Partial<Mark> = {}): Mark {
  return {
    id,
    gameId: moment.gameId,
    momentId: moment.id,
    subject: { kind: "official", position: "LJ" },
    click: { uPx: 700.1, vPx: 222.2 },
    sigmaPx: 2,
    facing: { uPx: 640, vPx: 300 },
    ...with_,
  };
}

export function aGrade(play: Play, id: string, with_: Partial<Grade> = {}): Grade {
  return {
    id,
    gameId: play.gameId,
    playId: play.id,
    position: "LJ",
    criterion: "station",
    scaleId: "five-points",
    points: 2,
    suggested: 4,
    reason: "late to the line",
    comment: "",
    momentIds: [],
    authorId: "observer-1",
    gradedAt: "2026-09-20T18:00:00.000Z",
    ...with_,
  };
}

export function aRuling(play: Play, id: string, with_: Partial<Ruling> = {}): Ruling {
  return {
    id,
    gameId: play.gameId,
    playId: play.id,
    kind: "flag",
    class: "marginal",
    foul: "Flag guarding",
    position: "LJ",
    seers: ["LJ", "R"],
    momentId: null,
    spotGivenXYards: 41.5,
    comment: "",
    authorId: "observer-1",
    ruledAt: "2026-09-20T18:05:00.000Z",
    ...with_,
  };
}

export function aNote(play: Play, id: string): PrivateNote {
  return {
    id,
    gameId: play.gameId,
    playId: play.id,
    position: null,
    text: "ask about the crew's signal",
    authorId: "observer-1",
    writtenAt: "2026-09-20T18:06:00.000Z",
  };
}

export function aSeal(gameId: string, authorId = "observer-1"): Seal {
  return { id: `${gameId}-seal-${authorId}`, gameId, authorId, sealedAt: "2026-09-20T19:00:00.000Z" };
}

/** A game with one play on two films, a moment, four points, a line, what was carried, a mark of each kind, and what was said of it. */
export function aWholeGame(id = "game-1"): GameRecords {
  const film = aFilm(id, `${id}-film`);
  const other = aFilm(id, `${id}-film-2`, { order: 2, fingerprint: "cd".repeat(32), path: "/films/end-zone.mp4" });
  const play = aPlay(id, `${id}-play`, film.id);
  const moment = aMoment(play, `${id}-moment`);
  return {
    game: aGame(id),
    films: [film, other],
    plays: [play],
    angles: [anAngle(play, `${id}-angle`, other.id)],
    moments: [moment],
    stakes: [...[1, 2, 3, 4].map((number) => aStake(moment, `${id}-stake-${number}`)), aLine(moment, `${id}-line`)],
    carries: [aCarry(moment, `${id}-carry`)],
    marks: [
      aMark(moment, `${id}-mark-1`),
      aMark(moment, `${id}-mark-2`, { subject: { kind: "player", side: "A", role: "receiver" }, facing: null }),
      aMark(moment, `${id}-mark-3`, { subject: { kind: "ball" }, facing: null }),
    ],
    grades: [aGrade(play, `${id}-grade`)],
    rulings: [aRuling(play, `${id}-ruling`)],
    notes: [aNote(play, `${id}-note`)],
    seals: [],
  };
}
