import { useState } from "react";
import { scalesToChoose } from "#core/grading/scales";
import type { GameCache } from "../app/game-cache.ts";
import { HistoryButtons } from "../app/history-buttons.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import { FinaliseSlip, ObserverSlip } from "./finalise-slip.tsx";
import { GradeFilm } from "./grade-film.tsx";
import { GradeForm } from "./grade-form.tsx";
import { GradeTable } from "./grade-table.tsx";
import "./gradesheet.css";
import { PacketSlip } from "./packet-slip.tsx";
import { PagesPanel } from "./pages-panel.tsx";
import { PrivateNote } from "./private-note.tsx";
import { type InstantOfGame, ReviewPanel } from "./review-panel.tsx";
import { RulingForm } from "./ruling-form.tsx";
import { RulingsTable, useRulings } from "./rulings-table.tsx";
import { ScaleEditor } from "./scale-editor.tsx";
import { TeachingPanel } from "./teaching-panel.tsx";
import { type GradeSheet, useGradeSheet } from "./use-grade-sheet.ts";

const pages = [
  { id: "grades", name: "Sheet" },
  { id: "rulings", name: "Rulings" },
  { id: "pages", name: "Pages" },
  { id: "teaching", name: "Teaching" },
  { id: "review", name: "Own review" },
] as const;
type Page = (typeof pages)[number]["id"];

/** Grading a game: what the findings suggest, and what a person says. The film follows what is at hand. */
export function GradeSheetPlace({
  cache,
  onBreakdown,
  onOtherGame,
}: {
  readonly cache: GameCache;
  readonly onOtherGame: (instant: InstantOfGame) => void;
  readonly onBreakdown: () => void;
}) {
  const { settings, info } = useService();
  const [page, setPage] = useState<Page>("grades");
  const isFilmShown = page === "grades" || page === "rulings";
  const sheet = useGradeSheet(cache, isFilmShown);
  const { records, share, sealed } = sheet;
  const [slip, setSlip] = useState<"finalise" | "observer" | "packet" | null>(null);
  const rulings = useRulings(sheet);
  /** To the film at an instant: here beside the grades, or in another game. */
  const goTo = (instant: InstantOfGame) => {
    if (instant.gameId !== cache.gameId) return onOtherGame(instant);
    setPage("grades");
    void sheet.goToInstant(instant.filmId, instant.timeSec);
  };
  const isEmpty = sheet.plays.length === 0 || records.game.crew.length === 0;
  return (
    <div className="gradesheet">
      <header className="head">
        <h1 title={records.game.title}>{records.game.title}</h1>
        <span className="soft crumbs">
          Grade sheet
          {share.of > 0 ? ` · ${share.graded} of ${share.of} graded` : ""}
          {sealed ? ` · finalised ${new Date(sealed.sealedAt).toLocaleDateString()}` : ""}
        </span>
        {isEmpty ? null : (
          <nav className="pages" aria-label="Pages of the grade sheet">
            {pages.map(({ id, name }) => (
              <Button key={id} pressed={page === id} onPress={() => setPage(id)}>
                {name}
              </Button>
            ))}
          </nav>
        )}
        <span className="gap" />
        {sheet.whose.authors.length > 1 ? (
          <select
            aria-label="Grades of"
            value={sheet.whose.authorId}
            onChange={(event) => sheet.whose.choose(event.target.value)}
          >
            {sheet.whose.authors.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        ) : null}
        <Button name="Observer" onPress={() => setSlip("observer")}>
          {settings.observerName || "Observer…"}
        </Button>
        <Button disabled={isEmpty} onPress={() => setSlip("packet")}>
          Packet…
        </Button>
        {sealed === null && sheet.whose.isOwn ? (
          <Button disabled={info.readOnly || isEmpty} onPress={() => setSlip("finalise")}>
            Finalise…
          </Button>
        ) : null}
        <HistoryButtons cache={cache} state={sheet.state} />
      </header>
      {isEmpty ? (
        <div className="empty">
          <p>
            {sheet.plays.length === 0
              ? "No plays to grade yet: cut the film into plays first."
              : "This game names no crew, so there is nobody to grade."}
          </p>
          {sheet.plays.length === 0 ? (
            <Button look="primary" onPress={onBreakdown}>
              Breakdown
            </Button>
          ) : null}
        </div>
      ) : (
        <>
          {page === "pages" ? <PagesPanel sheet={sheet} /> : null}
          {page === "teaching" ? <TeachingPanel sheet={sheet} /> : null}
          {page === "review" ? <ReviewPanel sheet={sheet} onInstant={goTo} /> : null}
          {isFilmShown ? (
            <section className="grade-room" aria-label={page === "grades" ? "Grades" : "Rulings"}>
              {page === "grades" ? <GradesRoom sheet={sheet} /> : <RulingsTable sheet={sheet} rulings={rulings} />}
            </section>
          ) : null}
          {/* The film stays where it is, whichever page is beside it. */}
          <aside
            hidden={!isFilmShown}
            className="grade-side"
            aria-label={page === "grades" ? "The cell at hand" : "The ruling at hand"}
          >
            <GradeFilm sheet={sheet} />
            {page === "grades" ? <GradesSide sheet={sheet} /> : null}
            {page === "rulings" ? (
              <RulingForm
                key={rulings.open?.id ?? "new"}
                sheet={sheet}
                ruling={rulings.open}
                onKept={rulings.setOpenId}
              />
            ) : null}
          </aside>
        </>
      )}
      {slip === "finalise" ? <FinaliseSlip sheet={sheet} onClose={() => setSlip(null)} /> : null}
      {slip === "packet" ? <PacketSlip gameId={cache.gameId} onClose={() => setSlip(null)} /> : null}
      {slip === "observer" ? (
        <ObserverSlip positions={records.game.crew.map(({ position }) => position)} onClose={() => setSlip(null)} />
      ) : null}
    </div>
  );
}

function GradesRoom({ sheet }: { readonly sheet: GradeSheet }) {
  return (
    <>
      <GradeTable
        plays={sheet.plays}
        columns={sheet.columns}
        at={sheet.at}
        gradeIn={sheet.gradeIn}
        suggestedIn={sheet.suggestedIn}
        onChoose={sheet.choose}
      />
      <p className="soft legend">
        ≈ suggested by the findings; a bare number is a grade; ≠ differs from what was suggested; ? cannot be judged; ·
        nothing to suggest.
      </p>
      <div className="legend">
        <PrivateNote
          sheet={sheet}
          subject={{ playId: null, position: null }}
          label="Private note on the game: stays here"
        />
      </div>
    </>
  );
}

function GradesSide({ sheet }: { readonly sheet: GradeSheet }) {
  const { at } = sheet;
  const { settings } = useService();
  const [editing, setEditing] = useState(false);
  const { hasGrades } = sheet;
  return (
    <>
      <div className="row scale-row">
        <Choice
          label="Scale"
          value={sheet.scale.id}
          options={(hasGrades ? [sheet.scale] : scalesToChoose(settings.scales)).map(({ id, name }) => ({
            value: id,
            name,
          }))}
          onChange={sheet.chooseScale}
        />
        <Button disabled={sheet.readOnly || hasGrades} onPress={() => setEditing(true)}>
          Scales…
        </Button>
      </div>
      {at ? <GradeForm key={`${at.playId} ${at.position} ${at.criterion}`} sheet={sheet} at={at} /> : null}
      {editing ? (
        <ScaleEditor scale={sheet.scale} onChoose={sheet.chooseScale} onClose={() => setEditing(false)} />
      ) : null}
    </>
  );
}
