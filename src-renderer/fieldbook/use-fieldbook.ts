import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { type FieldLayout, fieldOf } from "#core/field/template";
import type { ImagePoint } from "#core/field/units";
import { inOrder, playAt } from "#core/game/angles";
import { applyChanges, type Change, put, remove } from "#core/game/changes";
import {
  clickLine,
  ensureMoment,
  type FrameHere,
  momentAt,
  movedStake,
  newStake,
  placeAll,
  placeMark,
  sigmaOf,
} from "#core/game/edits";
import type {
  Film,
  GameRecords,
  LineClick,
  Mark,
  MarkSubject,
  Moment,
  Play,
  Situation,
  Stake,
} from "#core/game/records";
import { bookInQuarter } from "#core/mechanics/second-half";
import type { FilmSurveys, SurveyState } from "#core/scoring/film-surveys";
import { judgeAndKeep, keptSurveys, recordsOfPlays } from "#core/scoring/kept-judgements";
import { type JudgedMoment, judgeMoment } from "#core/scoring/judge-moment";
import type { JudgedPlay } from "#core/scoring/judge-play";
import { type ErrorShade, errorShade } from "#core/picture/error-picture";
import { subjectName } from "#core/picture/mark-glyph";
import { type Ghost, placedGhost } from "#core/scoring/ghosts";
import { useFailures } from "../app/failures.tsx";
import type { GameCache, GameState } from "../app/game-cache.ts";
import { useService } from "../app/service.tsx";
import { useBook } from "../app/use-book.ts";
import { useReadOnly } from "../app/use-read-only.ts";
import { useTurns } from "../app/use-turns.ts";
import { useGhosts } from "./use-ghosts.ts";
import { useJudgedBeside } from "./use-judged-beside.ts";

export type Page = "play" | "survey" | "marks" | "findings";

/** What is chosen on the frame. Choosing never enters history. */
export type Chosen =
  | { readonly kind: "stake"; readonly id: string; /** Which click of a line. */ readonly click: number }
  | { readonly kind: "mark"; readonly id: string }
  | null;

/** What the next click on the frame stakes: a point once, a line as often as one clicks. */
export type StakeTarget = { readonly kind: "point" | "line"; readonly id: string };

/** A point being dragged: shown and measured as it moves, written once when it is let go. */
export type Draft =
  | { readonly kind: "stake"; readonly id: string; readonly click: number; readonly at: ImagePoint }
  | { readonly kind: "mark" | "facing" | "ghost"; readonly id: string; readonly at: ImagePoint }
  | null;

/** A play on its way to being tied to another film: which instant of it is looked for there. */
export type Tie = { readonly playId: string; readonly playInstantSec: number; readonly filmId: string };

const newId = () => crypto.randomUUID();

export type Fieldbook = ReturnType<typeof useFieldbook>;

