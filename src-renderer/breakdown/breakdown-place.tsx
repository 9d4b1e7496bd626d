import { useMemo, useRef, useState } from "react";
import { playsOn } from "#core/game/angles";
import { clearTime, moveTime, type PlayTime, playTimeNames } from "#core/game/breakdown-edits";
import { stakedEnough } from "#core/game/edits";
import { AttachFilms, FilmsBar } from "../app/films-bar.tsx";
import type { GameCache } from "../app/game-cache.ts";
import { HistoryButtons } from "../app/history-buttons.tsx";
import { Button } from "../parts/button.tsx";
import { FilmView } from "../stage/film/film-view.tsx";
import { Transport } from "../stage/film/transport.tsx";
import { ContactStrip } from "../stage/strip/contact-strip.tsx";
import { BreakdownForm } from "./breakdown-form.tsx";
import "./breakdown.css";
import { CutListExport } from "./cut-list-export.tsx";
import { CutListImport } from "./cut-list-import.tsx";
import { PlaySheet } from "./play-sheet.tsx";
import { PlayTimes } from "./play-times.tsx";
import { type Breakdown, useBreakdown } from "./use-breakdown.ts";
import { useBreakdownKeys } from "./use-breakdown-keys.ts";

/** Cutting the film into plays, and saying what each began and ended with. */
export function BreakdownPlace({
  cache,
  onFieldbook,
}: {
  readonly cache: GameCache;
  readonly onFieldbook: () => void;
}) {
  const breakdown = useBreakdown(cache, onFieldbook);
  const { state, records, film, readOnly, play, layout } = breakdown;
  const [listOpen, setListOpen] = useState<"import" | "export" | null>(null);
  const [attaching, setAttaching] = useState(false);
  const place = useRef<HTMLDivElement>(null);
  useBreakdownKeys(breakdown, place);
  const focusFilm = () => place.current?.querySelector<HTMLElement>(".film-pane")?.focus();
  return (
    <div className="breakdown" ref={place}>
      <header className="head">
        <h1>{records.game.title}</h1>
        <span className="soft crumbs">Breakdown{play ? ` · play ${play.number}` : ""}</span>
        <span className="gap" />
        <Button disabled={!film || readOnly} onPress={() => setListOpen("import")}>
          Import a cut list…
        </Button>
        <Button disabled={!film} onPress={() => setListOpen("export")}>
          Export a cut list…
        </Button>
        {film ? (
          <FilmsBar
            records={records}
            film={film}
            timeSec={breakdown.playerState.timeSec}
            readOnly={readOnly}
            edit={breakdown.edit}
            onFilm={breakdown.showFilm}
            onNextAngle={breakdown.goToNextAngle}
            onAttach={() => setAttaching(true)}
          />
        ) : null}
        <HistoryButtons cache={cache} state={state} />
      </header>
      <BreakdownFilm breakdown={breakdown} onFieldbook={onFieldbook} onAttach={() => setAttaching(true)} />
      <BreakdownForm breakdown={breakdown} onFilm={focusFilm} />
      <PlaySheet
        records={records}
        layout={layout}
        judged={breakdown.judged}
        playId={play?.id ?? null}
        onGo={(wanted) => void breakdown.goTo(wanted, wanted.snapSec ?? wanted.startSec)}
        onOpen={(wanted) => void breakdown.openPlay(wanted)}
      />
      {attaching ? <AttachFilms cache={cache} onClose={() => setAttaching(false)} onFilm={breakdown.showFilm} /> : null}
      {listOpen === "import" && film ? (
        <CutListImport
          records={records}
          film={film}
          framesPerSec={Math.round(1000 / breakdown.frameSec) / 1000}
          layout={layout}
          rules={breakdown.rules}
          onClose={() => setListOpen(null)}
          onTake={breakdown.edit}
        />
      ) : null}
      {listOpen === "export" && film ? (
        <CutListExport records={records} film={film} onClose={() => setListOpen(null)} />
      ) : null}
    </div>
  );
}

const nothingCarried: readonly never[] = [];

/** The film with the times of the play at hand below it; or why there is none, and what to do. */
function BreakdownFilm(props: {
  readonly breakdown: Breakdown;
  readonly onFieldbook: () => void;
  readonly onAttach: () => void;
}) {
  const { breakdown, onFieldbook, onAttach } = props;
  const { records, film, filmState, opened, player, playerState, play, proposals, readOnly } = breakdown;
  const surveyed = useMemo(() => stakedEnough(records.stakes), [records.stakes]);
  const filmId = film?.id;
  const plays = useMemo(() => (filmId === undefined ? [] : playsOn(records, filmId)), [records, filmId]);
  const moments = useMemo(() => records.moments.filter((one) => one.filmId === filmId), [records.moments, filmId]);
  if (!film || filmState !== "present" || opened.kind === "failed")
    return (
      <section className="breakdown-film" aria-label="Film">
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
            <Button look="primary" disabled={readOnly} onPress={onAttach}>
              Attach film…
            </Button>
          )}
        </div>
      </section>
    );
  return (
    <section className="breakdown-film" aria-label="Film">
      <div className="film-frame">
        <FilmView film={film} canvas={breakdown.canvas} video={breakdown.video} />
        {opened.kind === "opening" ? (
          <p className="opening" role="status">
            Reading the film’s frames…
          </p>
        ) : null}
      </div>
      {player ? (
        <Transport player={player} state={playerState} play={breakdown.shownPlay} onLoop={breakdown.toggleLoop} />
      ) : (
        <div className="transport" />
      )}
      <TimeKeys disabled={!player || readOnly} onTime={breakdown.setTime} />
      {play ? (
        <PlayTimes
          play={play}
          timeSec={breakdown.playSec}
          frameSec={breakdown.frameSec}
          readOnly={readOnly}
          onMove={(which, sec) => breakdown.planned((now, one) => moveTime(now, one, which, sec))}
          onClear={(which) => breakdown.planned((_, one) => clearTime(one, which))}
          onSeek={(sec) => void breakdown.goTo(play, sec)}
        />
      ) : (
        <p className="soft no-play">No play yet: press N at the first snap.</p>
      )}
      <ContactStrip
        film={film}
        plays={plays}
        moments={moments}
        carried={nothingCarried}
        surveyed={surveyed}
        proposed={proposals.open.map((one) => ({ ...one, here: one === proposals.chosen }))}
        state={playerState}
        onSeek={breakdown.seekHere}
        frameSec={breakdown.frameSec}
        {...(readOnly ? {} : { onMoveTime: breakdown.moveTimeOnFilm })}
      />
    </section>
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
