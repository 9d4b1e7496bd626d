import { type FormEvent, type ReactNode, useEffect, useMemo, useState } from "react";
import { counted } from "#core/game/words";
import { type FieldChange, planFieldChange } from "#core/game/field-change";
import { useFailuresHere } from "../app/failures.tsx";
import { GameCache } from "../app/game-cache.ts";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import { type FieldDraft, draftOf, readFieldDraft } from "./field-draft.ts";
import { FieldEditor, focusFirstProblem } from "./field-editor.tsx";

/** Another field under a game that is there already: one edit, which can be taken back. */
export function FieldOfGame(props: { readonly gameId: string; readonly title: string; readonly onClose: () => void }) {
  const { client } = useService();
  const { attempt, notice } = useFailuresHere();
  const [cache, setCache] = useState<GameCache | null>(null);
  useEffect(() => {
    let opened: GameCache | null = null;
    let gone = false;
    void attempt(async () => {
      opened = await GameCache.open(client, props.gameId);
      if (gone) opened.close();
      else setCache(opened);
    });
    return () => {
      gone = true;
      opened?.close();
    };
  }, [attempt, client, props.gameId]);
  return (
    <Slip title={`Field of “${props.title}”`} onClose={props.onClose}>
      {cache ? (
        <FieldForm
          cache={cache}
          notice={notice}
          onClose={props.onClose}
          onKeep={(change) =>
            void attempt(async () => {
              await cache.edit("Change the field", change.changes);
              props.onClose();
            })
          }
        />
      ) : (
        <>
          <p className="soft">Reading the game…</p>
          {notice}
        </>
      )}
    </Slip>
  );
}

function FieldForm(props: {
  readonly cache: GameCache;
  readonly notice: ReactNode;
  readonly onClose: () => void;
  readonly onKeep: (change: FieldChange) => void;
}) {
  const { records } = props.cache.getState();
  const { readOnly } = useService().info;
  const [draft, setDraft] = useState<FieldDraft>(() => draftOf(records.game));
  const [asking, setAsking] = useState<FieldChange | null>(null);
  const reading = useMemo(() => readFieldDraft(draft), [draft]);
  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    if (!reading.ok) return focusFirstProblem(event.currentTarget);
    // Planned on what is there now: another window may have staked in the meantime.
    const change = planFieldChange(props.cache.getState().records, reading.field);
    if (change.lost.length > 0) setAsking(change);
    else props.onKeep(change);
  };
  if (asking !== null)
    return (
      <>
        <LossQuestion change={asking} onBack={() => setAsking(null)} onKeep={props.onKeep} />
        {props.notice}
      </>
    );
  const change = reading.ok ? planFieldChange(records, reading.field) : null;
  return (
    <form onSubmit={submit} className="slip-form">
      <FieldEditor draft={draft} reading={reading} onChange={setDraft} />
      {change && change.changes.length > 0 ? <Consequences change={change} asked={false} /> : null}
      {props.notice}
      <div className="end">
        <Button onPress={props.onClose}>Cancel</Button>
        <button type="submit" className="button primary" disabled={readOnly}>
          Change the field
        </button>
      </div>
    </form>
  );
}

/** What the change does to what is there; what is lost is asked about by name before it goes. */
function Consequences({ change, asked }: { readonly change: FieldChange; readonly asked: boolean }) {
  const { moved, playsOff } = change;
  const lost = asked ? [] : change.lost;
  if (lost.length + moved.length + playsOff.length === 0) return null;
  return (
    <ul className="consequences" role="status">
      {lost.length > 0 ? (
        <li>
          {counted(lost.length, "stake stands", "stakes stand")} on points or lines that this field does not have.
        </li>
      ) : null}
      {moved.length > 0 ? (
        <li>
          {counted(moved.length, "stake keeps its name and stands", "stakes keep their names and stand")} elsewhere on
          this field; {moved.length === 1 ? "its frame is" : "their frames are"} surveyed anew.
        </li>
      ) : null}
      {playsOff.length > 0 ? (
        <li>
          {playsOff.length === 1 ? `Play ${playsOff[0]} has a spot` : `Plays ${playsOff.join(", ")} have spots`} outside
          this field: put {playsOff.length === 1 ? "it" : "them"} right on the Play page.
        </li>
      ) : null}
    </ul>
  );
}

function LossQuestion(props: {
  readonly change: FieldChange;
  readonly onBack: () => void;
  readonly onKeep: (change: FieldChange) => void;
}) {
  const { change } = props;
  const frames = new Set(change.lost.map((stake) => stake.momentId)).size;
  const stakes = counted(change.lost.length, "stake", "stakes");
  return (
    <>
      <p>
        The new field does not have {change.lostNames.length === 1 ? "this place" : "these places"}, on which{" "}
        {change.lost.length === 1 ? "a stake stands" : `${stakes} stand`} in {counted(frames, "frame", "frames")}:
      </p>
      <div className="lost-names">
        <ul>
          {change.lostNames.map((name) => (
            <li key={name}>{name}</li>
          ))}
        </ul>
      </div>
      <Consequences change={change} asked />
      <p>
        {change.lost.length === 1 ? "That stake goes" : "Those stakes go"} with the change. Undo in the field book
        brings the old field and {change.lost.length === 1 ? "the stake" : "the stakes"} back.
      </p>
      <div className="end">
        <Button onPress={props.onBack}>Back to the field</Button>
        <Button look="primary" onPress={() => props.onKeep(change)}>
          Change the field and drop {stakes}
        </Button>
      </div>
    </>
  );
}
