import { useCallback, useEffect, useMemo } from "react";
import {
  asOnFilm,
  type FilmInstant,
  nextAngle as nextAngleOf,
  playAt,
  playsOn,
  sameInstant,
  toFilmSec,
} from "#core/game/angles";
import { stopsOf } from "#core/game/moment-proposals";
import { toggleLoop } from "../stage/film/film-actions.ts";
import type { OpenedFilm } from "../stage/film/use-film.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

export type FilmWalk = ReturnType<typeof useFilmWalk>;

/** Ways through the film: to an instant, from play to play, from moment to moment, and from angle to angle. */
export function useFilmWalk(fieldbook: Fieldbook, opened: OpenedFilm) {
  const { film, records, play, tell, seekWhenOpen, setSeekWhenOpen, setFilmId } = fieldbook;
  const player = opened.kind === "open" ? opened.player : null;
  const onFilm = useMemo(
    () => (play && film ? asOnFilm(play, records.angles, film.id) : null),
    [play, film, records.angles],
  );
  // Another angle opens at the instant that one left; the film must be open before it can be gone to.
  useEffect(() => {
    if (opened.kind !== "open" || seekWhenOpen === null || seekWhenOpen.filmId !== opened.filmId) return;
    setSeekWhenOpen(null);
    void opened.player.seekTime(seekWhenOpen.timeSec);
  }, [opened, seekWhenOpen, setSeekWhenOpen]);
  const goToInstant = useCallback(
    ({ filmId, timeSec }: FilmInstant) => {
      const there = records.films.find(({ id }) => id === filmId);
      if (!there) return;
      if (timeSec < 0 || timeSec >= there.durationSec)
        tell(`${there.label} does not reach this instant: it stands on its nearest frame.`);
      setSeekWhenOpen({ filmId, timeSec });
      setFilmId(filmId);
    },
    [records.films, setFilmId, setSeekWhenOpen, tell],
  );
  // By where the film stands, and not by the frame that is shown: a key may come before the picture.
  const goToAngle = useCallback(
    (filmId: string) => {
      if (!player || !film || filmId === film.id) return;
      const { timeSec } = player.getState();
      const at = playAt(records, film.id, timeSec);
      const there = at ? sameInstant(at, records.angles, { filmId: film.id, timeSec }, filmId) : null;
      if (there) goToInstant(there);
    },
    [film, goToInstant, player, records],
  );
  const nextAngle = useCallback(() => {
    const there = player && film ? nextAngleOf(records, { filmId: film.id, timeSec: player.getState().timeSec }) : null;
    if (there) goToInstant(there);
  }, [film, goToInstant, player, records]);

  const goToPlay = useCallback(
    (way: 1 | -1) => {
      if (!player || !film) return;
      const starts = playsOn(records, film.id).map((candidate) => {
        const moments = records.moments
          .filter((one) => one.playId === candidate.id && one.filmId === film.id)
          .map((one) => one.timeSec);
        return moments.length > 0 ? Math.min(...moments) : candidate.startSec;
      });
      const now = player.getState().timeSec;
      const next =
        way > 0
          ? starts.filter((start) => start > now + 0.001).toSorted((a, b) => a - b)[0]
          : starts.filter((start) => start < now - 0.001).toSorted((a, b) => b - a)[0];
      if (next !== undefined) void player.seekTime(next);
    },
    [film, player, records],
  );

  const goToStop = useCallback(
    (way: 1 | -1) => {
      if (!player || !film || !play) return;
      const now = player.getState().timeSec;
      const times = stopsOf(records, play).flatMap(({ playSec, moment: there }) =>
        there?.filmId === film.id ? there.timeSec : (toFilmSec(play, records.angles, film.id, playSec) ?? []),
      );
      // Within half a frame one stands on it already.
      const next =
        way > 0
          ? times.filter((time) => time > now + 0.02).toSorted((a, b) => a - b)[0]
          : times.filter((time) => time < now - 0.02).toSorted((a, b) => b - a)[0];
      if (next !== undefined) void player.seekTime(next);
    },
    [film, play, player, records],
  );
  const go = (timeSec: number) => {
    if (player) void player.seekTime(timeSec);
    else if (film) setSeekWhenOpen({ filmId: film.id, timeSec });
  };
  /** To an instant of the play, on the clock of its own film. */
  const goInPlay = (playSec: number) =>
    go((play && film ? toFilmSec(play, records.angles, film.id, playSec) : null) ?? playSec);

  return { go, goInPlay, goToPlay, goToStop, goToAngle, nextAngle, toggleLoop: () => toggleLoop(player, onFilm) };
}
