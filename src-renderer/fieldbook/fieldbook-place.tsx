import { useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { playsOn } from "#core/game/angles";
import { stakedEnough } from "#core/game/edits";
import { downAndDistance, phaseNames } from "#core/game/words";
import { CopyDetails } from "../app/copy-details.tsx";
import { AttachFilms, FilmsBar } from "../app/films-bar.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { HistoryButtons } from "../app/history-buttons.tsx";
import { Button } from "../parts/button.tsx";
import { Divider, sizeStyle, useKeptSize } from "../parts/divider.tsx";
import { pausedState } from "../stage/film/film-player.ts";
import { Transport } from "../stage/film/transport.tsx";
import { useFilm } from "../stage/film/use-film.ts";
import { ContactStrip } from "../stage/strip/contact-strip.tsx";
import { TyingBar } from "./angles.tsx";
import { FilmPane, type FilmPaneHandle } from "./film-pane.tsx";
import { FindingsPage } from "./findings-page.tsx";
import { MarksPage } from "./marks-page.tsx";
import { NoFilm } from "./no-film.tsx";
import { PlanPane } from "./plan-pane.tsx";
import { PlayPage } from "./play-page.tsx";
import { SurveyPage } from "./survey-page.tsx";
import { useCarry } from "./use-carry.ts";
import { type Page, useFieldbook } from "./use-fieldbook.ts";
import { useFieldbookKeys } from "./use-fieldbook-keys.ts";
import { useFilmWalk } from "./use-film-walk.ts";

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
  const { film, filmState, records, state, page, setPage, here, setHere, play, moment } = fieldbook;
  const plays = useMemo(() => (film ? playsOn(records, film.id) : []), [records, film]);
  const moments = useMemo(
    () => records.moments.filter((candidate) => candidate.filmId === film?.id),
    [records.moments, film],
  );
  // A game that already has judged moments opens on the first of them, not on the film's first frame.
  const { seekWhenOpen } = fieldbook;
  const startSec = useMemo(
    () => (moments.length === 0 ? 0 : Math.min(...moments.map(({ timeSec }) => timeSec))),
    [moments],
  );
  const { canvas, video, opened, tryAgain } = useFilm(
    film,
    filmState === "present",
    seekWhenOpen !== null && seekWhenOpen.filmId === film?.id ? seekWhenOpen.timeSec : startSec,
  );
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

  const walk = useFilmWalk(fieldbook, opened);
  useFieldbookKeys(fieldbook, { player, pane, filmSide, walk });

  const surveyed = useMemo(() => stakedEnough(records.stakes), [records.stakes]);
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
            onNextAngle={walk.nextAngle}
            onAttach={() => setChoosing(true)}
          >
            <Button onPress={() => setChoosing(true)}>Attach film…</Button>
          </FilmsBar>
        ) : null}
        <HistoryButtons cache={cache} state={state} />
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
              <div className="opening wrong" role="alert">
                <p>{playerState.error}</p>
                <CopyDetails code="FILM_FAILED" message={playerState.error} />
              </div>
            ) : null}
          </div>
          {player ? (
            <Transport player={player} state={playerState} play={play} onLoop={walk.toggleLoop} loopKey="G" />
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
            onSeek={walk.go}
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
          {page === "play" ? <PlayPage fieldbook={fieldbook} onGo={walk.goInPlay} onAngle={walk.goToAngle} /> : null}
          {page === "survey" ? (
            <SurveyPage fieldbook={fieldbook} hand={hand} linesShown={linesShown} onLines={setLinesShown} />
          ) : null}
          {page === "marks" ? <MarksPage fieldbook={fieldbook} hand={hand} onGo={walk.goInPlay} /> : null}
          {page === "findings" ? <FindingsPage fieldbook={fieldbook} onGo={walk.goInPlay} /> : null}
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
