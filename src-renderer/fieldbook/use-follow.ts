import { useCallback, useEffect, useRef, useState } from "react";
import type { Followed } from "#core/carry/follow";
import type { FrameHere } from "#core/game/edits";
import type { GameRecords, Moment } from "#core/game/records";
import type { FilmSurveys } from "#core/scoring/film-surveys";
import { standingsOf } from "#core/scoring/ghosts";
import { followInFilm } from "../stage/carry/follow-people.ts";

/** Following the people of a moment to the frame in view: at rest, or under way with how far it is. */
export type FollowWork =
  | { readonly kind: "resting" }
  | { readonly kind: "working"; readonly done: number; readonly total: number };

export type Following = {
  readonly work: FollowWork;
  /** Whether it can be: the moment is on this film, and every frame on the way has a survey. */
  readonly possible: boolean;
  /** What came of it, by mark; null until it was done for this moment and this frame. */
  readonly followed: ReadonlyMap<string, Followed> | null;
  readonly start: () => Promise<void>;
  readonly cancel: () => void;
};

type Done = {
  readonly sourceId: string;
  readonly frameIndex: number;
  readonly followed: ReadonlyMap<string, Followed>;
};

export function useFollow(given: {
  readonly records: GameRecords;
  readonly source: Moment | null;
  readonly here: FrameHere | null;
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  readonly tell: (message: string) => void;
}): Following {
  const { records, source, here, surveysOf, tell } = given;
  const [work, setWork] = useState<FollowWork>({ kind: "resting" });
  const [done, setDone] = useState<Done | null>(null);
  const running = useRef<AbortController | null>(null);
  const cancel = useCallback(() => running.current?.abort(), []);
  const sourceId = source?.id;
  const frameIndex = here?.frameIndex;
  useEffect(() => cancel, [cancel, sourceId, frameIndex]);

  const start = async () => {
    const surveys = here && surveysOf(here.film.id);
    if (!source || !here || !surveys || running.current) return;
    const people = standingsOf(records, source, surveysOf);
    const first = Math.min(source.frameIndex, here.frameIndex);
    const count = Math.abs(source.frameIndex - here.frameIndex) + 1;
    const seeings = Array.from({ length: count }, (_, i) => surveys.at(first + i)).flatMap((state) => {
      if (state.kind !== "solved") return [];
      const { homography, inverse, image, lens } = state.survey;
      return [{ homography, inverse, image, ...(lens ? { lens } : {}) }];
    });
    if (seeings.length < count) return tell("Carry the survey through this play first, to every frame on the way.");
    const own = new AbortController();
    running.current = own;
    setWork({ kind: "working", done: 0, total: 1 });
    const result = await followInFilm(
      {
        url: new URL(`/film/${here.film.id}`, location.href).href,
        fromIndex: source.frameIndex,
        toIndex: here.frameIndex,
        seeings,
        starts: people.map(({ ground }) => ground),
      },
      { signal: own.signal, onProgress: (part, total) => setWork({ kind: "working", done: part, total }) },
    );
    running.current = null;
    setWork({ kind: "resting" });
    if (own.signal.aborted) return;
    if (!result.ok) return tell(result.message);
    const followed = new Map(people.map(({ id }, i) => [id, result.followed[i]!]));
    setDone({ sourceId: source.id, frameIndex: here.frameIndex, followed });
  };

  return {
    work,
    possible: source !== null && here !== null && isSurveyedBetween(records, source, here),
    followed: done && done.sourceId === sourceId && done.frameIndex === frameIndex ? done.followed : null,
    start,
    cancel,
  };
}

/** Whether every frame between a moment and the frame in view has stakes or was carried to. */
function isSurveyedBetween(records: GameRecords, source: Moment, here: FrameHere): boolean {
  if (source.filmId !== here.film.id || source.frameIndex === here.frameIndex) return false;
  const moments = records.moments.filter(({ filmId }) => filmId === here.film.id);
  const ids = new Set(moments.map(({ id }) => id));
  const carries = records.carries.filter(({ momentId }) => ids.has(momentId));
  const staked = new Set(records.stakes.map(({ momentId }) => momentId));
  const own = new Set(moments.filter(({ id }) => staked.has(id)).map(({ frameIndex }) => frameIndex));
  const last = Math.max(source.frameIndex, here.frameIndex);
  for (let frame = Math.min(source.frameIndex, here.frameIndex); frame <= last; frame++) {
    const isCarried = carries.some(
      ({ firstIndex, frameCount }) => frame >= firstIndex && frame < firstIndex + frameCount,
    );
    if (!isCarried && !own.has(frame)) return false;
  }
  return true;
}