/** Everything the field book's parts share: where one is in the film, what is there, and what one can do to it. */
export function useFieldbook(cache: GameCache) {
  const state: GameState = useSyncExternalStore(cache.subscribe, cache.getState);
  const { client } = useService();
  const { attempt, tell } = useFailures();
  const { records } = state;
  const readOnly = useReadOnly(records);
  const [filmId, setFilmId] = useState<string | null>(cache.filmInView ?? inOrder(records.films)[0]?.id ?? null);
  const [seekWhenOpen, setSeekWhenOpen] = useState<{ readonly filmId: string; readonly timeSec: number } | null>(null);
  const [tie, setTie] = useState<Tie | null>(null);
  const [here, setHere] = useState<FrameHere | null>(null);
  const [page, setPage] = useState<Page>("findings");
  const [chosen, choose] = useState<Chosen>(null);
  const [draft, setDraft] = useState<Draft>(null);
  const [pen, setPen] = useState<MarkSubject>({ kind: "official", position: records.game.crew[0]?.position ?? "R" });
  const [target, chooseTarget] = useState<StakeTarget | null>(null);
  const [unnamedClick, setUnnamedClick] = useState<ImagePoint | null>(null);
  const [pointed, point] = useState<string | null>(null);

  const { bookId, templateId, fieldChoices } = records.game;
  const book = useBook(bookId);
  const layout: FieldLayout = useMemo(() => fieldOf({ templateId, fieldChoices }), [templateId, fieldChoices]);
  const film = records.films.find((candidate) => candidate.id === filmId) ?? inOrder(records.films)[0] ?? null;
  useEffect(() => {
    cache.filmInView = film?.id ?? null;
  }, [cache, film]);
  const filmState = state.filmStates.find((candidate) => candidate.filmId === film?.id)?.state ?? "present";

  const moment: Moment | null = here ? momentAt(records, here.film.id, here.frameIndex) : null;
  const play: Play | null = here ? playAt(records, here.film.id, here.timeSec) : null;
  const situation: Situation = play?.situation ?? situationBefore(records, here, layout);
  const quarter = play?.quarter ?? null;
  const stakes = useMemo(() => withDraft(records.stakes, moment, draft), [records.stakes, moment, draft]);
  const marks = useMemo(() => withDraftMarks(records.marks, moment, draft), [records.marks, moment, draft]);

  const { moments: allMoments, stakes: allStakes, carries } = records;
  const { films } = records;
  const surveysOf: (filmId: string) => FilmSurveys | null = useMemo(() => {
    const made = new Map(
      films.map((one) => [one.id, keptSurveys({ moments: allMoments, stakes: allStakes, carries }, one, layout)]),
    );
    return (id) => made.get(id) ?? null;
  }, [allMoments, allStakes, carries, films, layout]);
  const surveys = film ? surveysOf(film.id) : null;
  const dragsStake = draft?.kind === "stake";
  const survey: SurveyState = useMemo(() => {
    if (!here || !surveys || surveys.film.id !== here.film.id) return { kind: "none" };
    return dragsStake ? surveys.withStakes(here.frameIndex, stakes) : surveys.at(here.frameIndex);
  }, [here, surveys, dragsStake, stakes]);
  const alone: JudgedMoment = useMemo(() => {
    if (!moment || !book) return { survey, placed: [], unplaced: [], findings: [], looks: null };
    const { lineJudgeSide } = records.game;
    const halfBook = bookInQuarter(book, quarter);
    return judgeMoment({ moment, situation, lineJudgeSide, survey, marks, layout, book: halfBook });
  }, [moment, book, situation, quarter, records.game, survey, marks, layout]);

  // The whole play is judged again when its marks, the surveys or the book change, and not while a point is dragged.
  const { game, angles, marks: allMarks } = records;
  const ofPlays = useMemo(
    () => recordsOfPlays({ game, angles, moments: allMoments, marks: allMarks }),
    [game, angles, allMoments, allMarks],
  );
  const judgedPlay: JudgedPlay | null = useMemo(
    () => (play && book ? judgeAndKeep(ofPlays, play, { surveysOf, layout, book }) : null),
    [play, book, surveysOf, layout, ofPlays],
  );
  useJudgedBeside(play, records.plays, book && { ofPlays, surveysOf, layout, book });
  const inPlay = draft === null ? judgedPlay?.moments.find((one) => one.moment.id === moment?.id)?.judged : undefined;
  const judged = inPlay ?? alone;
  const [instantSec, setInstantSec] = useState<number | null>(null);
  const [zonesShown, showZones] = useState(false);
  const playId = play?.id;
  const frameIndex = here?.frameIndex;
  useEffect(() => {
    setInstantSec(null);
  }, [playId, frameIndex]);

  const [shadeShown, showShade] = useState(false);
  const shade: ErrorShade | null = useMemo(
    () => (shadeShown && survey.kind === "solved" ? errorShade(layout, survey.survey) : null),
    [shadeShown, survey, layout],
  );

  const edit = useCallback(
    (label: string, changes: readonly Change[]) => attempt(() => cache.edit(label, changes)),
    [attempt, cache],
  );

  // What was chosen may have gone by an undo or in another window; what is still being written is not there yet.
  const written = useRef<string | null>(null);
  useEffect(() => {
    if (!chosen) return;
    const rows = chosen.kind === "stake" ? records.stakes : records.marks;
    if (rows.some((row) => row.id === chosen.id)) written.current = chosen.id;
    else if (written.current === chosen.id) choose(null);
  }, [chosen, records.marks, records.stakes]);
  useEffect(() => {
    setUnnamedClick(null);
  }, [here?.frameIndex, page]);

  const ghosts = useGhosts({ page, records, play, moment, here, survey, surveysOf, marks, tell });
  const { writing: onWriting, written: onWritten } = ghosts;
  const inTurn = useTurns();
  const changePlay = useCallback(
    (label: string, id: string, change: (now: Play) => Play) =>
      inTurn(async () => {
        const now = cache.getState().records.plays.find((one) => one.id === id);
        if (now) await edit(`${label} of play ${now.number}`, [put("play", now, change(now))]);
      }),
    [cache, edit, inTurn],
  );
  const placeGhosts = useCallback(
    async (label: string, list: readonly (Ghost & { readonly click?: ImagePoint })[]) => {
      if (!here || survey.kind !== "solved" || list.length === 0) return;
      const people = list.map((ghost) => ({
        subject: ghost.subject,
        ...placedGhost(ghost, ghost.click ?? ghost.at, survey.survey),
      }));
      onWriting(people);
      try {
        await inTurn(async () => {
          const { changes } = placeAll(cache.getState().records, here, situation, people, newId);
          await edit(label, changes);
        });
      } finally {
        onWritten(people);
      }
    },
    [cache, edit, here, inTurn, situation, survey, onWriting, onWritten],
  );

  const stakeAt = useCallback(
    async (click: LineClick, what: StakeTarget) => {
      if (!here) return tell("Stop the film on a frame first.");
      const name = nameOf(layout, what);
      setUnnamedClick(null);
      if (what.kind === "point") chooseTarget(null);
      // A second click on a line goes to the stake that the first one made, however soon it comes.
      await inTurn(async () => {
        const now = cache.getState().records;
        const { moment: on, changes } = ensureMoment(now, here, situation, newId);
        if (what.kind === "line") {
          const { stake, change } = clickLine(applyChanges(now, changes), on, what.id, click, newId);
          const writing = edit(`Stake on the ${name}`, [...changes, change]);
          choose({ kind: "stake", id: stake.id, click: stake.clicks.length - 1 });
          await writing;
          return;
        }
        const stake = newStake(on, what.id, click, newId);
        // Chosen before it is written: the arrows may move it while the library still writes.
        const writing = edit(`Stake at ${name}`, [...changes, put("stake", null, stake)]);
        choose({ kind: "stake", id: stake.id, click: 0 });
        await writing;
      });
    },
    [cache, edit, here, inTurn, layout, situation, tell],
  );

  const markAt = useCallback(
    async (click: ImagePoint, subject: MarkSubject) => {
      if (!here) return tell("Stop the film on a frame first.");
      await inTurn(async () => {
        const now = cache.getState().records;
        const { moment: on, changes } = ensureMoment(now, here, situation, newId);
        const { mark, change } = placeMark(applyChanges(now, changes), on, subject, click, newId);
        const writing = edit(`Mark ${subjectName(subject)}`, [...changes, change]);
        choose({ kind: "mark", id: mark.id });
        await writing;
      });
    },
    [cache, edit, here, inTurn, situation, tell],
  );

  const moveStake = useCallback(
    (stake: Stake, at: number, click: LineClick) =>
      edit("Move a stake", [put("stake", stake, movedStake(stake, at, click))]),
    [edit],
  );
  const renameStake = useCallback(
    (stake: Stake, named: string) =>
      edit("Name a stake", [
        put("stake", stake, stake.kind === "point" ? { ...stake, landmarkId: named } : { ...stake, lineId: named }),
      ]),
    [edit],
  );
  const moveMark = useCallback(
    (mark: Mark, click: ImagePoint) =>
      edit(`Move ${subjectName(mark.subject)}`, [put("mark", mark, { ...mark, click })]),
    [edit],
  );
  const face = useCallback(
    (mark: Mark, facing: ImagePoint | null) =>
      edit(`Facing of ${subjectName(mark.subject)}`, [put("mark", mark, { ...mark, facing })]),
    [edit],
  );
  // In its turn: a click that comes right after goes to what is there then, and not to what is on its way out.
  const takeAway = useCallback(
    (which: NonNullable<Chosen>) =>
      inTurn(async () => {
        const now = cache.getState().records;
        if (which.kind === "mark") {
          const mark = now.marks.find((candidate) => candidate.id === which.id);
          if (mark) await edit(`Take ${subjectName(mark.subject)} away`, [remove("mark", mark)]);
          return;
        }
        const stake = now.stakes.find((candidate) => candidate.id === which.id);
        if (!stake) return;
        const left = stake.kind === "line" ? stake.clicks.filter((_, index) => index !== which.click) : [];
        if (stake.kind === "line" && left.length > 0)
          await edit("Take a click of a line away", [
            put("stake", stake, { ...stake, clicks: left, sigmaPx: sigmaOf(left) }),
          ]);
        else await edit("Take a stake away", [remove("stake", stake)]);
      }),
    [cache, edit, inTurn],
  );

  return {
    cache,
    client,
    state,
    records,
    readOnly,
    book,
    layout,
    film,
    filmState,
    setFilmId,
    seekWhenOpen,
    setSeekWhenOpen,
    tie,
    setTie,
    here,
    setHere,
    play,
    moment,
    situation,
    stakes,
    marks,
    surveys,
    surveysOf,
    shadeShown,
    showShade,
    shade,
    judged,
    judgedPlay,
    instantSec,
    setInstantSec,
    zonesShown,
    showZones,
    page,
    setPage,
    chosen,
    choose,
    draft,
    setDraft,
    pen,
    setPen,
    target,
    chooseTarget,
    unnamedClick,
    setUnnamedClick,
    pointed,
    point,
    edit,
    ghosts,
    placeGhosts,
    changePlay,
    stakeAt,
    markAt,
    moveStake,
    renameStake,
    moveMark,
    face,
    takeAway,
    newId,
    attempt,
    tell,
  };
}

