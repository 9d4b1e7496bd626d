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
  const { film, records, play, here, tell, seekWhenOpen, setSeekWhenOpen, setFilmId } = fieldbook;
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

  /** Where each play of this film is gone to: its first moment, or where it begins. */
  const playStarts = useMemo(() => {
    if (!film) return [];
    const moments = Map.groupBy(
      records.moments.filter((one) => one.filmId === film.id),
      (one) => one.playId,
    );
    return playsOn(records, film.id)
      .map(({ id, startSec }) => Math.min(...(moments.get(id)?.map((one) => one.timeSec) ?? [startSec])))
      .toSorted((a, b) => a - b);
  }, [film, records]);
  /** Where the play of an instant is gone to within itself: its moments, judged or proposed. */
  const stopsAt = useCallback(
    (nowSec: number) => {
      const there = film ? playAt(records, film.id, nowSec) : null;
      if (!film || !there) return [];
      const times = stopsOf(records, there).flatMap(({ playSec, moment }) =>
        moment?.filmId === film.id ? moment.timeSec : (toFilmSec(there, records.angles, film.id, playSec) ?? []),
      );
      return times.toSorted((a, b) => a - b);
    },
    [film, records],
  );
  const goTo = useCallback(
    (next: number | undefined) => {
      if (next !== undefined) void player?.seekTime(next);
    },
    [player],
  );
  const goToPlay = useCallback(
    (way: 1 | -1) => goTo(player ? beside(playStarts, player.getState().timeSec, playSlackSec, way) : undefined),
    [goTo, player, playStarts],
  );
  // By where the film stands, as with an angle: whoever presses twice goes on by two.
  const goToStop = useCallback(
    (way: 1 | -1) => {
      if (!player) return;
      const { timeSec } = player.getState();
      goTo(beside(stopsAt(timeSec), timeSec, stopSlackSec, way));
    },
    [goTo, player, stopsAt],
  );
  // What one key would go to from here is decoded before the key comes.
  const hereSec = here?.timeSec;
  useEffect(() => {
    if (!player || hereSec === undefined) return;
    const stops = stopsAt(hereSec);
    const next = [
      beside(playStarts, hereSec, playSlackSec, 1),
      beside(stops, hereSec, stopSlackSec, 1),
      beside(playStarts, hereSec, playSlackSec, -1),
      beside(stops, hereSec, stopSlackSec, -1),
    ];
    player.expect(next.filter((sec) => sec !== undefined));
  }, [player, hereSec, playStarts, stopsAt]);
  const go = (timeSec: number) => {
    if (player) void player.seekTime(timeSec);
    else if (film) setSeekWhenOpen({ filmId: film.id, timeSec });
  };
  /** To an instant of the play, on the clock of its own film. */
  const goInPlay = (playSec: number) =>
    go((play && film ? toFilmSec(play, records.angles, film.id, playSec) : null) ?? playSec);

  return { go, goInPlay, goToPlay, goToStop, goToAngle, nextAngle, toggleLoop: () => toggleLoop(player, onFilm) };
}

/** Within half a frame one stands on it already; plays that are gone to stand on a frame's own time. */
const stopSlackSec = 0.02;
const playSlackSec = 0.001;

/** The next of these times, which are in order, on one side of an instant and further from it than the slack. */
function beside(times: readonly number[], nowSec: number, slackSec: number, way: 1 | -1): number | undefined {
  return way > 0 ? times.find((time) => time > nowSec + slackSec) : times.findLast((time) => time < nowSec - slackSec);
}
