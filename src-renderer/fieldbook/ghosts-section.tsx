import { glyphOf, subjectName } from "#core/picture/mark-glyph";
import { phaseNames } from "#core/game/words";
import { Button } from "../parts/button.tsx";
import { Choice } from "../parts/labelled.tsx";
import { FollowRow, lostWords } from "./follow-row.tsx";
import type { CarryHand } from "./use-carry.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** People brought over from another moment: one click each puts them where they stand now. */
export function GhostsSection({ fieldbook, hand }: { readonly fieldbook: Fieldbook; readonly hand: CarryHand }) {
  const { ghosts, placeGhosts, play } = fieldbook;
  const { list, next, source, formations } = ghosts;
  if (!source && formations.length === 0) return null;
  const officials = list.filter(({ subject }) => subject.kind === "official");
  return (
    <section className="ghosts" aria-label="Brought over">
      <h3>
        Brought over{" "}
        <span className="soft">
          {source
            ? `from ${phaseNames[source.moment.phase].toLowerCase()}${source.play.id === play?.id ? "" : ` of play ${source.play.number}`}`
            : ""}
        </span>
      </h3>
      {formations.length > 0 ? (
        <Choice
          label="From"
          value={source && source.play.id !== play?.id ? source.moment.id : ""}
          options={[
            { value: "", name: "this play’s nearest moment" },
            ...formations.map((one) => ({ value: one.moment.id, name: `formation of play ${one.play.number}` })),
          ]}
          onChange={(momentId) => ghosts.copyFrom(momentId === "" ? null : momentId)}
        />
      ) : null}
      {list.length === 0 ? (
        <p className="soft">
          {source ? "Everybody of that moment is marked here." : "No other moment of this play is marked."}
        </p>
      ) : (
        <>
          <p className="ask" aria-live="polite">
            {next ? (
              <>
                Click where <b>{subjectName(next.subject)}</b> stands now{lostWords(next.followed)}; {list.length} to
                go.
              </>
            ) : (
              `${list.length} are waiting.`
            )}
          </p>
          <div className="row">
            {next ? (
              <>
                <Button
                  shortcut="T"
                  onPress={() => void placeGhosts(`Bring ${subjectName(next.subject)} over`, [next])}
                >
                  {next.followed === "followed" ? "Stands there" : "Stands there still"}
                </Button>
                <Button shortcut="X" onPress={() => ghosts.leaveOut(next.id)}>
                  Leave out
                </Button>
              </>
            ) : (
              <Button onPress={() => ghosts.choose(list[0]?.id ?? null)}>Go on with them</Button>
            )}
            {officials.length > 0 ? (
              <Button onPress={() => void placeGhosts("Bring the officials over", officials)}>All officials</Button>
            ) : null}
            <Button shortcut="⇧T" onPress={() => void placeGhosts("Bring everybody over", list)}>
              All {list.length}
            </Button>
          </div>
          <FollowRow fieldbook={fieldbook} hand={hand} />
          <ul className="ghost-list" aria-label="Waiting to be placed">
            {list.map((ghost) => (
              <li key={ghost.id}>
                <Button
                  look="bare"
                  name={`Place ${subjectName(ghost.subject)} next${ghost.followed === null ? "" : ghost.followed === "followed" ? ", followed" : ", lost sight of"}`}
                  pressed={ghost.id === next?.id}
                  onPress={() => ghosts.choose(ghost.id)}
                >
                  {ghost.subject.kind === "player"
                    ? `${glyphOf(ghost.subject).text} ${ghost.subject.role}`
                    : subjectName(ghost.subject)}
                  {ghost.followed === null || ghost.followed === "followed" ? "" : " ?"}
                </Button>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