function withDraft(all: readonly Stake[], moment: Moment | null, draft: Draft): readonly Stake[] {
  const rows = all.filter((row) => row.momentId === moment?.id);
  if (draft?.kind !== "stake") return rows;
  return rows.map((row) => (row.id === draft.id ? movedStake(row, draft.click, { at: draft.at, raw: null }) : row));
}

/** The name a person would say for what is staked. */
export function nameOf(layout: FieldLayout, target: StakeTarget): string {
  const rows = target.kind === "point" ? layout.landmarks : layout.lines;
  return rows.find((row) => row.id === target.id)?.name ?? target.id;
}

export function targetOf(stake: Stake): StakeTarget {
  return stake.kind === "point" ? { kind: "point", id: stake.landmarkId } : { kind: "line", id: stake.lineId };
}

function withDraftMarks(all: readonly Mark[], moment: Moment | null, draft: Draft): readonly Mark[] {
  const rows = all.filter((row) => row.momentId === moment?.id);
  if (draft?.kind === "mark") return rows.map((row) => (row.id === draft.id ? { ...row, click: draft.at } : row));
  if (draft?.kind === "facing") return rows.map((row) => (row.id === draft.id ? { ...row, facing: draft.at } : row));
  return rows;
}

/** The situation of the play before this instant, or first and ten to twenty from the middle of a fresh game. */
function situationBefore(
  records: GameRecords,
  here: { film: Film; timeSec: number } | null,
  layout: FieldLayout,
): Situation {
  const before = records.plays
    .filter((play) => !here || (play.filmId === here.film.id && play.endSec <= here.timeSec))
    .toSorted((a, b) => a.number - b.number)
    .at(-1);
  if (before) return before.situation;
  const middle = layout.totalLengthYards / 2;
  return {
    offence: "home",
    direction: "right",
    down: 1,
    scrimmageXYards: middle - 10,
    lineToGainXYards: middle,
    ballYYards: layout.widthYards / 2,
  };
}
