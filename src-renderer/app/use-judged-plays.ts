import { useEffect, useMemo, useState } from "react";
import type { FieldLayout } from "#core/field/template";
import type { GameRecords, Play } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import { filmSurveys, type FilmSurveys } from "#core/scoring/film-surveys";
import type { Finding } from "#core/scoring/finding";
import { type JudgedPlay, judgePlayRecords } from "#core/scoring/judge-play";

export type JudgedPlays = {
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  /** Findings of each play judged so far, by its id: those of the play and of its moments. */
  readonly findings: ReadonlyMap<string, readonly Finding[]>;
  readonly judged: ReadonlyMap<string, JudgedPlay>;
  readonly isDone: boolean;
};

/** Between two plays the window gets its turn. */
const pauseMs = 4;

/** Judges all plays of a game in slices, again whenever what they rest on has changed. */
export function useJudgedPlays(records: GameRecords, layout: FieldLayout, book: Book | null): JudgedPlays {
  const { films, game, plays, angles, moments, stakes, carries, marks } = records;
  const surveysOf = useMemo(() => {
    const made = new Map(films.map((film) => [film.id, filmSurveys({ moments, stakes, carries }, film, layout)]));
    return (filmId: string) => made.get(filmId) ?? null;
  }, [films, moments, stakes, carries, layout]);
  const [findings, setFindings] = useState<ReadonlyMap<string, readonly Finding[]>>(new Map());
  const [judged, setJudged] = useState<ReadonlyMap<string, JudgedPlay>>(new Map());
  const [isDone, setDone] = useState(false);

  useEffect(() => {
    if (!book) return;
    const marked = new Set(moments.map(({ playId }) => playId));
    const waiting: Play[] = plays.filter((play) => marked.has(play.id));
    const found = new Map<string, readonly Finding[]>();
    const all = new Map<string, JudgedPlay>();
    setDone(false);
    let timer = 0;
    const next = () => {
      const play = waiting.shift();
      if (!play) {
        setFindings(found);
        setJudged(all);
        setDone(true);
        return;
      }
      const one = judgePlayRecords({ game, angles, moments, marks }, play, { surveysOf, layout, book });
      all.set(play.id, one);
      found.set(play.id, [...one.findings, ...one.moments.flatMap((moment) => moment.judged.findings)]);
      timer = window.setTimeout(next, pauseMs);
    };
    timer = window.setTimeout(next, pauseMs);
    return () => window.clearTimeout(timer);
  }, [plays, game, angles, moments, marks, surveysOf, layout, book]);

  return { surveysOf, findings, judged, isDone };
}
