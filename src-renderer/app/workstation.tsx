import { useCallback, useEffect, useRef, useState, useSyncExternalStore } from "react";
import { BreakdownPlace } from "../breakdown/breakdown-place.tsx";
import { FieldbookPlace } from "../fieldbook/fieldbook-place.tsx";
import { GradeSheetPlace } from "../gradesheet/grade-sheet-place.tsx";
import { GamesPlace } from "../games/games-place.tsx";
import { MechanicsPlace } from "../mechanics/mechanics-place.tsx";
import { SeasonPlace } from "../season/season-place.tsx";
import { type Client, watchConnection } from "./client.ts";
import { useFailures } from "./failures.tsx";
import { FirstGame } from "./first-game.tsx";
import { GameCache } from "./game-cache.ts";
import { knowVersion } from "./details.ts";
import { KeySheet } from "./key-sheet.tsx";
import { actionOf } from "./keys.ts";
import { type Service, ServiceContext } from "./service.tsx";
import { LibraryPlace } from "../library/library-place.tsx";
import { Button } from "../parts/button.tsx";
import { openNextAt } from "../stage/film/use-film.ts";
import { applySheet, isDark, storedSheet } from "./sheet.ts";
import {
  BookIcon,
  CutIcon,
  FieldIcon,
  GradeIcon,
  HelpIcon,
  LibraryIcon,
  MechanicsIcon,
  PaperIcon,
  SeasonIcon,
} from "./spine-icons.tsx";

import { useBackupFailure } from "./use-backup-failure.ts";

type Place = "games" | "breakdown" | "fieldbook" | "gradesheet" | "season" | "mechanics" | "library";

type Props = {
  readonly client: Client;
  /** What was done to the library just before, in a sentence; empty when nothing was. */
  readonly told: string;
  /** Another library is in place: the window is begun anew with a sentence that says so. */
  readonly onReplaced: (sentence: string) => void;
};

