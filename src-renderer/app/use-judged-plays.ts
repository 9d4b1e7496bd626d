import { useEffect, useMemo, useState } from "react";
import type { FieldLayout } from "#core/field/template";
import type { GameRecords, Play } from "#core/game/records";
import type { Book } from "#core/mechanics/book";
import type { FilmSurveys } from "#core/scoring/film-surveys";
import type { Finding } from "#core/scoring/finding";
import type { JudgedPlay } from "#core/scoring/judge-play";
import { judgeAndKeep, judgedBefore, keptSurveys, recordsOfPlays } from "#core/scoring/kept-judgements";

export type JudgedPlays = {
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  /** Findings of each play judged so far, by its id: those of the play and of its moments. */
  readonly findings: ReadonlyMap<string, readonly Finding[]>;
  readonly judged: ReadonlyMap<string, JudgedPlay>;
  readonly isDone: boolean;
};

/** Between two plays the window gets its turn. */
const pauseMs = 4;

/** Judges all plays of a game in slices, and those whose records have changed again. */
export function useJudgedPlays(records: GameRecords, layout: FieldLayout, book: Book | null): JudgedPlays {
  const { films, game, plays, angles, moments, stakes, carries, marks } = records;
  const surveysOf = useMemo(() => {
    const made = new Map(films.map((film) => [film.id, keptSurveys({ moments, stakes, carries }, film, layout)]));
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
    const ofPlays = recordsOfPlays({ game, angles, moments, marks });
    const given = { surveysOf, layout, book };
    const keep = (play: Play, one: JudgedPlay) => {
      all.set(play.id, one);
      found.set(play.id, [...one.findings, ...one.moments.flatMap((moment) => moment.judged.findings)]);
    };
    const next = () => {
      // Those that were judged before take no time; one that was not takes a turn of its own.
      let play = waiting.shift();
      for (; play; play = waiting.shift()) {
        const before = judgedBefore(ofPlays, play, given);
        if (before === null) break;
        keep(play, before);
      }
      if (!play) {
        setFindings(found);
        setJudged(all);
        setDone(true);
        return;
      }
      keep(play, judgeAndKeep(ofPlays, play, given));
      timer = window.setTimeout(next, pauseMs);
    };
    timer = window.setTimeout(next, pauseMs);
    return () => window.clearTimeout(timer);
  }, [plays, game, angles, moments, marks, surveysOf, layout, book]);

  return { surveysOf, findings, judged, isDone };
}
