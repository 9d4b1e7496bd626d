import { useCallback, useEffect, useRef, useState } from "react";
import { groundEdgeOf } from "#core/carry/ground-edge";
import { packFrames } from "#core/carry/pack";
import { asOnFilm } from "#core/game/angles";
import { type Change, put, remove } from "#core/game/changes";
import type { Carry, Play } from "#core/game/records";
import { carryPlay } from "../stage/carry/carry-play.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** Carrying a survey through a play: at rest, or under way with how far it is. */
export type CarryWork =
  | { readonly kind: "resting" }
  | { readonly kind: "working"; readonly done: number; readonly total: number };

/** Frames of the open film, as the carrier needs them. */
export type FilmFrames = {
  readonly frameAt: (timeSec: number) => number;
  readonly timeOf: (frameIndex: number) => number;
};

export function useCarry(fieldbook: Fieldbook, frames: FilmFrames | null) {
  const { film, records, surveys, edit, newId, tell } = fieldbook;
  const [work, setWork] = useState<CarryWork>({ kind: "resting" });
  const running = useRef<AbortController | null>(null);
  const cancel = useCallback(() => running.current?.abort(), []);
  useEffect(() => cancel, [cancel, film?.id]);

  const carry = async (play: Play) => {
    if (!film || !frames || !surveys || running.current) return;
    const anchors = surveyedMoments(fieldbook, play);
    const { startSec, endSec } = asOnFilm(play, records.angles, film.id) ?? play;
    const firstIndex = frames.frameAt(startSec);
    // A play ends before the frame that starts at its end.
    const atEnd = frames.frameAt(endSec);
    const lastIndex = frames.timeOf(atEnd) >= endSec - 1e-6 ? Math.max(firstIndex, atEnd - 1) : atEnd;
    const given = new AbortController();
    running.current = given;
    setWork({ kind: "working", done: 0, total: lastIndex - firstIndex + 1 });
    const result = await carryPlay(
      {
        url: new URL(`/film/${film.id}`, location.href).href,
        firstIndex,
        lastIndex,
        anchors: anchors.map(({ frameIndex: index }) => {
          const state = surveys.at(index);
          return { index, groundEdge: state.kind === "solved" ? groundEdgeOf(state.survey) : null };
        }),
      },
      { signal: given.signal, onProgress: (done, total) => setWork({ kind: "working", done, total }) },
    );
    running.current = null;
    setWork({ kind: "resting" });
    if (given.signal.aborted) return;
    if (!result.ok) return tell(result.message);
    const changes: Change[] = carriesOf(fieldbook, play).map((old) => remove("carry", old));
    for (const track of result.tracks) {
      const moment = anchors.find((candidate) => candidate.frameIndex === track.anchorIndex);
      const [first] = track.frames;
      if (!moment || !first) continue;
      const made: Carry = {
        id: newId(),
        gameId: records.game.id,
        momentId: moment.id,
        firstIndex: first.frameIndex,
        frameCount: track.frames.length,
        frames: packFrames(track.frames),
        stopBefore: track.stopBefore?.reason ?? null,
        stopAfter: track.stopAfter?.reason ?? null,
      };
      changes.push(put("carry", null, made));
    }
    await edit(`Carry the survey through play ${play.number}`, changes);
  };
  return { work, carry, cancel };
}

export type CarryHand = ReturnType<typeof useCarry>;

/** Moments of a play that are surveyed on their own frame: what a survey can be carried from. */
export function surveyedMoments({ records, surveys, film }: Fieldbook, play: Play) {
  return records.moments
    .filter((moment) => moment.playId === play.id && moment.filmId === film?.id)
    .filter((moment) => records.stakes.some((stake) => stake.momentId === moment.id))
    .filter((moment) => surveys?.at(moment.frameIndex).kind === "solved")
    .toSorted((a, b) => a.frameIndex - b.frameIndex);
}

/** What was carried through a play on the film in view. */
export function carriesOf({ records, film }: Fieldbook, play: Play): Carry[] {
  const own = records.moments.filter((moment) => moment.playId === play.id && moment.filmId === film?.id);
  const moments = new Set(own.map((moment) => moment.id));
  return records.carries.filter((carry) => moments.has(carry.momentId));
}
