import { asTheTemplate } from "#core/field/field-choices";
import {
  defaultMarkSigmaPx,
  defaultStakeSigmaPx,
  emptyGame,
  type Film,
  type Game,
  type GameRecords,
  type Mark,
  type MarkSubject,
  type Moment,
  nothingSaid,
  type Play,
  type Stake,
} from "#core/game/records";
import { type DemoClicks, type DemoMark, demoFramesPerSecond } from "./demo-clicks.ts";

/** The demo game's own id; every id in it is derived, so that it is the same game in every library. */
export const demoGameId = "demo-game";
const filmId = "demo-film";

const game: Game = {
  id: demoGameId,
  title: "Kiln Street Herons v Port Ansel Lanterns",
  playedOn: "2026-09-19",
  level: "Saltmarsh Valley Flag League",
  homeName: "Kiln Street Herons",
  awayName: "Port Ansel Lanterns",
  playersPerSide: 7,
  templateId: "flag-100x40",
  fieldChoices: asTheTemplate,
  bookId: "flag-crew-of-four",
  lineJudgeSide: "far",
  crew: [
    { position: "R", name: "Tamsin Orrelby" },
    { position: "LJ", name: "Ivo Brandwick" },
    { position: "FJ", name: "Petra Quillane" },
    { position: "BJ", name: "Osric Hallowmere" },
  ],
};

/** The demo film as it was looked at on this machine. */
export type DemoFilm = Pick<
  Film,
  "path" | "sizeBytes" | "fingerprint" | "widthPx" | "heightPx" | "durationSec" | "codec"
>;

/** The whole demo game from its clicks. */
export function demoRecords(clicks: DemoClicks, demoFilm: DemoFilm): GameRecords {
  const film: Film = { id: filmId, gameId: demoGameId, order: 1, label: "Demo film", lens: null, ...demoFilm };
  const plays: Play[] = [];
  const moments: Moment[] = [];
  const stakes: Stake[] = [];
  const marks: Mark[] = [];
  for (const { moments: clickedMoments, situation, number, ...said } of clicks.plays) {
    const { offence, direction, down, scrimmageXYards, lineToGainXYards, ballYYards } = situation;
    const playId = `demo-play-${number}`;
    plays.push({
      id: playId,
      gameId: demoGameId,
      filmId,
      number,
      ...nothingSaid,
      ...said,
      kind: "pass",
      situation: {
        offence: offence === "herons" ? "home" : "away",
        direction,
        down,
        scrimmageXYards,
        lineToGainXYards,
        ballYYards,
      },
    });
    for (const [momentIndex, clicked] of clickedMoments.entries()) {
      const key = `${number}-${momentIndex + 1}`;
      const momentId = `demo-moment-${key}`;
      const { phase, frameIndex } = clicked;
      moments.push({
        id: momentId,
        gameId: demoGameId,
        playId,
        filmId,
        phase,
        frameIndex,
        timeSec: frameIndex / demoFramesPerSecond,
      });
      for (const [index, { landmarkId, uPx, vPx }] of clicked.stakes.entries()) {
        stakes.push({
          id: `demo-stake-${key}-${index + 1}`,
          gameId: demoGameId,
          momentId,
          kind: "point",
          landmarkId,
          click: { uPx, vPx },
          raw: null,
          sigmaPx: defaultStakeSigmaPx,
        });
      }
      for (const [index, mark] of clicked.marks.entries()) {
        marks.push({
          id: `demo-mark-${key}-${index + 1}`,
          gameId: demoGameId,
          momentId,
          subject: subjectOf(mark),
          click: { uPx: mark.uPx, vPx: mark.vPx },
          sigmaPx: defaultMarkSigmaPx,
          facing: mark.kind === "official" ? mark.facing : null,
        });
      }
    }
  }
  return { ...emptyGame, game, films: [film], plays, moments, stakes, marks };
}

function subjectOf(mark: DemoMark): MarkSubject {
  switch (mark.kind) {
    case "official":
      return { kind: "official", position: mark.position };
    case "player":
      return { kind: "player", side: mark.team, role: mark.role };
    case "ball":
      return { kind: "ball" };
  }
}
