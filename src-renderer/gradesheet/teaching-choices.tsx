import type { MissedWord, MomentChoice, PlayChoice } from "#core/report/teaching-choices";
import { Button } from "../parts/button.tsx";
import type { Teaching } from "./use-teaching.ts";

const said = (missed: readonly MissedWord[]) =>
  missed.map(({ position, word }) => (position === null ? word : `${position}: ${word}`)).join("; ");

/** The plays of the game and their judged moments, each with what was missed in a word, to be added to the page. */
export function TeachingChoices({
  choices,
  teaching,
  onAdded,
}: {
  readonly choices: readonly PlayChoice[];
  readonly teaching: Teaching;
  readonly onAdded: (name: string) => void;
}) {
  const firstMissed = choices.find(({ missed }) => missed.length > 0)?.playId;
  return (
    <section className="teaching-choices" aria-label="Plays and moments of the game">
      <h2>From the game</h2>
      {choices.length === 0 ? (
        <p className="empty">
          No moment of this game is surveyed and marked yet: the field book is where that is done. Your own words can go
          on the page already.
        </p>
      ) : null}
      {choices.map((choice) => (
        <details key={choice.playId} open={choice.playId === firstMissed}>
          <summary>
            <b>{choice.name}</b>
            <span className="soft">{said(choice.missed) || "nothing missed"}</span>
          </summary>
          <ul>
            {choice.isWhole ? (
              <li>
                <ChoiceName
                  name="The whole play"
                  missed=""
                  isThere={teaching.items.some((item) => item.kind === "play" && item.playId === choice.playId)}
                />
                <AddButton
                  name={`${choice.name}: the whole play`}
                  isFull={teaching.isFull}
                  onPress={() => {
                    teaching.add({ kind: "play", playId: choice.playId, position: null });
                    onAdded(`${choice.name}, the whole play`);
                  }}
                />
              </li>
            ) : null}
            {choice.moments.map((moment) => (
              <li key={moment.momentId}>
                <ChoiceName
                  name={`${moment.name.slice(0, 1).toUpperCase()}${moment.name.slice(1)}`}
                  missed={said(moment.missed)}
                  isThere={teaching.items.some((item) => item.kind === "moment" && item.momentId === moment.momentId)}
                />
                <AddButton
                  name={`${choice.name}: ${moment.name}`}
                  isFull={teaching.isFull}
                  onPress={() => {
                    teaching.add({
                      kind: "moment",
                      momentId: moment.momentId,
                      position: onlyOne(moment),
                      withBefore: true,
                    });
                    onAdded(`${choice.name}, ${moment.name}`);
                  }}
                />
              </li>
            ))}
          </ul>
        </details>
      ))}
    </section>
  );
}

/** A moment at which one official missed something is about that one until it is said otherwise. */
function onlyOne({ missed }: MomentChoice): string | null {
  const positions = new Set(missed.map(({ position }) => position));
  return positions.size === 1 ? (missed[0]?.position ?? null) : null;
}

function ChoiceName({
  name,
  missed,
  isThere,
}: {
  readonly name: string;
  readonly missed: string;
  readonly isThere: boolean;
}) {
  return (
    <span>
      {name}
      {missed === "" ? null : <i className="missed">{missed}</i>}
      {isThere ? <i className="soft">✓ on the page</i> : null}
    </span>
  );
}

function AddButton({
  name,
  isFull,
  onPress,
}: {
  readonly name: string;
  readonly isFull: boolean;
  readonly onPress: () => void;
}) {
  return (
    <Button name={`Add ${name}`} disabled={isFull} onPress={onPress}>
      Add
    </Button>
  );
}
