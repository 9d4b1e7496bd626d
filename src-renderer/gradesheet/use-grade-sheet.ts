import { useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { fieldOf } from "#core/field/template";
import { asOnFilm } from "#core/game/angles";
import type { Grade, Play } from "#core/game/records";
import { type Evidence, evidenceOf, gradeColumns, gradedShare, scoreOfCell } from "#core/grading/grade-sheet";
import { gradeAt, type GradeCell, gradeEdit, type GradeSaid, scaleOf, takeGradeBack } from "#core/grading/grades";
import { suggestedPoints } from "#core/grading/scales";
import { useFailures } from "../app/failures.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { useService } from "../app/service.tsx";
import { useBook } from "../app/use-book.ts";
import { useGameFilm } from "../app/use-game-film.ts";
import { useJudgedPlays } from "../app/use-judged-plays.ts";
import { toggleLoop } from "../stage/film/film-actions.ts";
import { useTurns } from "../app/use-turns.ts";

const scaleKey = "crewglass.scale";

export type GradeSheet = ReturnType<typeof useGradeSheet>;

/** What the parts of the grade sheet share: the cell at hand, what is suggested and said there, and the film behind it. */
export function useGradeSheet(cache: GameCache) {
  const state = useSyncExternalStore(cache.subscribe, cache.getState);
  const { info } = useService();
  const { attempt, tell } = useFailures();
  const { records } = state;
  const layout = useMemo(() => fieldOf(records.game), [records.game]);
  const book = useBook(records.game.bookId);
  const judged = useJudgedPlays(records, layout, book);
  const plays = useMemo(() => records.plays.toSorted((a, b) => a.number - b.number), [records.plays]);
  const columns = useMemo(
    () => gradeColumns(judged.judged, { game: records.game, grades: records.grades }),
    [judged.judged, records.game, records.grades],
  );
  const [chosenScale, setChosenScale] = useState(() => localStorage.getItem(scaleKey) ?? "");
  const scale = scaleOf(records.grades, chosenScale);
  const chooseScale = (id: string) => {
    localStorage.setItem(scaleKey, id);
    setChosenScale(id);
  };

  const [chosen, setChosen] = useState<GradeCell | null>(null);
  const first = columns[0]?.criteria[0];
  const at: GradeCell | null =
    (chosen && plays.some(({ id }) => id === chosen.playId) ? chosen : null) ??
    (plays[0] && columns[0] && first ? { playId: plays[0].id, position: columns[0].position, criterion: first } : null);
  const play: Play | null = plays.find(({ id }) => id === at?.playId) ?? null;

  const suggestedIn = (cell: GradeCell) => suggestedPoints(scale, scoreOfCell(judged.judged.get(cell.playId), cell));
  const gradeIn = (cell: GradeCell): Grade | null => gradeAt(records.grades, cell, info.observerId);
  const evidence: readonly Evidence[] = useMemo(
    () => (at && book ? evidenceOf(judged.judged.get(at.playId), at, book, records.marks) : []),
    // The cell is made anew at each drawing: what it names decides.
    // eslint-disable-next-line react-hooks/exhaustive-deps
    [at?.playId, at?.position, at?.criterion, book, judged.judged, records.marks],
  );

  const { film, filmState, canvas, video, opened, player, playerState, goToInstant } = useGameFilm(cache, state);
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

  const onFilm = play && film ? asOnFilm(play, records.angles, film.id) : null;

  const inTurn = useTurns();
  const carryOut = (plan: ReturnType<typeof gradeEdit>) => {
    if (!plan.ok) return void tell(plan.sentence);
    void inTurn(() => attempt(() => cache.edit(plan.label, plan.changes)));
  };
  const say = (said: GradeSaid) => {
    if (!at || info.readOnly) return;
    const by = { authorId: info.observerId, now: new Date(), newId: () => crypto.randomUUID() };
    carryOut(gradeEdit(cache.getState().records, at, scale, suggestedIn(at), said, by));
  };
  const takeBack = () => {
    const grade = at && gradeIn(at);
    if (grade && !info.readOnly) carryOut(takeGradeBack(cache.getState().records, grade));
  };

  return {
    cache,
    state,
    records,
    readOnly: info.readOnly,
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
    share: gradedShare(plays, columns, judged.judged, records.grades),
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
  };
}
