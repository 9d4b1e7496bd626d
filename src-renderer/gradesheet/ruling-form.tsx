import { useState } from "react";
import type { FieldLayout } from "#core/field/template";
import { type Ruling, rulingClasses, rulingKinds } from "#core/game/records";
import { proposedSeers, rulingFault, type RulingSaid } from "#core/grading/rulings";
import { isAmended } from "#core/grading/seal";
import { clock } from "#core/game/words";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { historyActions, usePlaceKeys } from "../app/use-place-keys.ts";
import { Button } from "../parts/button.tsx";
import { Choice, Labelled, NumberField } from "../parts/labelled.tsx";
import { filmActions } from "../stage/film/film-actions.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import { GradeHistory } from "./grade-history.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

const nobody = "-";

/** One ruling: a new one of the play that the film is in, or one that is there. */
export function RulingForm({
  sheet,
  ruling,
  onKept,
}: {
  readonly sheet: GradeSheet;
  readonly ruling: Ruling | null;
  readonly onKept: (id: string | null) => void;
}) {
  const { records, readOnly, momentHere, playInView } = sheet;
  const { settings, set } = useService();
  const { attempt } = useFailures();
  const play = sheet.plays.find(({ id }) => id === ruling?.playId) ?? playInView;
  const momentId = ruling?.momentId ?? (momentHere?.playId === play?.id ? (momentHere?.id ?? null) : null);
  const proposed = proposedSeers(play ? sheet.judged.judged.get(play.id) : undefined, momentId);
  const [said, setSaid] = useState<Omit<RulingSaid, "playId" | "momentId">>(
    ruling ?? {
      kind: "flag",
      class: "correct",
      foul: "",
      position: null,
      seers: [],
      spotGivenXYards: null,
      comment: "",
    },
  );
  const [waits, setWaits] = useState(false);
  usePlaceKeys("gradesheet", {
    ...filmActions(sheet.player),
    ...historyActions(sheet.cache, sheet.state, sheet.attempt),
    "whole-screen": () => sheet.attempt(() => toggleWholeScreen(sheet.filmRoom.current)),
    delete: () => ruling && sheet.takeRuling(ruling),
  });
  if (!play) return <p className="soft">Stop the film in a play to rule on something in it.</p>;
  const whole: RulingSaid = { ...said, playId: play.id, momentId };
  const fault = rulingFault(whole, sheet.sealed !== null);
  const keep = () => {
    if (fault !== null) return setWaits(true);
    setWaits(false);
    const id = ruling?.id ?? crypto.randomUUID();
    sheet.rule(ruling, whole, id);
    const foul = said.foul.trim();
    if (!settings.fouls.includes(foul)) void attempt(() => set({ fouls: [...settings.fouls, foul].toSorted() }));
    onKept(id);
  };
  const change = (part: Partial<typeof said>) => setSaid((before) => ({ ...before, ...part }));
  const toggleSeer = (position: string) =>
    change({
      seers: said.seers.includes(position) ? said.seers.filter((one) => one !== position) : [...said.seers, position],
    });
  const positions = records.game.crew.map(({ position }) => position);
  const moment = records.moments.find(({ id }) => id === momentId);
  return (
    <section className="grade-form" aria-label="Ruling">
      <h2>
        {ruling ? "Ruling" : "New ruling"} <span className="soft">play {play.number}</span>
      </h2>
      <div className="two">
        <Choice
          label="What happened"
          value={said.kind}
          options={rulingKinds.map((kind) => ({ value: kind, name: kind === "flag" ? "a flag" : "no call" }))}
          onChange={(kind) => change({ kind })}
        />
        <Choice
          label="Judged as"
          value={said.class}
          options={rulingClasses.map((name) => ({ value: name, name }))}
          onChange={(judged) => change({ class: judged })}
        />
      </div>
      <Labelled label="Foul">
        <input
          list="fouls"
          value={said.foul}
          maxLength={120}
          readOnly={readOnly}
          onChange={(event) => change({ foul: event.target.value })}
        />
      </Labelled>
      <datalist id="fouls">
        {settings.fouls.map((foul) => (
          <option key={foul} value={foul} />
        ))}
      </datalist>
      {settings.fouls.includes(said.foul.trim()) ? (
        <p className="row">
          <Button
            look="bare"
            disabled={readOnly}
            onPress={() =>
              void attempt(() => set({ fouls: settings.fouls.filter((foul) => foul !== said.foul.trim()) }))
            }
          >
            Take “{said.foul.trim()}” off the list
          </Button>
        </p>
      ) : null}
      <Choice
        label={said.kind === "flag" ? "Who called it" : "Whose it was to call"}
        value={said.position ?? nobody}
        options={[{ value: nobody, name: "not known" }, ...positions.map((one) => ({ value: one, name: one }))]}
        onChange={(position) => change({ position: position === nobody ? null : position })}
      />
      <fieldset className="seers">
        <legend>Who should have seen it</legend>
        {positions.map((position) => (
          <label key={position}>
            <input
              type="checkbox"
              checked={said.seers.includes(position)}
              disabled={readOnly}
              onChange={() => toggleSeer(position)}
            />
            {position}
          </label>
        ))}
        <p className="soft">
          {moment
            ? proposed.length > 0
              ? `At ${clock(moment.timeSec)} the looks say: ${proposed
                  .map(
                    ({ position, quality, isAssigned }) =>
                      `${position} ${isAssigned ? "had a matter there" : "saw one of another's"} (best look ${quality.toFixed(2)})`,
                  )
                  .join("; ")}.`
              : "No looks were measured at this moment: you say."
            : "Stop at a judged moment to be told who had something to watch there."}
        </p>
        {proposed.length > 0 ? (
          <Button
            disabled={readOnly}
            onPress={() =>
              change({ seers: proposed.filter(({ isAssigned }) => isAssigned).map(({ position }) => position) })
            }
          >
            Take those who had a matter
          </Button>
        ) : null}
      </fieldset>
      <SpotField
        layout={sheet.layout}
        xYards={said.spotGivenXYards}
        onChange={(spotGivenXYards) => change({ spotGivenXYards })}
      />
      <Labelled label="Comment">
        <textarea
          rows={2}
          maxLength={4000}
          value={said.comment}
          readOnly={readOnly}
          onChange={(event) => change({ comment: event.target.value })}
        />
      </Labelled>
      {waits && fault !== null ? (
        <p className="contradiction" role="alert">
          {fault}
        </p>
      ) : null}
      <div className="row">
        <Button look="primary" disabled={readOnly} onPress={keep}>
          {ruling ? (sheet.sealed ? "Amend it" : "Keep the change") : "Keep the ruling"}
        </Button>
        {ruling ? (
          <Button disabled={readOnly || sheet.sealed !== null} onPress={() => sheet.takeRuling(ruling)}>
            Take the ruling back
          </Button>
        ) : null}
      </div>
      {ruling ? (
        <>
          <p className="soft">
            Said {new Date(ruling.ruledAt).toLocaleString()}
            {isAmended(records, { authorId: ruling.authorId, at: ruling.ruledAt }) ? "; amended" : ""}.
          </p>
          <GradeHistory sheet={sheet} recordId={ruling.id} />
        </>
      ) : null}
    </section>
  );
}

