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

/** The films of a game in their order. */
export function inOrder<F extends { readonly order: number }>(films: readonly F[]): F[] {
  return films.toSorted((a, b) => a.order - b.order);
}
