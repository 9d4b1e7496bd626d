import { scales } from "#core/grading/scales";
import type { GameCache } from "../app/game-cache.ts";
import { HistoryButtons } from "../app/history-buttons.tsx";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import { FilmView } from "../stage/film/film-view.tsx";
import { Transport } from "../stage/film/transport.tsx";
import { GradeForm } from "./grade-form.tsx";
import { GradeTable } from "./grade-table.tsx";
import "./gradesheet.css";
import { useGradeSheet } from "./use-grade-sheet.ts";

/** Grading a game: what the findings suggest, and what a person says. The film follows the cell at hand. */
export function GradeSheetPlace({
  cache,
  onBreakdown,
}: {
  readonly cache: GameCache;
  readonly onBreakdown: () => void;
}) {
  const sheet = useGradeSheet(cache);
  const { records, at, film, opened, filmState, share, player, playerState } = sheet;
  return (
    <div className="gradesheet">
      <header className="head">
        <h1>{records.game.title}</h1>
        <span className="soft crumbs">Grade sheet{share.of > 0 ? ` · ${share.graded} of ${share.of} graded` : ""}</span>
        <span className="gap" />
        <HistoryButtons cache={cache} state={sheet.state} />
      </header>
      {sheet.plays.length === 0 || records.game.crew.length === 0 ? (
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
          <section className="grade-room" aria-label="Grades">
            <GradeTable sheet={sheet} />
            <p className="soft legend">
              ≈ suggested by the findings; a bare number is a grade; ≠ differs from what was suggested; ? cannot be
              judged; · nothing to suggest.
            </p>
          </section>
          <aside className="grade-side" aria-label="The cell at hand">
            {film && filmState === "present" && opened.kind !== "failed" ? (
              <section ref={sheet.filmRoom} className="grade-film" aria-label="Film">
                <FilmView film={film} canvas={sheet.canvas} video={sheet.video} />
                {player ? (
                  <Transport player={player} state={playerState} play={sheet.play} onLoop={sheet.loop} />
                ) : null}
              </section>
            ) : (
              <p className="soft">The film is not here: find it again in the field book. What was found is below.</p>
            )}
            <Choice
              label="Scale"
              value={sheet.scale.id}
              options={(records.grades.length > 0 ? [sheet.scale] : scales).map(({ id, name }) => ({
                value: id,
                name,
              }))}
              onChange={sheet.chooseScale}
            />
            {at ? <GradeForm key={`${at.playId} ${at.position} ${at.criterion}`} sheet={sheet} at={at} /> : null}
          </aside>
        </>
      )}
    </div>
  );
}
