import { useCallback, useEffect, useMemo, useSyncExternalStore } from "react";
import { fieldOf } from "#core/field/template";
import { asOnFilm, nextAngle, playAt, playsOn, toFilmSec, toPlaySec } from "#core/game/angles";
import { type BreakdownEdit, markTime, moveTime, type PlayTime } from "#core/game/breakdown-edits";
import { put } from "#core/game/changes";
import { downRulesOf, nextSituation } from "#core/game/next-situation";
import type { GameRecords, Play } from "#core/game/records";
import { situationFaults } from "#core/game/situation-faults";
import { measuredSpot } from "#core/scoring/measured-spot";
import { useFailures } from "../app/failures.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { useReadOnly } from "../app/use-read-only.ts";
import { useTurns } from "../app/use-turns.ts";
import { useBook } from "../app/use-book.ts";
import { useGameFilm } from "../app/use-game-film.ts";
import { toggleLoop } from "../stage/film/film-actions.ts";
import { useJudgedPlays } from "../app/use-judged-plays.ts";
import { useProposals } from "./use-proposals.ts";

/** For the arrows of a time where the film's own frames are not open. */
const usualFrameSec = 1 / 30;

export const newId = () => crypto.randomUUID();

export type Breakdown = ReturnType<typeof useBreakdown>;