/** A spot as it is spoken of: a half of the field and a yard line. */
function SpotField({
  layout,
  xYards,
  onChange,
}: {
  readonly layout: FieldLayout;
  readonly xYards: number | null;
  readonly onChange: (xYards: number | null) => void;
}) {
  const middle = layout.totalLengthYards / 2;
  const isLeft = xYards === null || xYards <= middle;
  const [half, setHalf] = useState<"left" | "right">(isLeft ? "left" : "right");
  const line = xYards === null ? null : isLeft ? xYards - layout.leftGoalXYards : layout.rightGoalXYards - xYards;
  const at = (side: "left" | "right", yards: number | null) =>
    onChange(yards === null ? null : side === "left" ? layout.leftGoalXYards + yards : layout.rightGoalXYards - yards);
  return (
    <div className="two">
      <NumberField
        label="Spot given, yd from the goal line"
        value={line}
        min={0}
        max={middle - layout.leftGoalXYards}
        allowEmpty
        onChange={(yards) => at(half, yards)}
      />
      <Choice
        label="of the half on the"
        value={half}
        options={[
          { value: "left", name: "left, as the press box sees it" },
          { value: "right", name: "right" },
        ]}
        onChange={(side) => {
          setHalf(side);
          at(side, line);
        }}
      />
    </div>
  );
}
