import { useEffect, useMemo, useState } from "react";
import { playSecOf, toPlaySec } from "#core/game/angles";
import { type FrameHere, sameSubject } from "#core/game/edits";
import type { GameRecords, Mark, Moment, Play } from "#core/game/records";
import type { FilmSurveys, SurveyState } from "#core/scoring/film-surveys";
import { formationCarried, type Ghost, ghostsOf, nearestMarked, type Placed } from "#core/scoring/ghosts";
import { type Following, useFollow } from "./use-follow.ts";

export type Ghosts = {
  /** Whom one can still bring over, in the order they are gone through. */
  readonly list: readonly Ghost[];
  /** The one that the next click places; null while a person of one's own choice is placed. */
  readonly next: Ghost | null;
  /** The moment they come from. */
  readonly source: { readonly moment: Moment; readonly play: Play } | null;
  /** Plays before the snap of which one can copy the formation. */
  readonly formations: readonly { readonly moment: Moment; readonly play: Play }[];
  readonly choose: (id: string | null) => void;
  readonly leaveOut: (id: string) => void;
  /** Placed and being written: the next one's turn comes before the library has answered. */
  readonly writing: (people: readonly Placed[]) => void;
  /** The library has answered: they are marks now, or were refused. */
  readonly written: (people: readonly Placed[]) => void;
  /** Takes the formation of another play; null goes back to this play's own moment. */
  readonly copyFrom: (momentId: string | null) => void;
  /** Following them through the film to where they are now. */
  readonly following: Following;
};

/** People of another moment, proposed in this frame while its marks are being placed. */
export function useGhosts(given: {
  readonly page: string;
  readonly records: GameRecords;
  readonly play: Play | null;
  readonly moment: Moment | null;
  readonly here: FrameHere | null;
  readonly survey: SurveyState;
  readonly surveysOf: (filmId: string) => FilmSurveys | null;
  readonly marks: readonly Mark[];
  readonly tell: (message: string) => void;
}): Ghosts {
  const { page, records, play, moment, here, survey, surveysOf, marks, tell } = given;
  const [leftOut, setLeftOut] = useState<ReadonlySet<string>>(new Set());
  const [writing, setWriting] = useState<readonly Placed[]>([]);
  const [copied, copyFrom] = useState<string | null>(null);
  const [own, setOwn] = useState(false);
  const [chosenId, setChosenId] = useState<string | null>(null);
  const isOn = page === "marks" && survey.kind === "solved";
  const frameIndex = here?.frameIndex;
  const playId = play?.id;

  useEffect(() => {
    setLeftOut(new Set());
    setOwn(false);
    setChosenId(null);
  }, [frameIndex, copied]);
  useEffect(() => copyFrom(null), [playId]);

  const formations = useMemo(() => {
    if (!isOn || !play) return [];
    const marked = new Set(records.marks.map(({ momentId }) => momentId));
    return records.plays
      .filter((one) => one.number < play.number)
      .toSorted((a, b) => b.number - a.number)
      .flatMap((one) => {
        const set = records.moments.find(
          (candidate) => candidate.playId === one.id && candidate.phase === "pre-snap" && marked.has(candidate.id),
        );
        return set ? [{ moment: set, play: one }] : [];
      });
  }, [isOn, play, records.marks, records.moments, records.plays]);

  const source = useMemo(() => {
    if (!isOn || !play || !here) return null;
    const other = formations.find((one) => one.moment.id === copied);
    if (other) return other;
    const playSec = toPlaySec(play, records.angles, here.film.id, here.timeSec) ?? here.timeSec;
    const near = nearestMarked(records, play, { momentId: moment?.id ?? null, playSec }, (one) =>
      playSecOf(play, records.angles, one),
    );
    return near ? { moment: near, play } : null;
  }, [isOn, play, here, records, moment, formations, copied]);

  const ofThisPlay = source !== null && source.play.id === playId ? source.moment : null;
  const following = useFollow({ records, source: ofThisPlay, here, surveysOf, tell });
  const { followed } = following;

  const list = useMemo(() => {
    if (!source || survey.kind !== "solved" || !play) return [];
    const carried = source.play.id === play.id ? undefined : formationCarried(source.play.situation, play.situation);
    return ghostsOf({
      records,
      source: source.moment,
      surveysOf,
      survey: survey.survey,
      there: [...marks, ...writing.filter((one) => !marks.some((mark) => isSame(mark, one)))],
      ...(carried ? { carried } : {}),
      ...(followed ? { followed } : {}),
    }).filter(({ id }) => !leftOut.has(id));
  }, [source, survey, play, records, surveysOf, marks, leftOut, writing, followed]);

  return {
    list,
    next: own ? null : (list.find(({ id }) => id === chosenId) ?? list[0] ?? null),
    source,
    formations,
    choose: (id) => {
      setOwn(id === null);
      setChosenId(id);
    },
    leaveOut: (id) => setLeftOut(new Set([...leftOut, id])),
    writing: (people) => setWriting((before) => [...before, ...people]),
    written: (people) => setWriting((before) => before.filter((one) => !people.includes(one))),
    copyFrom,
    following,
  };
}

function isSame(mark: Mark, { subject, click }: Placed): boolean {
  return mark.click.uPx === click.uPx && mark.click.vPx === click.vPx && sameSubject(mark.subject, subject);
}
