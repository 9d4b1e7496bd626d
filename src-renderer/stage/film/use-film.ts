import { useEffect, useRef, useState } from "react";
import type { Film } from "#core/game/records";
import { createFilmPlayer, type FilmPlayer } from "./film-player.ts";
import { type OpenFailure, openFilm } from "./film-reader.ts";

export type OpenedFilm =
  | { readonly kind: "opening"; readonly reachedSec: number }
  | {
      readonly kind: "open";
      /** The film that is open: for a moment after another is chosen it is still the one before. */
      readonly filmId: string;
      readonly player: FilmPlayer;
      readonly frameCount: number;
      readonly frameAt: (timeSec: number) => number;
      readonly timeOf: (frameIndex: number) => number;
    }
  | { readonly kind: "failed"; readonly failure: OpenFailure };

/** Where each film was left, so that coming back to the place finds the same frame. */
const leftAt = new Map<string, number>();

/** Where a film opens next, instead of where it was left. Seconds. */
const opensAt = new Map<string, number>();

export function openNextAt(filmId: string, timeSec: number): void {
  opensAt.set(filmId, timeSec);
}

/**
 * Opens a film on the pane's two surfaces, and lets go of it when another is chosen or the place is left. It opens where it was
 * left, and at `startSec` where it was left at its beginning or never looked at.
 */
export function useFilm(film: Film | null, present: boolean, startSec = 0) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const video = useRef<HTMLVideoElement>(null);
  const [opened, setOpened] = useState<OpenedFilm>({ kind: "opening", reachedSec: 0 });
  const [tries, setTries] = useState(1);
  const filmId = film?.id ?? null;
  const start = useRef(startSec);
  start.current = startSec;

  useEffect(() => {
    if (filmId === null || !present) {
      // Whoever held the film's player lets go of it with the film.
      setOpened({ kind: "opening", reachedSec: 0 });
      return;
    }
    const given = new AbortController();
    let close = () => {};
    setOpened({ kind: "opening", reachedSec: 0 });
    void openFilm(`/film/${filmId}`, {
      signal: given.signal,
      onIndexing: (reachedSec) => setOpened({ kind: "opening", reachedSec }),
    }).then((result) => {
      if (given.signal.aborted) {
        if (result.ok) result.film.dispose();
        return;
      }
      if (!result.ok) return setOpened({ kind: "failed", failure: result });
      if (!canvas.current || !video.current) return result.film.dispose();
      const wantedSec = opensAt.get(filmId);
      opensAt.delete(filmId);
      const left = leftAt.get(filmId) ?? 0;
      const player = createFilmPlayer({
        film: result.film,
        canvas: canvas.current,
        video: video.current,
        startIndex: wantedSec === undefined && left > 0 ? left : result.film.frameAt(wantedSec ?? start.current),
      });
      close = () => {
        leftAt.set(filmId, player.getState().frameIndex);
        player.dispose();
        result.film.dispose();
      };
      setOpened({
        kind: "open",
        filmId,
        player,
        frameCount: result.film.frameCount,
        frameAt: (timeSec) => result.film.frameAt(timeSec),
        timeOf: (frameIndex) => result.film.timeOf(frameIndex),
      });
    });
    return () => {
      given.abort();
      close();
    };
  }, [filmId, present, tries]);

  return { canvas, video, opened, tryAgain: () => setTries((count) => count + 1) };
}