/** The window: a spine with the places, and the place that is open. */
export function Workstation({ client, told, onReplaced }: Props) {
  const { attempt } = useFailures();
  const connection = useSyncExternalStore(watchConnection().subscribe, watchConnection().getState);
  const [service, setService] = useState<Service | null>(null);
  const [cache, setCache] = useState<GameCache | null>(null);
  const [place, showPlace] = useState<Place>("games");
  // Where a person has gone is not left again because the demo game was slow to open.
  const hasGone = useRef(false);
  const setPlace = (to: Place) => {
    hasGone.current = true;
    showPlace(to);
  };
  // Once opened it stays, so that what is typed there is not lost by a look elsewhere.
  const [mechanicsOpened, setMechanicsOpened] = useState(false);
  const [dark, setDark] = useState(() => isDark(storedSheet()));
  const [keysShown, setKeysShown] = useState(false);
  const [findAsked, setFindAsked] = useState(0);
  const [isTold, setIsTold] = useState(told !== "");
  const noBackup = useBackupFailure(client);
  // Packets that were dropped onto the window, wherever one was.
  const [dropped, setDropped] = useState<readonly File[]>([]);

  const openGame = async (gameId: string, at: { filmId: string; timeSec: number } | null = null) => {
    const opened = await attempt(() => GameCache.open(client, gameId));
    if (!opened) return;
    if (at) {
      openNextAt(at.filmId, at.timeSec);
      opened.filmInView = at.filmId;
    }
    setCache((before) => {
      before?.close();
      return opened;
    });
    setPlace("fieldbook");
  };

  useEffect(() => {
    void attempt(async () => {
      const [info, settings] = await Promise.all([client.library.info(), client.library.settings()]);
      const set: Service["set"] = async (part) => {
        const kept = await client.library.set(structuredClone(part) as Parameters<typeof client.library.set>[0]);
        setService((before) => before && { ...before, settings: kept });
      };
      knowVersion(info.appVersion);
      setService({ client, info, settings, set });
      if (info.demoGameId === null) return;
      const demo = await GameCache.open(client, info.demoGameId);
      // A game that a person has opened meanwhile stays.
      setCache((before) => {
        if (before !== null) demo.close();
        return before ?? demo;
      });
      if (!hasGone.current) showPlace("fieldbook");
    });
  }, [attempt, client]);

  const closeGame = useCallback((gameId: string) => {
    setCache((open) => {
      if (open?.gameId !== gameId) return open;
      open.close();
      return null;
    });
  }, []);

  useEffect(() => {
    const onKey = (event: globalThis.KeyboardEvent) => {
      if (actionOf(event, undefined) !== "find" || document.querySelector("dialog[open]")) return;
      event.preventDefault();
      hasGone.current = true;
      showPlace("games");
      setFindAsked((count) => count + 1);
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);

  if (!service) {
    return (
      <main className="loading">
        {connection === "lost"
          ? "Crewglass is not answering. Start it again if it was closed."
          : "Opening the library…"}
      </main>
    );
  }
  return (
    <ServiceContext.Provider value={service}>
      <div
        className="workstation"
        onDragOver={(event) => {
          if ([...event.dataTransfer.items].some(({ kind }) => kind === "file")) event.preventDefault();
        }}
        onDrop={(event) => {
          const files = [...event.dataTransfer.files];
          if (files.length === 0) return;
          event.preventDefault();
          setDropped(files);
          setPlace("season");
        }}
      >
        <nav className="spine" aria-label="Places">
          <div className="plate" aria-hidden="true">
            Crew
            <br />
            glass
          </div>
          <button type="button" aria-current={place === "games" ? "page" : undefined} onClick={() => setPlace("games")}>
            <BookIcon />
            Games
          </button>
          <button
            type="button"
            aria-current={place === "breakdown" ? "page" : undefined}
            disabled={cache === null}
            onClick={() => setPlace("breakdown")}
          >
            <CutIcon />
            Breakdown
          </button>
          <button
            type="button"
            aria-current={place === "fieldbook" ? "page" : undefined}
            disabled={cache === null}
            onClick={() => setPlace("fieldbook")}
          >
            <FieldIcon />
            Field book
          </button>
          <button
            type="button"
            aria-current={place === "gradesheet" ? "page" : undefined}
            disabled={cache === null}
            onClick={() => setPlace("gradesheet")}
          >
            <GradeIcon />
            Grades
          </button>
          <button
            type="button"
            aria-current={place === "season" ? "page" : undefined}
            onClick={() => setPlace("season")}
          >
            <SeasonIcon />
            Season
          </button>
          <button
            type="button"
            aria-current={place === "mechanics" ? "page" : undefined}
            onClick={() => {
              setMechanicsOpened(true);
              setPlace("mechanics");
            }}
          >
            <MechanicsIcon />
            Mechanics
          </button>
          <span className="gap" />
          <button
            type="button"
            aria-current={place === "library" ? "page" : undefined}
            onClick={() => setPlace("library")}
          >
            <LibraryIcon />
            Library
          </button>
          <button type="button" onClick={() => setKeysShown(true)}>
            <HelpIcon />
            Keys
          </button>
          <button
            type="button"
            aria-pressed={dark}
            onClick={() => {
              applySheet(dark ? "light" : "dark");
              setDark(!dark);
            }}
          >
            <PaperIcon />
            {dark ? "Day sheet" : "Night sheet"}
          </button>
        </nav>
        <main className="place">
          <div className="standings">
            {service.info.readOnly || connection === "lost" ? <Standing lost={connection === "lost"} /> : null}
            {noBackup !== null && place !== "library" ? (
              <p className="standing" role="status">
                {noBackup} <Button onPress={() => setPlace("library")}>Library</Button>
              </p>
            ) : null}
            {isTold ? (
              <p className="standing told" role="status">
                {told} <Button onPress={() => setIsTold(false)}>Dismiss</Button>
              </p>
            ) : null}
          </div>
          {cache && (place === "fieldbook" || place === "breakdown") ? (
            <FirstGame key={`guide ${cache.gameId}`} cache={cache} onPlace={setPlace} />
          ) : null}
          {place === "fieldbook" && cache ? <FieldbookPlace key={cache.gameId} cache={cache} /> : null}
          {place === "breakdown" && cache ? (
            <BreakdownPlace key={cache.gameId} cache={cache} onFieldbook={() => setPlace("fieldbook")} />
          ) : null}
          {place === "gradesheet" && cache ? (
            <GradeSheetPlace
              key={cache.gameId}
              cache={cache}
              onBreakdown={() => setPlace("breakdown")}
              onOtherGame={({ gameId, filmId, timeSec }) => void openGame(gameId, { filmId, timeSec })}
            />
          ) : null}
          {place === "season" ? <SeasonPlace dropped={dropped} /> : null}
          {place === "library" ? <LibraryPlace onReplaced={onReplaced} /> : null}
          {place === "games" || (ofGame.has(place) && !cache) ? (
            <GamesPlace
              openGameId={cache?.gameId ?? null}
              findAsked={findAsked}
              onOpen={openGame}
              onRemoved={closeGame}
            />
          ) : null}
          {mechanicsOpened ? <MechanicsPlace shown={place === "mechanics"} /> : null}
        </main>
        {keysShown ? <KeySheet onClose={() => setKeysShown(false)} /> : null}
      </div>
    </ServiceContext.Provider>
  );
}

/** Places that show a game, and the list of games until there is one. */
const ofGame: ReadonlySet<Place> = new Set(["breakdown", "fieldbook", "gradesheet"]);

function Standing({ lost }: { readonly lost: boolean }) {
  return (
    <p className="standing" role="status">
      {lost
        ? "Crewglass is not answering and is being tried again. What was saved is safe; nothing new is kept until it answers."
        : "This library can only be read: its file or folder is write-protected. Nothing you change here can be kept."}
    </p>
  );
}
