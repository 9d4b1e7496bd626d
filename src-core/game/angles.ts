import type { Angle, GameRecords, Moment, Play } from "./records.ts";

/**
 * Times of a play on its own film and on other angles of it. Both cameras keep time alike, so one instant that both show
 * ties them. Seconds of each film's own clock.
 */

export function angleOf(angles: readonly Angle[], playId: string, filmId: string): Angle | null {
  return angles.find((angle) => angle.playId === playId && angle.filmId === filmId) ?? null;
}

/** An instant of a film, on the clock of the play's own; null where the play is not on that film. */
export function toPlaySec(play: Play, angles: readonly Angle[], filmId: string, timeSec: number): number | null {
  if (filmId === play.filmId) return timeSec;
  const angle = angleOf(angles, play.id, filmId);
  return angle ? timeSec - angle.instantSec + angle.playInstantSec : null;
}

/** An instant of a play, on the clock of a film; null where the play is not on that film. */
export function toFilmSec(play: Play, angles: readonly Angle[], filmId: string, playSec: number): number | null {
  if (filmId === play.filmId) return playSec;
  const angle = angleOf(angles, play.id, filmId);
  return angle ? playSec - angle.playInstantSec + angle.instantSec : null;
}

/** A play with its times on the clock of a film that shows it; null where that film does not. */
export function asOnFilm(play: Play, angles: readonly Angle[], filmId: string): Play | null {
  if (filmId === play.filmId) return play;
  if (angleOf(angles, play.id, filmId) === null) return null;
  const on = (sec: number) => toFilmSec(play, angles, filmId, sec) ?? sec;
  const orNull = (sec: number | null) => (sec === null ? null : on(sec));
  return {
    ...play,
    filmId,
    startSec: on(play.startSec),
    endSec: on(play.endSec),
    snapSec: orNull(play.snapSec),
    releaseSec: orNull(play.releaseSec),
    catchSec: orNull(play.catchSec),
    deadSec: orNull(play.deadSec),
  };
}

/** The plays that a film shows, its own and as another angle, on its clock and in the order of their numbers. */
export function playsOn({ plays, angles }: Pick<GameRecords, "plays" | "angles">, filmId: string): Play[] {
  return plays.flatMap((play) => asOnFilm(play, angles, filmId) ?? []).toSorted((a, b) => a.number - b.number);
}

/** When a moment was, on the clock of its play's own film: a moment of another angle counts beside the play's own. */
export function playSecOf(play: Play, angles: readonly Angle[], moment: Moment): number {
  return toPlaySec(play, angles, moment.filmId, moment.timeSec) ?? moment.timeSec;
}

/** The play that a film shows at an instant, by its own film or as another angle of it. */
export function playAt(
  { plays, angles }: Pick<GameRecords, "plays" | "angles">,
  filmId: string,
  timeSec: number,
): Play | null {
  return (
    plays.find((play) => {
      const sec = toPlaySec(play, angles, filmId, timeSec);
      return sec !== null && sec >= play.startSec - 1e-6 && sec < play.endSec;
    }) ?? null
  );
}

/** Films that show a play: its own first, then the other angles in the order of the game's films. */
export function filmsOf(play: Play, { films, angles }: Pick<GameRecords, "films" | "angles">): string[] {
  const others = films.toSorted((a, b) => a.order - b.order).filter(({ id }) => angleOf(angles, play.id, id) !== null);
  return [play.filmId, ...others.map(({ id }) => id)];
}

/** An instant of a film of the game. */
export type FilmInstant = { readonly filmId: string; readonly timeSec: number };

/**
 * The same instant of the play on the next film that shows it, after the last on the first again; null where no play is
 * or no other film shows it. It may lie before that film's start or after its end.
 */
export function nextAngle(
  records: Pick<GameRecords, "films" | "plays" | "angles">,
  { filmId, timeSec }: FilmInstant,
): FilmInstant | null {
  const play = playAt(records, filmId, timeSec);
  if (!play) return null;
  const showing = filmsOf(play, records);
  const next = showing[(showing.indexOf(filmId) + 1) % showing.length];
  return next === undefined || next === filmId ? null : sameInstant(play, records.angles, { filmId, timeSec }, next);
}

/** An instant of a play on another film that shows it; null when either does not show the play. */
export function sameInstant(
  play: Play,
  angles: readonly Angle[],
  { filmId, timeSec }: FilmInstant,
  otherFilmId: string,
): FilmInstant | null {
  const playSec = toPlaySec(play, angles, filmId, timeSec);
  const there = playSec === null ? null : toFilmSec(play, angles, otherFilmId, playSec);
  return there === null ? null : { filmId: otherFilmId, timeSec: there };
}

/**
 * Where an instant of a play should be on another film, if that film ran on beside the play's own since the nearest play
 * that is tied to it; null without one, or where the film has no such instant. Seconds of the play's own film, in and of
 * the other film, out.
 */
export function proposedInstant(
  play: Play,
  { films, plays, angles }: Pick<GameRecords, "films" | "plays" | "angles">,
  filmId: string,
  playSec: number,
): { readonly instantSec: number; readonly from: Play } | null {
  const film = films.find(({ id }) => id === filmId);
  const tied = plays
    .filter((one) => one.id !== play.id && one.filmId === play.filmId && angleOf(angles, one.id, filmId) !== null)
    .toSorted((a, b) => Math.abs(a.startSec - play.startSec) - Math.abs(b.startSec - play.startSec))[0];
  const instantSec = tied ? toFilmSec(tied, angles, filmId, playSec) : null;
  if (!film || !tied || instantSec === null || instantSec < 0 || instantSec >= film.durationSec) return null;
  return { instantSec, from: tied };
}

/** The films of a game in their order. */
export function inOrder<F extends { readonly order: number }>(films: readonly F[]): F[] {
  return films.toSorted((a, b) => a.order - b.order);
}