/** Everything the parts of the Breakdown share: where one is in the film, the play at hand, and what one can do to it. */
export function useBreakdown(cache: GameCache, onFieldbook: () => void) {
  const state = useSyncExternalStore(cache.subscribe, cache.getState);
  const { attempt, tell } = useFailures();
  const { records } = state;
  const readOnly = useReadOnly(records);
  const { films, film, filmState, canvas, video, opened, player, playerState, showFilm, goToInstant } = useGameFilm(
    cache,
    state,
  );
  const { timeSec } = playerState;
  const layout = useMemo(() => fieldOf(records.game), [records.game]);
  const rules = useMemo(() => downRulesOf(layout), [layout]);
  const book = useBook(records.game.bookId);
  const judged = useJudgedPlays(records, layout, book);

  const shownPlay = film ? playAt(records, film.id, timeSec) : null;
  // Just after a play has ended it is still the one at hand.
  const play = shownPlay ?? latestBefore(records, film?.id ?? "", timeSec);
  const onFilm = play && film ? asOnFilm(play, records.angles, film.id) : null;
  const playSec = (play && film ? toPlaySec(play, records.angles, film.id, timeSec) : null) ?? timeSec;
  const before = play ? latestNumber(records.plays, play.number) : null;
  const quarter = play?.quarter ?? null;
  const proposal = useMemo(
    () => (before ? nextSituation(before, rules, layout, { quarter, plays: records.plays }) : null),
    [before, rules, layout, quarter, records.plays],
  );
  const faults = useMemo(() => situationFaults(records.plays, rules, layout), [records.plays, rules, layout]);
  const { surveysOf } = judged;
  const spot = useMemo(() => (play ? measuredSpot(records, play, surveysOf) : null), [records, play, surveysOf]);

  const edit = useCallback(
    (label: string, changes: Parameters<GameCache["edit"]>[1]) => attempt(() => cache.edit(label, changes)),
    [attempt, cache],
  );
  const inTurn = useTurns();
  const seekHere = useCallback((sec: number) => void player?.seekTime(sec), [player]);
  const proposals = useProposals({
    film,
    records,
    recordsNow: () => cache.getState().records,
    rules,
    layout,
    readOnly,
    isPlaying: playerState.mode === "playing",
    inTurn,
    edit,
    onSeek: seekHere,
  });
  const frameSec =
    opened.kind === "open" && opened.frameCount > 1
      ? (opened.timeOf(opened.frameCount - 1) - opened.timeOf(0)) / (opened.frameCount - 1)
      : usualFrameSec;
  const carryOut = async (plan: BreakdownEdit) => {
    if (plan.ok) await edit(plan.label, plan.changes);
    else tell(plan.sentence);
  };
  const setTime = (which: PlayTime) => {
    if (!film || !player || readOnly) return;
    const { frameIndex, timeSec: atSec } = player.getState();
    const here = { film, frameIndex, timeSec: atSec };
    void inTurn(() => carryOut(markTime(cache.getState().records, here, which, newId, rules, layout)));
  };
  /** An edit of a play, planned from what is there when its turn comes, or refused with a sentence. */
  const plannedOf = (id: string, plan: (now: GameRecords, one: Play) => BreakdownEdit) => {
    if (readOnly) return;
    void inTurn(async () => {
      const now = cache.getState().records;
      const there = now.plays.find((one) => one.id === id);
      if (there) await carryOut(plan(now, there));
    });
  };
  const planned = (plan: (now: GameRecords, one: Play) => BreakdownEdit) => play && plannedOf(play.id, plan);
  /** `sec` is on the clock of the film in view. */
  const moveTimeOnFilm = (playId: string, which: PlayTime, sec: number) =>
    plannedOf(playId, (now, one) =>
      moveTime(now, one, which, (film ? toPlaySec(one, now.angles, film.id, sec) : null) ?? sec),
    );
  const changePlay = (label: string, change: (play: Play) => Play) =>
    planned((_, one) => {
      const after = change(one);
      return { ok: true, play: after, label: `${label} of play ${one.number}`, changes: [put("play", one, after)] };
    });
  const takeProposal = () =>
    proposal &&
    changePlay("Situation", (one) => ({
      ...one,
      situation: proposal.situation,
      kind: one.kind ?? proposal.kind,
      quarter: one.quarter ?? proposal.quarter,
      series: proposal.series ?? one.series,
    }));

  /** On the film in view where that shows the play, else on the play's own. `sec` is on the play's clock. */
  const goTo = async (wanted: Play, sec: number) => {
    const here = film ? toFilmSec(wanted, records.angles, film.id, sec) : null;
    if (here === null || !film) await goToInstant(wanted.filmId, sec);
    else await goToInstant(film.id, here);
  };
  const goToNextAngle = () => {
    const there = player && film ? nextAngle(records, { filmId: film.id, timeSec: player.getState().timeSec }) : null;
    const label = films.find(({ id, durationSec }) => id === there?.filmId && there.timeSec >= durationSec)?.label;
    if (label !== undefined) tell(`${label} does not reach this instant: it stands on its nearest frame.`);
    if (there) showFilm(there.filmId, there.timeSec);
  };
  const openPlay = async (wanted: Play) => {
    await goTo(wanted, wanted.snapSec ?? wanted.startSec);
    onFieldbook();
  };
  const numberHere = play?.number ?? 0;
  const neighbour = (way: 1 | -1) => records.plays.find(({ number }) => number === numberHere + way);
  const goToNeighbour = (way: 1 | -1) => {
    const wanted = neighbour(way);
    if (wanted) void goTo(wanted, wanted.startSec);
  };
  // What one key would go to from here is decoded before the key comes.
  const { plays, angles } = records;
  useEffect(() => {
    if (!film) return;
    const beside = [1, -1].flatMap((way) => plays.filter(({ number }) => number === numberHere + way));
    player?.expect(beside.flatMap((one) => toFilmSec(one, angles, film.id, one.startSec) ?? []));
  }, [player, film, plays, angles, numberHere]);

  return {
    cache,
    state,
    records,
    readOnly,
    film,
    filmState,
    canvas,
    video,
    opened,
    player,
    playerState,
    layout,
    rules,
    judged,
    shownPlay,
    play,
    playSec,
    frameSec,
    before,
    proposal,
    proposals,
    faults,
    spot,
    attempt,
    edit,
    setTime,
    planned,
    moveTimeOnFilm,
    changePlay,
    takeProposal,
    showFilm,
    seekHere,
    goTo,
    goToNextAngle,
    toggleLoop: () => toggleLoop(player, onFilm),
    openPlay,
    goToNeighbour,
  };
}

function latestBefore(records: GameRecords, filmId: string, timeSec: number): Play | null {
  const latest = playsOn(records, filmId)
    .filter((play) => play.endSec <= timeSec + 1e-6)
    .toSorted((a, b) => b.endSec - a.endSec)[0];
  return records.plays.find(({ id }) => id === latest?.id) ?? null;
}

function latestNumber(plays: readonly Play[], number: number): Play | null {
  return plays.filter((play) => play.number < number).toSorted((a, b) => b.number - a.number)[0] ?? null;
}
