import { type KeyboardEvent, useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import { fieldOf } from "#core/field/template";
import { asOnFilm, inOrder, nextAngle, playAt, playsOn, toFilmSec, toPlaySec } from "#core/game/angles";
import {
  type BreakdownEdit,
  markTime,
  moveTime,
  type PlayTime,
  playTimeNames,
  takePlayOut,
} from "#core/game/breakdown-edits";
import { put } from "#core/game/changes";
import { downRulesOf, nextSituation } from "#core/game/next-situation";
import type { Down, GameRecords, Play, PlayEnd } from "#core/game/records";
import { joinNext, splitPlay } from "#core/game/split-join";
import { situationFaults } from "#core/game/situation-faults";
import { saidSituation } from "#core/game/words";
import type { Book } from "#core/mechanics/book";
import { measuredSpot } from "#core/scoring/measured-spot";
import { useFailures } from "../app/failures.tsx";
import { AttachFilms, FilmsBar } from "../app/films-bar.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { actionOf } from "../app/keys.ts";
import { useService } from "../app/service.tsx";
import { resultOf, SituationForm } from "../app/situation-form.tsx";
import { Button } from "../parts/button.tsx";
import { pausedState, playRates } from "../stage/film/film-player.ts";
import { FilmView } from "../stage/film/film-view.tsx";
import { ContactStrip } from "../stage/strip/contact-strip.tsx";
import { Transport } from "../stage/film/transport.tsx";
import { openNextAt, useFilm } from "../stage/film/use-film.ts";
import "./breakdown.css";
import { CutListExport } from "./cut-list-export.tsx";
import { CutListImport } from "./cut-list-import.tsx";
import { PlaySheet } from "./play-sheet.tsx";
import { PlayTimes } from "./play-times.tsx";
import { ProposalsSection } from "./proposals-section.tsx";
import { useJudgedPlays } from "./use-judged-plays.ts";
import { useProposals } from "./use-proposals.ts";

const still = pausedState(0, 0);
const nothing = () => () => {};
/** For the arrows of a time where the film's own frames are not open. */
const usualFrameSec = 1 / 30;

/** Cutting the film into plays, and saying what each began and ended with. */
export function BreakdownPlace({
  cache,
  onFieldbook,
}: {
  readonly cache: GameCache;
  readonly onFieldbook: () => void;
}) {
  const state = useSyncExternalStore(cache.subscribe, cache.getState);
  const { client, info } = useService();
  const { attempt, tell } = useFailures();
  const { records } = state;
  const films = useMemo(() => inOrder(records.films), [records.films]);
  const [filmId, setFilmId] = useState<string | null>(cache.filmInView);
  const film = films.find(({ id }) => id === filmId) ?? films[0] ?? null;
  const filmState = state.filmStates.find((one) => one.filmId === film?.id)?.state ?? "present";
  const { canvas, video, opened } = useFilm(film, filmState === "present");
  const player = opened.kind === "open" ? opened.player : null;
  const playerState = useSyncExternalStore(player?.subscribe ?? nothing, player ? player.getState : () => still);
  const layout = useMemo(() => fieldOf(records.game), [records.game]);
  const rules = useMemo(() => downRulesOf(layout), [layout]);
  const [book, setBook] = useState<Book | null>(null);
  const { bookId } = records.game;
  useEffect(() => {
    void attempt(async () => setBook(await client.books.open({ bookId })));
  }, [attempt, client, bookId]);
  const staked = useMemo(() => new Set(records.stakes.map(({ momentId }) => momentId)), [records.stakes]);
  const judged = useJudgedPlays(records, layout, book);
  const [listOpen, setListOpen] = useState<"import" | "export" | null>(null);
  const [attaching, setAttaching] = useState(false);
  const place = useRef<HTMLDivElement>(null);
  const { timeSec } = playerState;

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
  const spot = useMemo(
    () => (play ? measuredSpot(records, play, judged.surveysOf) : null),
    [records, play, judged.surveysOf],
  );

  const edit = useCallback(
    (label: string, changes: Parameters<GameCache["edit"]>[1]) => attempt(() => cache.edit(label, changes)),
    [attempt, cache],
  );
  // Keys come faster than the library answers: each plan waits for the one before it.
  const queue = useRef<Promise<unknown>>(Promise.resolve());
  const inTurn = useCallback((work: () => unknown) => {
    queue.current = queue.current.then(work);
  }, []);
  const newId = () => crypto.randomUUID();
  const seekHere = useCallback((sec: number) => void player?.seekTime(sec), [player]);
  const proposals = useProposals({
    film,
    records,
    recordsNow: () => cache.getState().records,
    rules,
    layout,
    readOnly: info.readOnly,
    isPlaying: playerState.mode === "playing",
    inTurn,
    edit,
    onSeek: seekHere,
  });

  const setTime = (which: PlayTime) => {
    if (!film || !player || info.readOnly) return;
    const at = player.getState();
    const here = { film, frameIndex: at.frameIndex, timeSec: at.timeSec };
    inTurn(async () => {
      const plan = markTime(cache.getState().records, here, which, newId, rules, layout);
      if (!plan.ok) return tell(plan.sentence);
      await edit(plan.label, plan.changes);
    });
  };
  /** An edit of the play at hand, planned from what is there when its turn comes, or refused with a sentence. */
  const planned = (plan: (now: GameRecords, one: Play) => BreakdownEdit) => {
    if (!play) return;
    const { id } = play;
    inTurn(async () => {
      const now = cache.getState().records;
      const there = now.plays.find((one) => one.id === id);
      if (!there) return;
      const made = plan(now, there);
      if (!made.ok) return tell(made.sentence);
      await edit(made.label, made.changes);
    });
  };
  const dragTime = (which: PlayTime, sec: number) => planned((now, one) => moveTime(now, one, which, sec));
  const changePlay = (label: string, change: (play: Play) => Play) => {
    if (!play || info.readOnly) return;
    const id = play.id;
    inTurn(async () => {
      const there = cache.getState().records.plays.find((one) => one.id === id);
      if (there) await edit(`${label} of play ${there.number}`, [put("play", there, change(there))]);
    });
  };
  const setEnd = (kind: PlayEnd) => changePlay("End", (one) => ({ ...one, result: resultOf(kind, one) }));
  const setDown = (down: Down) => changePlay("Down", (one) => ({ ...one, situation: { ...one.situation, down } }));
  const takeProposal = () =>
    proposal &&
    changePlay("Situation", (one) => ({
      ...one,
      situation: proposal.situation,
      kind: one.kind ?? proposal.kind,
      quarter: one.quarter ?? proposal.quarter,
      series: proposal.series ?? one.series,
    }));

  const showFilm = useCallback(
    (id: string, sec?: number) => {
      if (sec !== undefined) openNextAt(id, sec);
      setFilmId(id);
      cache.filmInView = id;
    },
    [cache],
  );
  /** On the film in view where that shows the play, else on the play's own. `sec` is on the play's clock. */
  const goTo = useCallback(
    async (wanted: Play, sec: number) => {
      const here = film ? toFilmSec(wanted, records.angles, film.id, sec) : null;
      if (here === null || !film || !player) showFilm(here === null ? wanted.filmId : (film?.id ?? ""), here ?? sec);
      else await player.seekTime(here);
    },
    [film, player, records.angles, showFilm],
  );
  const goToNextAngle = () => {
    const there = player && film ? nextAngle(records, { filmId: film.id, timeSec: player.getState().timeSec }) : null;
    const label = films.find(({ id, durationSec }) => id === there?.filmId && there.timeSec >= durationSec)?.label;
    if (label !== undefined) tell(`${label} does not reach this instant: it stands on its nearest frame.`);
    if (there) showFilm(there.filmId, there.timeSec);
  };
  const toggleLoop = () => {
    if (!player) return;
    if (player.getState().loop) return player.setLoop(null);
    if (!onFilm) return;
    player.setLoop({ startSec: onFilm.startSec, endSec: onFilm.endSec });
    void player.play();
  };
  const openPlay = async (wanted: Play) => {
    await goTo(wanted, wanted.snapSec ?? wanted.startSec);
    onFieldbook();
  };
  const goToNeighbour = (way: 1 | -1) => {
    const number = (play?.number ?? 0) + way;
    const wanted = records.plays.find((one) => one.number === number);
    if (wanted) void goTo(wanted, wanted.startSec);
  };
  const focusField = (name: string) =>
    place.current?.querySelector<HTMLInputElement>(`[data-field="${name}"] input`)?.focus();
  const focusFilm = () => place.current?.querySelector<HTMLElement>(".film-pane")?.focus();

  const run: Record<string, (() => unknown) | undefined> = {
    play: () => player?.toggle(),
    "frame-back": () => player?.step(-1),
    "frame-on": () => player?.step(1),
    "ten-back": () => player?.step(-10),
    "ten-on": () => player?.step(10),
    "second-back": () => player?.stepTime(-1),
    "second-on": () => player?.stepTime(1),
    slower: () => player && changeRate(player, -1),
    faster: () => player && changeRate(player, 1),
    "next-angle": goToNextAngle,
    "play-before": () => goToNeighbour(-1),
    "play-after": () => goToNeighbour(1),
    "time-start": () => setTime("start"),
    "time-snap": () => setTime("snap"),
    "time-release": () => setTime("release"),
    "time-catch": () => setTime("catch"),
    "time-dead": () => setTime("dead"),
    "time-end": () => setTime("end"),
    "down-1": () => setDown(1),
    "down-2": () => setDown(2),
    "down-3": () => setDown(3),
    "down-4": () => setDown(4),
    distance: () => focusField("distance"),
    gain: () => focusField("gain"),
    incomplete: () => setEnd("incomplete"),
    score: () => setEnd("score"),
    "take-proposal": takeProposal,
    "proposal-take": proposals.chosen ? proposals.take : undefined,
    "proposal-take-all": proposals.chosen ? proposals.takeAll : undefined,
    "proposal-refuse": proposals.chosen ? proposals.refuse : undefined,
    "proposal-before": proposals.chosen ? () => proposals.walk(-1) : undefined,
    "proposal-after": proposals.chosen ? () => proposals.walk(1) : undefined,
    "open-fieldbook": () => play && openPlay(play),
    undo: () => state.history.undo !== null && attempt(() => cache.undo()),
    redo: () => state.history.redo !== null && attempt(() => cache.redo()),
  };
  const latest = useRef(run);
  latest.current = run;
  useEffect(() => {
    const onKey = (event: globalThis.KeyboardEvent) => {
      const target = event.target instanceof HTMLElement ? event.target : null;
      const inField = target?.closest("input:not([type=checkbox]), textarea, select, dialog");
      const action = actionOf(event, "breakdown");
      if (!action || event.defaultPrevented || (inField && action !== "undo" && action !== "redo")) return;
      if (target?.closest("button, [role=slider]") && (event.key === " " || event.key === "Enter")) return;
      const act = latest.current[action];
      if (!act) return;
      event.preventDefault();
      void act();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);

  const onFormKey = (event: KeyboardEvent) => {
    // The field hands its number over by itself; the film is where one goes on.
    if (event.key === "Enter" && event.target instanceof HTMLInputElement) focusFilm();
  };
  const own = faults.filter(({ playId }) => playId === play?.id);
  const frameSec =
    opened.kind === "open" && opened.frameCount > 1
      ? (opened.timeOf(opened.frameCount - 1) - opened.timeOf(0)) / (opened.frameCount - 1)
      : usualFrameSec;

  return (
    <div className="breakdown" ref={place}>
      <header className="head">
        <h1>{records.game.title}</h1>
        <span className="soft crumbs">Breakdown{play ? ` · play ${play.number}` : ""}</span>
        <span className="gap" />
        <Button disabled={!film || info.readOnly} onPress={() => setListOpen("import")}>
          Import a cut list…
        </Button>
        <Button disabled={!film} onPress={() => setListOpen("export")}>
          Export a cut list…
        </Button>
        {film ? (
          <FilmsBar
            records={records}
            film={film}
            timeSec={timeSec}
            readOnly={info.readOnly}
            edit={edit}
            onFilm={showFilm}
            onNextAngle={goToNextAngle}
            onAttach={() => setAttaching(true)}
          />
        ) : null}
        <Button
          name={state.history.undo === null ? "Nothing to undo" : `Undo: ${state.history.undo}`}
          disabled={state.history.undo === null}
          onPress={() => void attempt(() => cache.undo())}
        >
          Undo
        </Button>
        <Button
          name={state.history.redo === null ? "Nothing to redo" : `Redo: ${state.history.redo}`}
          disabled={state.history.redo === null}
          onPress={() => void attempt(() => cache.redo())}
        >
          Redo
        </Button>
        <output className="saved" aria-live="polite">
          {state.pending > 0 ? "saving…" : "saved"}
        </output>
      </header>
      <section className="breakdown-film" aria-label="Film">
        {film && filmState === "present" && opened.kind !== "failed" ? (
          <>
            <div className="film-frame">
              <FilmView film={film} canvas={canvas} video={video} />
              {opened.kind === "opening" ? (
                <p className="opening" role="status">
                  Reading the film’s frames…
                </p>
              ) : null}
            </div>
            {player ? (
              <Transport player={player} state={playerState} play={shownPlay} onLoop={toggleLoop} />
            ) : (
              <div className="transport" />
            )}
            <TimeKeys disabled={!player || info.readOnly} onTime={setTime} />
            {play ? (
              <PlayTimes
                play={play}
                timeSec={playSec}
                frameSec={frameSec}
                readOnly={info.readOnly}
                onMove={dragTime}
                onSeek={(sec) => void goTo(play, sec)}
              />
            ) : (
              <p className="soft no-play">No play yet: press N at the first snap.</p>
            )}
            <ContactStrip
              film={film}
              plays={playsOn(records, film.id)}
              moments={records.moments.filter((one) => one.filmId === film.id)}
              carried={[]}
              surveyed={staked}
              proposed={proposals.open.map((one) => ({ ...one, here: one === proposals.chosen }))}
              state={playerState}
              onSeek={seekHere}
            />
          </>
        ) : (
          <div className="empty">
            <p>
              {film
                ? "This film is not where it was: find it again in the field book."
                : "No film yet: attach the game’s film, then cut it into plays here."}
            </p>
            {film ? (
              <Button look="primary" onPress={onFieldbook}>
                Field book
              </Button>
            ) : (
              <Button look="primary" disabled={info.readOnly} onPress={() => setAttaching(true)}>
                Attach film…
              </Button>
            )}
          </div>
        )}
      </section>
      <aside className="breakdown-form" aria-label="Situation of the play" onKeyDown={onFormKey}>
        <ProposalsSection proposals={proposals} disabled={!player || info.readOnly} />
        {play ? (
          <>
            <SituationForm key={play.id} game={records.game} layout={layout} play={play} onChange={changePlay} />
            {own.map(({ field, sentence }) => (
              <p key={field + sentence} className="contradiction" role="alert">
                <b>Does not fit:</b> {sentence}
              </p>
            ))}
            {proposal && before && saidDiffers(proposal.situation, play) ? (
              <div className="proposal">
                <p>
                  After play {before.number}: <b>{saidSituation(proposal.situation)}</b>. {proposal.because.join(" ")}
                </p>
                <Button disabled={info.readOnly} onPress={takeProposal} shortcut="P">
                  Take it
                </Button>
              </div>
            ) : null}
            {spot ? (
              <Button
                disabled={info.readOnly}
                onPress={() =>
                  changePlay("Measured spot", (one) => ({
                    ...one,
                    situation: { ...one.situation, scrimmageXYards: spot.spot.xYards, ballYYards: spot.spot.yYards },
                  }))
                }
              >
                Spot as measured: {Math.abs(spot.spot.xYards - play.situation.scrimmageXYards).toFixed(1)} yd from what
                is said, good to ±{(1.96 * spot.sdAlongX).toFixed(1)}
              </Button>
            ) : null}
            <div className="row">
              <Button onPress={() => void openPlay(play)} shortcut="M">
                Open in the field book
              </Button>
              <Button
                disabled={info.readOnly}
                onPress={() => planned((now, one) => splitPlay(now, one, playSec, newId, rules, layout))}
              >
                Cut in two here
              </Button>
              <Button disabled={info.readOnly} onPress={() => planned(joinNext)}>
                Join with the next
              </Button>
              <Button
                disabled={info.readOnly}
                onPress={() => void edit(`Remove play ${play.number}`, takePlayOut(records, play))}
              >
                Remove play {play.number}
              </Button>
            </div>
          </>
        ) : (
          <div className="empty">
            <p>Down, distance and spot of a play show here once there is one.</p>
          </div>
        )}
      </aside>
      <PlaySheet
        records={records}
        layout={layout}
        judged={judged}
        playId={play?.id ?? null}
        onGo={(wanted) => void goTo(wanted, wanted.snapSec ?? wanted.startSec)}
        onOpen={(wanted) => void openPlay(wanted)}
      />
      {attaching ? <AttachFilms cache={cache} onClose={() => setAttaching(false)} onFilm={showFilm} /> : null}
      {listOpen === "import" && film ? (
        <CutListImport
          records={records}
          film={film}
          framesPerSec={Math.round(1000 / frameSec) / 1000}
          layout={layout}
          rules={rules}
          onClose={() => setListOpen(null)}
          onTake={edit}
        />
      ) : null}
      {listOpen === "export" && film ? (
        <CutListExport records={records} film={film} onClose={() => setListOpen(null)} />
      ) : null}
    </div>
  );
}

const timeKeys: readonly { which: PlayTime; shortcut: string }[] = [
  { which: "start", shortcut: "B" },
  { which: "snap", shortcut: "N" },
  { which: "release", shortcut: "R" },
  { which: "catch", shortcut: "C" },
  { which: "dead", shortcut: "D" },
  { which: "end", shortcut: "E" },
];

function TimeKeys({ disabled, onTime }: { readonly disabled: boolean; readonly onTime: (which: PlayTime) => void }) {
  return (
    <div className="time-keys" role="toolbar" aria-label="Times at this frame">
      {timeKeys.map(({ which, shortcut }) => (
        <Button
          key={which}
          name={`${playTimeNames[which]} at this frame`}
          disabled={disabled}
          shortcut={shortcut}
          onPress={() => onTime(which)}
        >
          {playTimeNames[which]}
        </Button>
      ))}
    </div>
  );
}

function changeRate(player: { getState(): { rate: number }; setRate(rate: number): void }, by: 1 | -1): void {
  const at = playRates.findIndex((rate) => rate === player.getState().rate);
  const next = playRates[Math.min(playRates.length - 1, Math.max(0, at + by))];
  if (next !== undefined) player.setRate(next);
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

/** Spots nearer than this are the same. Yards. */
const sameYards = 0.05;

function saidDiffers(proposed: Play["situation"], { situation }: Play): boolean {
  const away = (a: number | null, b: number | null) =>
    a === null || b === null ? a !== b : Math.abs(a - b) > sameYards;
  return (
    proposed.offence !== situation.offence ||
    proposed.direction !== situation.direction ||
    proposed.down !== situation.down ||
    away(proposed.scrimmageXYards, situation.scrimmageXYards) ||
    away(proposed.lineToGainXYards, situation.lineToGainXYards)
  );
}
