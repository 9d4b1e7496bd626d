import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { fieldOf } from "#core/field/template";
import { asOnFilm, playAt } from "#core/game/angles";
import type { Play, Ruling } from "#core/game/records";
import { type Evidence, evidenceOf, gradeColumns, gradedShare, ownFirst, scoreOfCell } from "#core/grading/grade-sheet";
import {
  gradesByCell,
  type GradeCell,
  type GradeEdit,
  gradeEdit,
  type GradeSaid,
  scaleOf,
  sealOf,
  takeGradeBack,
} from "#core/grading/grades";
import { noteEdit, noteOn, type NoteSubject } from "#core/grading/notes";
import { rulingEdit, type RulingSaid, takeRulingBack } from "#core/grading/rulings";
import { suggestedPoints } from "#core/grading/scales";
import { sealEdit } from "#core/grading/seal";
import { scoringVersion } from "#core/scoring/judge-moment";
import { measuredSpot } from "#core/scoring/measured-spot";
import { gameEvidence as gameEvidenceAsked, scoresOf } from "#core/scoring/play-scores";
import { useFailures } from "../app/failures.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { useService } from "../app/service.tsx";
import { useBook } from "../app/use-book.ts";
import { useGameFilm } from "../app/use-game-film.ts";
import { useJudgedPlays } from "../app/use-judged-plays.ts";
import { useWhoseGrades } from "./use-whose-grades.ts";
import { toggleLoop } from "../stage/film/film-actions.ts";
import { useTurns } from "../app/use-turns.ts";

const scaleKey = "crewglass.scale";

export type GradeSheet = ReturnType<typeof useGradeSheet>;

