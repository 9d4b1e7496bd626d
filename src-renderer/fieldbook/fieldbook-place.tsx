import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import type { GameCache } from "../app/game-cache.ts";
import { AttachFilms, FilmsBar } from "../app/films-bar.tsx";
import {
  asOnFilm,
  type FilmInstant,
  nextAngle as nextAngleOf,
  playAt,
  playsOn,
  sameInstant,
  toFilmSec,
} from "#core/game/angles";
import { equationsOf } from "#core/game/edits";
import { markingLetters, otherSideOf, sideLetter } from "#core/game/marking-letters";
import { stopsOf } from "#core/game/moment-proposals";
import { subjectName } from "#core/picture/mark-glyph";
import { actionOf, keyOf } from "../app/keys.ts";
import { Button } from "../parts/button.tsx";
import { Divider, sizeStyle, useKeptSize } from "../parts/divider.tsx";
import { pausedState, playRates } from "../stage/film/film-player.ts";
import { TyingBar } from "./angles.tsx";
import { FilmPane, type FilmPaneHandle } from "./film-pane.tsx";
import { FindingsPage } from "./findings-page.tsx";
import { MarksPage } from "./marks-page.tsx";
import { NoFilm } from "./no-film.tsx";
import { PlanPane } from "./plan-pane.tsx";
import { PlayPage } from "./play-page.tsx";
import { SurveyPage } from "./survey-page.tsx";
import { ContactStrip } from "../stage/strip/contact-strip.tsx";
import { Transport } from "../stage/film/transport.tsx";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import { useFilm } from "../stage/film/use-film.ts";
import { useCarry } from "./use-carry.ts";
import { type Page, useFieldbook } from "./use-fieldbook.ts";
import { downAndDistance, phaseNames } from "#core/game/words";

const pages: readonly { id: Page; name: string }[] = [
  { id: "play", name: "Play" },
  { id: "survey", name: "Survey" },
  { id: "marks", name: "Marks" },
  { id: "findings", name: "Findings" },
];

const still = pausedState(0, 0);
const nothing = () => () => {};

