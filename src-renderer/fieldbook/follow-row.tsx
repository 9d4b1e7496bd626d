import type { LostReason } from "#core/carry/follow";
import type { Ghost } from "#core/scoring/ghosts";
import { Button } from "../parts/button.tsx";
import { type CarryHand, surveyedMoments } from "./use-carry.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** Following those brought over through the film, from where they were marked to this frame. */
export function FollowRow({ fieldbook, hand }: { readonly fieldbook: Fieldbook; readonly hand: CarryHand }) {
  const { ghosts, placeGhosts, play, here } = fieldbook;
  const { following, list, source } = ghosts;
  const { work, possible, followed, start, cancel } = following;
  if (!play || !here || source?.play.id !== play.id || source.moment.filmId !== here.film.id) return null;
  if (work.kind === "working") return <Progress says="Following them" work={work} onCancel={cancel} />;
  if (hand.work.kind === "working")
    return <Progress says="Carrying the survey" work={hand.work} onCancel={hand.cancel} />;
  if (!possible) {
    return (
      <div className="row">
        <Button disabled={surveyedMoments(fieldbook, play).length === 0} onPress={() => void hand.carry(play)}>
          Carry the survey through this play
        </Button>
        <span className="soft">Then they can be followed through the film.</span>
      </div>
    );
  }
  const found = list.filter((ghost) => ghost.followed === "followed");
  const lost = list.filter((ghost) => ghost.followed !== null && ghost.followed !== "followed");
  return (
    <div className="row" role="status">
      {followed === null ? (
        <Button shortcut="⇧F" onPress={() => void start()}>
          Follow them through the film
        </Button>
      ) : (
        <>
          <span className="soft">
            {found.length} followed; {lost.length} lost sight of, and left where they stood.
          </span>
          {found.length > 0 ? (
            <Button onPress={() => void placeGhosts("Bring those followed over", found)}>
              All {found.length} followed
            </Button>
          ) : null}
        </>
      )}
    </div>
  );
}

function Progress({
  says,
  work,
  onCancel,
}: {
  readonly says: string;
  readonly work: { readonly done: number; readonly total: number };
  readonly onCancel: () => void;
}) {
  return (
    <div className="carrying">
      <label>
        <span>
          {says}, {Math.round((100 * work.done) / work.total)} %…
        </span>
        <progress value={work.done} max={work.total} />
      </label>
      <Button onPress={onCancel}>Cancel</Button>
    </div>
  );
}

const why: Record<LostReason, string> = {
  "left-picture": " (they left the picture on the way)",
  "out-of-sight": " (out of sight on the way)",
  "not-the-way-back": " (could not be told from others on the way)",
};

/** Why somebody was lost; nothing for those who were not. */
export function lostWords(followed: Ghost["followed"]): string {
  return followed === null || followed === "followed" ? "" : why[followed];
}
