import { FilmView } from "../stage/film/film-view.tsx";
import { Transport } from "../stage/film/transport.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** The film beside what is said of it. */
export function GradeFilm({ sheet }: { readonly sheet: GradeSheet }) {
  const { film, filmState, opened, player, playerState } = sheet;
  if (!film || filmState !== "present" || opened.kind === "failed")
    return <p className="soft">The film is not here: find it again in the field book. What was found is below.</p>;
  return (
    <section ref={sheet.filmRoom} className="grade-film" aria-label="Film">
      <FilmView film={film} canvas={sheet.canvas} video={sheet.video} />
      {player ? <Transport player={player} state={playerState} play={sheet.play} onLoop={sheet.loop} /> : null}
    </section>
  );
}