/** The field book beside the film: the film and the plan on one side, the sheet with its four pages on the other. */
export function FieldbookPlace({ cache }: { readonly cache: GameCache }) {
  const fieldbook = useFieldbook(cache);
  const { film, filmState, records, state, page, setPage, here, setHere, play, moment, chosen, choose } = fieldbook;
  const { canvas, video, opened, tryAgain } = useFilm(film, filmState === "present");
  const player = opened.kind === "open" ? opened.player : null;
  const playerState = useSyncExternalStore(player?.subscribe ?? nothing, player ? player.getState : () => still);
  const hand = useCarry(fieldbook, opened.kind === "open" ? opened : null);
  const pane = useRef<FilmPaneHandle | null>(null);
  const [linesShown, setLinesShown] = useState(true);
  const [choosing, setChoosing] = useState(false);
  const planHeight = useKeptSize("crewglass.plan-height");
  const sheetWidth = useKeptSize("crewglass.sheet-width");
  const filmSide = useRef<HTMLElement>(null);

  const paused = playerState.mode === "paused";
  const shown = paused && playerState.ready && playerState.shownIndex === playerState.frameIndex;
  useEffect(() => {
    setHere(film && shown ? { film, frameIndex: playerState.frameIndex, timeSec: playerState.timeSec } : null);
  }, [film, shown, playerState.frameIndex, playerState.timeSec, setHere]);

  // A film that cannot be read on may have gone: when it has, its place in the window says so and offers to find it.
  const { attempt } = fieldbook;
  const playerError = playerState.error;
  useEffect(() => {
    if (playerError !== null) void attempt(() => cache.refreshFilms());
  }, [attempt, cache, playerError]);

  // A game that already has judged moments opens on the first of them, not on the film's first frame.
  const { seekWhenOpen, setSeekWhenOpen, setFilmId } = fieldbook;
  const greeted = useRef<unknown>(null);
  useEffect(() => {
    if (!player || greeted.current === player) return;
    greeted.current = player;
    const first = records.moments
      .filter((candidate) => candidate.filmId === film?.id)
      .toSorted((a, b) => a.timeSec - b.timeSec)[0];
    if (first && player.getState().frameIndex === 0 && seekWhenOpen === null) void player.seek(first.frameIndex);
  }, [player, records.moments, film, seekWhenOpen]);

  const onFilm = useMemo(
    () => (play && film ? asOnFilm(play, records.angles, film.id) : null),
    [play, film, records.angles],
  );
  // Another angle opens at the instant that one left; the film must be open before it can be gone to.
  useEffect(() => {
    if (opened.kind !== "open" || seekWhenOpen === null || seekWhenOpen.filmId !== opened.filmId) return;
    setSeekWhenOpen(null);
    void opened.player.seekTime(seekWhenOpen.timeSec);
  }, [opened, seekWhenOpen, setSeekWhenOpen]);
  const { tell } = fieldbook;
  const goToInstant = useCallback(
    ({ filmId, timeSec }: FilmInstant) => {
      const there = records.films.find(({ id }) => id === filmId);
      if (!there) return;
      if (timeSec < 0 || timeSec >= there.durationSec)
        tell(`${there.label} does not reach this instant: it stands on its nearest frame.`);
      setSeekWhenOpen({ filmId, timeSec });
      setFilmId(filmId);
    },
    [records.films, setFilmId, setSeekWhenOpen, tell],
  );
  // By where the film stands, and not by the frame that is shown: a key may come before the picture.
  const goToAngle = useCallback(
    (filmId: string) => {
      if (!player || !film || filmId === film.id) return;
      const { timeSec } = player.getState();
      const at = playAt(records, film.id, timeSec);
      const there = at ? sameInstant(at, records.angles, { filmId: film.id, timeSec }, filmId) : null;
      if (there) goToInstant(there);
    },
    [film, goToInstant, player, records],
  );
  const nextAngle = useCallback(() => {
    const there = player && film ? nextAngleOf(records, { filmId: film.id, timeSec: player.getState().timeSec }) : null;
    if (there) goToInstant(there);
  }, [film, goToInstant, player, records]);

  const toggleLoop = useCallback(() => {
    if (!player) return;
    if (player.getState().loop) player.setLoop(null);
    else if (onFilm) {
      player.setLoop({ startSec: onFilm.startSec, endSec: onFilm.endSec });
      void player.play();
    }
  }, [onFilm, player]);

  const goToPlay = useCallback(
    (way: 1 | -1) => {
      if (!player || !film) return;
      const starts = playsOn(records, film.id).map((candidate) => {
        const moments = records.moments
          .filter((one) => one.playId === candidate.id && one.filmId === film.id)
          .map((one) => one.timeSec);
        return moments.length > 0 ? Math.min(...moments) : candidate.startSec;
      });
      const now = player.getState().timeSec;
      const next =
        way > 0
          ? starts.filter((start) => start > now + 0.001).toSorted((a, b) => a - b)[0]
          : starts.filter((start) => start < now - 0.001).toSorted((a, b) => b - a)[0];
      if (next !== undefined) void player.seekTime(next);
    },
    [film, player, records],
  );

  const goToStop = useCallback(
    (way: 1 | -1) => {
      if (!player || !film || !play) return;
      const now = player.getState().timeSec;
      const times = stopsOf(records, play).flatMap(({ playSec, moment: there }) =>
        there?.filmId === film.id ? there.timeSec : (toFilmSec(play, records.angles, film.id, playSec) ?? []),
      );
      // Within half a frame one stands on it already.
      const next =
        way > 0
          ? times.filter((time) => time > now + 0.02).toSorted((a, b) => a - b)[0]
          : times.filter((time) => time < now - 0.02).toSorted((a, b) => b - a)[0];
      if (next !== undefined) void player.seekTime(next);
    },
    [film, play, player, records],
  );
  const letters = useMemo(
    () => markingLetters((fieldbook.book?.positions ?? []).map(({ id }) => id)),
    [fieldbook.book],
  );

  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const inField =
        event.target instanceof HTMLElement &&
        event.target.closest("input:not([type=checkbox]), textarea, select, dialog");
      const letter = keyOf(event);
      const subject = page === "marks" && !inField ? letters.get(letter) : undefined;
      if (page === "marks" && !inField && !fieldbook.readOnly && (subject || letter === sideLetter)) {
        event.preventDefault();
        fieldbook.ghosts.choose(null);
        const at = pane.current?.pointer();
        if (subject?.kind === "official" && at && here) void fieldbook.markAt(at, subject);
        else fieldbook.setPen(subject ?? otherSideOf(fieldbook.pen));
        return;
      }
      const action = actionOf(event, "fieldbook");
      if (!action || (inField && !(action === "undo" || action === "redo")) || event.defaultPrevented) return;
      // The space bar and Enter belong to a button or a box that has the focus.
      const isPressed = event.target instanceof HTMLButtonElement || event.target instanceof HTMLInputElement;
      if (isPressed && (event.key === " " || event.key === "Enter")) return;
      const run = actions[action];
      if (!run) return;
      event.preventDefault();
      run();
    };
    const rate = (by: 1 | -1) => {
      const at = playRates.findIndex((candidate) => candidate === player?.getState().rate);
      const next = playRates[Math.min(playRates.length - 1, Math.max(0, at + by))];
      if (next !== undefined) player?.setRate(next);
    };
    const actions: Record<string, (() => void) | undefined> = {
      play: () => void player?.toggle(),
      "frame-back": () => void player?.step(-1),
      "frame-on": () => void player?.step(1),
      "ten-back": () => void player?.step(-10),
      "ten-on": () => void player?.step(10),
      "second-back": () => void player?.stepTime(-1),
      "second-on": () => void player?.stepTime(1),
      slower: () => rate(-1),
      faster: () => rate(1),
      loop: toggleLoop,
      "play-before": () => goToPlay(-1),
      "play-after": () => goToPlay(1),
      "next-angle": nextAngle,
      "moment-before": () => goToStop(-1),
      "moment-after": () => goToStop(1),
      "whole-screen": () => void fieldbook.attempt(() => toggleWholeScreen(filmSide.current)),
      "zoom-in": () => pane.current?.zoom(1.5),
      "zoom-out": () => pane.current?.zoom(1 / 1.5),
      "zoom-fit": () => pane.current?.fit(),
      "page-play": () => setPage("play"),
      "page-survey": () => setPage("survey"),
      "page-marks": () => setPage("marks"),
      "page-findings": () => setPage("findings"),
      delete: () => chosen && !fieldbook.readOnly && void fieldbook.takeAway(chosen),
      facing: () => {
        const at = pane.current?.pointer();
        const mark =
          chosen?.kind === "mark" ? records.marks.find((candidate) => candidate.id === chosen.id) : undefined;
        if (mark && at && !fieldbook.readOnly) void fieldbook.face(mark, at);
      },
      "ghost-take": () => {
        const { next } = fieldbook.ghosts;
        if (next && !fieldbook.readOnly) void fieldbook.placeGhosts(`Bring ${subjectName(next.subject)} over`, [next]);
      },
      "ghost-all": () =>
        !fieldbook.readOnly && void fieldbook.placeGhosts("Bring everybody over", fieldbook.ghosts.list),
      "ghost-skip": () => fieldbook.ghosts.next && fieldbook.ghosts.leaveOut(fieldbook.ghosts.next.id),
      "ghost-follow": () => {
        const { following } = fieldbook.ghosts;
        if (following.possible) void following.start();
      },
      "let-go": () => {
        choose(null);
        fieldbook.chooseTarget(null);
        fieldbook.setUnnamedClick(null);
      },
      undo: () => state.history.undo !== null && void fieldbook.attempt(() => cache.undo()),
      redo: () => state.history.redo !== null && void fieldbook.attempt(() => cache.redo()),
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, [
    cache,
    choose,
    chosen,
    fieldbook,
    goToPlay,
    goToStop,
    nextAngle,
    here,
    letters,
    page,
    player,
    records.marks,
    setPage,
    state.history,
    toggleLoop,
  ]);

  const surveyed = useMemo(() => {
    const counts = new Map<string, number>();
    for (const stake of records.stakes)
      counts.set(stake.momentId, (counts.get(stake.momentId) ?? 0) + equationsOf(stake));
    const own = [...counts].filter(([, count]) => count >= 8);
    // Once two frames have told where the camera stands, half as much is enough.
    const enough = own.length >= 2 ? 4 : 8;
    return new Set([...counts].filter(([, count]) => count >= enough).map(([id]) => id));
  }, [records.stakes]);
  const plays = film ? playsOn(records, film.id) : [];
  const moments = records.moments.filter((candidate) => candidate.filmId === film?.id);
  const carried = useMemo(
    () =>
      records.carries.flatMap((carry) => {
        const anchor = records.moments.find((candidate) => candidate.id === carry.momentId);
        if (!anchor || anchor.filmId !== film?.id || opened.kind !== "open") return [];
        const last = Math.min(opened.frameCount - 1, carry.firstIndex + carry.frameCount);
        return [{ id: carry.id, startSec: opened.timeOf(carry.firstIndex), endSec: opened.timeOf(last) }];
      }),
    [records.carries, records.moments, film, opened],
  );
  const go = (timeSec: number) => {
    if (player) void player.seekTime(timeSec);
    else if (film) setSeekWhenOpen({ filmId: film.id, timeSec });
  };
  /** To an instant of the play, on the clock of its own film. */
  const goInPlay = (playSec: number) =>
    go((play && film ? toFilmSec(play, records.angles, film.id, playSec) : null) ?? playSec);

  return (
    <div className="fieldbook" style={sizeStyle("--sheet-width", sheetWidth)}>
      <header className="head">
        <h1>{records.game.title}</h1>
        <span className="soft crumbs">
          {play ? `Play ${play.number}, ${downAndDistance(play.situation)}` : here ? "between plays" : ""}
          {moment ? ` · ${phaseNames[moment.phase]}` : ""}
        </span>
        <span className="gap" />
        {film ? (
          <FilmsBar
            records={records}
            film={film}
            timeSec={playerState.timeSec}
            readOnly={fieldbook.readOnly}
            edit={fieldbook.edit}
            onFilm={fieldbook.setFilmId}
            onNextAngle={nextAngle}
            onAttach={() => setChoosing(true)}
          >
            <Button onPress={() => setChoosing(true)}>Attach film…</Button>
          </FilmsBar>
        ) : null}
        <Button
          name={state.history.undo === null ? "Nothing to undo" : `Undo: ${state.history.undo}`}
          title={state.history.undo ?? ""}
          disabled={state.history.undo === null}
          onPress={() => void fieldbook.attempt(() => cache.undo())}
        >
          Undo
        </Button>
        <Button
          name={state.history.redo === null ? "Nothing to redo" : `Redo: ${state.history.redo}`}
          title={state.history.redo ?? ""}
          disabled={state.history.redo === null}
          onPress={() => void fieldbook.attempt(() => cache.redo())}
        >
          Redo
        </Button>
        <output className="saved" aria-live="polite">
          {state.pending > 0 ? "saving…" : "saved"}
        </output>
      </header>
      {film && filmState === "present" && opened.kind !== "failed" ? (
        <section
          ref={filmSide}
          className="film-side"
          aria-label="Film and plan"
          style={sizeStyle("--plan-height", planHeight)}
        >
          <div className="film-frame">
            <FilmPane
              fieldbook={fieldbook}
              film={film}
              canvas={canvas}
              video={video}
              paused={shown}
              playingIndex={paused ? null : playerState.frameIndex}
              linesShown={linesShown}
              handle={pane}
            />
            <TyingBar fieldbook={fieldbook} />
            {opened.kind === "opening" ? (
              <p className="opening" role="status">
                Reading the film’s frames{opened.reachedSec > 0 ? `, ${Math.round(opened.reachedSec)} s so far` : ""}…
              </p>
            ) : null}
            {playerState.error ? (
              <p className="opening wrong" role="alert">
                {playerState.error}
              </p>
            ) : null}
          </div>
          {player ? (
            <Transport player={player} state={playerState} play={play} onLoop={toggleLoop} wholeKey="9" />
          ) : (
            <div className="transport" />
          )}
          <ContactStrip
            film={film}
            plays={plays}
            moments={moments}
            carried={carried}
            surveyed={surveyed}
            state={playerState}
            onSeek={go}
          />
          <Divider
            name="Height of the plan"
            before="top"
            size={planHeight}
            leastPx={80}
            mostPx={Math.round(window.innerHeight * 0.6)}
          />
          <PlanPane fieldbook={fieldbook} />
        </section>
      ) : (
        <NoFilm
          fieldbook={fieldbook}
          failure={opened.kind === "failed" ? opened.failure : null}
          onTryAgain={tryAgain}
          onAttach={() => setChoosing(true)}
        />
      )}
      <Divider
        name="Width of the sheet"
        before="left"
        size={sheetWidth}
        leastPx={340}
        mostPx={Math.round(window.innerWidth * 0.5)}
      />
      <aside className="sheet" aria-label="Sheet">
        <div className="tabs" role="tablist" aria-label="Pages of the field book">
          {pages.map((entry, index) => (
            <button
              key={entry.id}
              type="button"
              role="tab"
              id={`tab-${entry.id}`}
              aria-selected={page === entry.id}
              aria-controls="sheet-page"
              onClick={() => setPage(entry.id)}
            >
              <kbd aria-hidden="true">{index + 1}</kbd> {entry.name}
              <TabCount fieldbook={fieldbook} page={entry.id} />
            </button>
          ))}
        </div>
        <div className="sheet-page" id="sheet-page" role="tabpanel" aria-labelledby={`tab-${page}`}>
          {page === "play" ? <PlayPage fieldbook={fieldbook} onGo={goInPlay} onAngle={goToAngle} /> : null}
          {page === "survey" ? (
            <SurveyPage fieldbook={fieldbook} hand={hand} linesShown={linesShown} onLines={setLinesShown} />
          ) : null}
          {page === "marks" ? <MarksPage fieldbook={fieldbook} hand={hand} onGo={goInPlay} /> : null}
          {page === "findings" ? <FindingsPage fieldbook={fieldbook} onGo={goInPlay} /> : null}
        </div>
      </aside>
      {choosing ? <AttachFilms cache={cache} onClose={() => setChoosing(false)} onFilm={fieldbook.setFilmId} /> : null}
    </div>
  );
}

function TabCount({ fieldbook, page }: { readonly fieldbook: ReturnType<typeof useFieldbook>; readonly page: Page }) {
  const { stakes, marks, judged, judgedPlay } = fieldbook;
  const all = [...judged.findings, ...(judgedPlay?.findings ?? [])];
  const missed = all.filter((finding) => finding.verdict === "missed").length;
  switch (page) {
    case "play":
      return null;
    case "survey":
      return stakes.length === 0 ? null : (
        <span className={`count ${judged.survey.kind === "solved" ? "good" : "wrong"}`}>{stakes.length}</span>
      );
    case "marks":
      return marks.length === 0 ? null : <span className="count">{marks.length}</span>;
    case "findings":
      return missed === 0 ? null : (
        <span className="count wrong">
          {missed}
          <span className="visually-hidden"> missed</span>
        </span>
      );
  }
}