/** What the parts of the grade sheet share: the cell at hand, what is suggested and said there, and the film behind it. */
export function useGradeSheet(cache: GameCache, isFilmShown: boolean) {
  const state = useSyncExternalStore(cache.subscribe, cache.getState);
  const { info, settings } = useService();
  const { attempt, tell } = useFailures();
  const { records } = state;
  const whose = useWhoseGrades(records);
  const { authorId, isOwn } = whose;
  const said = useMemo(() => records.grades.filter((grade) => grade.authorId === authorId), [records.grades, authorId]);
  const layout = useMemo(() => fieldOf(records.game), [records.game]);
  const book = useBook(records.game.bookId);
  const judged = useJudgedPlays(records, layout, book);
  const plays = useMemo(() => records.plays.toSorted((a, b) => a.number - b.number), [records.plays]);
  const columns = useMemo(
    () => ownFirst(gradeColumns(judged.judged, { game: records.game, grades: said }), settings.ownPosition),
    [judged.judged, records.game, said, settings.ownPosition],
  );
  const [chosenScale, setChosenScale] = useState(() => localStorage.getItem(scaleKey) ?? "");
  const scale = scaleOf(said, chosenScale, settings.scales);
  const chooseScale = (id: string) => {
    localStorage.setItem(scaleKey, id);
    setChosenScale(id);
  };

  const [chosen, setChosen] = useState<GradeCell | null>(null);
  const first = columns[0]?.criteria[0];
  const firstPosition = columns[0]?.position;
  const at: GradeCell | null = useMemo(() => {
    if (chosen && (chosen.playId === null || plays.some(({ id }) => id === chosen.playId))) return chosen;
    return plays[0] && firstPosition !== undefined && first
      ? { playId: plays[0].id, position: firstPosition, criterion: first }
      : null;
  }, [chosen, plays, firstPosition, first]);
  const play: Play | null = plays.find(({ id }) => id === at?.playId) ?? null;

  const gameScores = useMemo(
    () => (book ? scoresOf([...judged.findings.values()].flat(), book, scoringVersion, gameEvidenceAsked) : null),
    [book, judged.findings],
  );
  const suggestedIn = useCallback(
    (cell: GradeCell) => {
      const ofGame = gameScores ? { scores: gameScores } : undefined;
      const there = cell.playId === null ? ofGame : judged.judged.get(cell.playId);
      return suggestedPoints(scale, scoreOfCell(there, cell));
    },
    [gameScores, judged.judged, scale],
  );
  const gradeIn = useMemo(() => gradesByCell(said), [said]);
  const share = useMemo(() => gradedShare(plays, columns, judged.judged, said), [plays, columns, judged.judged, said]);
  const evidence: readonly Evidence[] = useMemo(
    () => (at && at.playId !== null && book ? evidenceOf(judged.judged.get(at.playId), at, book, records.marks) : []),
    // The cell is made anew at each drawing: what it names decides.
    // eslint-disable-next-line react-hooks/exhaustive-deps
    [at?.playId, at?.position, at?.criterion, book, judged.judged, records.marks],
  );

  const { film, filmState, canvas, video, opened, player, playerState, goToInstant } = useGameFilm(
    cache,
    state,
    isFilmShown,
  );
  const filmRoom = useRef<HTMLElement>(null);
  const showEvidence = (one: Evidence) => {
    const moment = records.moments.find(({ id }) => id === one.momentId);
    if (moment) void goToInstant(moment.filmId, moment.timeSec);
    else if (play) void goToInstant(play.filmId, play.snapSec ?? play.startSec);
  };
  /** The film follows: to the first moment that the cell rests on. */
  const momentId = evidence.find((one) => one.momentId !== null)?.momentId ?? null;
  useEffect(() => {
    if (!play) return;
    const moment = records.moments.find(({ id }) => id === momentId);
    void goToInstant(moment?.filmId ?? play.filmId, moment?.timeSec ?? play.snapSec ?? play.startSec);
    // Only when another cell is at hand, and not when the film or the records change.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [play?.id, momentId, chosen]);

  /** The judged moment that the film stands at, of the play at hand or of any. */
  const momentHere =
    records.moments.find(
      ({ filmId, frameIndex }) => filmId === film?.id && playerState.ready && frameIndex === playerState.frameIndex,
    ) ?? null;
  const gameEvidence = ({ position, criterion }: Pick<GradeCell, "position" | "criterion">): string => {
    const row = gameScores?.officials.find((one) => one.position === position)?.criteria;
    const own = row?.find((one) => one.criterion === criterion);
    if (!own) return "Nothing of this came up in the game.";
    return `${own.counted} ${own.counted === 1 ? "finding counts" : "findings count"}, ${own.untold} could not be told.`;
  };

  /** The play that the film stands in. */
  const playInView = (film && playAt(records, film.id, playerState.timeSec)) ?? null;
  /** The ball's spot that a ruling is held to: at its own moment, or where the ball was dead. */
  const spotOf = (ruling: Ruling) => {
    const of = records.plays.find(({ id }) => id === ruling.playId);
    if (!of) return null;
    const own = records.moments.filter(({ id }) => id === ruling.momentId);
    const spot =
      own.flatMap(({ phase }) => measuredSpot({ ...records, moments: own }, of, judged.surveysOf, phase) ?? [])[0] ??
      measuredSpot(records, of, judged.surveysOf, "dead-ball");
    return spot && { spot, direction: of.situation.direction };
  };
  const onFilm = play && film ? asOnFilm(play, records.angles, film.id) : null;

  const inTurn = useTurns();
  const recordsNow = () => cache.getState().records;
  const by = () => ({ authorId: info.observerId, now: new Date(), newId: () => crypto.randomUUID() });
  const sealed = sealOf(records.seals, authorId);
  const carryOut = (plan: GradeEdit | null) => {
    if (plan === null || info.readOnly) return;
    if (!plan.ok) return void tell(plan.sentence);
    void inTurn(() => attempt(() => cache.edit(plan.label, plan.changes)));
  };
  const say = (given: GradeSaid) => {
    if (at && isOwn) carryOut(gradeEdit(recordsNow(), at, scale, suggestedIn(at), given, by()));
  };
  const takeBack = () => {
    const grade = at && gradeIn(at);
    if (grade && isOwn) carryOut(takeGradeBack(recordsNow(), grade));
  };
  const note = (subject: NoteSubject) => noteOn(records.notes, subject, info.observerId)?.text ?? "";
  const writeNote = (subject: NoteSubject, text: string) => carryOut(noteEdit(recordsNow(), subject, text, by()));
  /** `id` is that of the ruling that is made where there is none before. */
  const rule = (before: Ruling | null, ruled: RulingSaid, id: string) =>
    isOwn && carryOut(rulingEdit(recordsNow(), before, ruled, { ...by(), newId: () => id }));
  const takeRuling = (ruling: Ruling) => isOwn && carryOut(takeRulingBack(recordsNow(), ruling));
  const finalise = () => carryOut(sealEdit(recordsNow(), by()));

  return {
    cache,
    state,
    records,
    readOnly: info.readOnly || !isOwn,
    canNote: !info.readOnly,
    book,
    judged,
    plays,
    columns,
    scale,
    chooseScale,
    at,
    play,
    choose: setChosen,
    suggestedIn,
    gradeIn,
    evidence,
    showEvidence,
    share,
    film,
    filmState,
    filmRoom,
    loop: () => toggleLoop(player, onFilm),
    canvas,
    video,
    opened,
    player,
    playerState,
    attempt,
    say,
    takeBack,
    sealed,
    finalise,
    note,
    writeNote,
    rule,
    takeRuling,
    goToInstant,
    momentHere,
    playInView,
    spotOf,
    gameEvidence,
    layout,
    gameScores,
    observerId: info.observerId,
    whose,
    hasGrades: said.length > 0,
  };
}
