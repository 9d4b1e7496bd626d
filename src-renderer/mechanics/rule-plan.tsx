import { type KeyboardEvent, type PointerEvent, useMemo, useRef, useState } from "react";
import { templateById, templates, layOut } from "#core/field/template";
import { type FieldPoint, fieldPoint } from "#core/field/units";
import type { Down, FieldSide } from "#core/game/records";
import type { StationScene } from "#core/mechanics/anchors";
import type { Book } from "#core/mechanics/book";
import {
  type BallAt,
  type ExamplePlayer,
  type ExampleSituation,
  exampleScene,
  type Formation,
  formationOn,
  movedTo,
  startingSituation,
} from "#core/mechanics/example-play";
import { planMarginYards, planPoint } from "#core/picture/plan-picture";
import { rulePicture } from "#core/picture/rule-picture";
import { Choice, NumberField } from "../parts/labelled.tsx";
import { Plan } from "../stage/plan.tsx";

/** What is laid out on the plan. It is only looked at: nothing of it is kept. */
export type Example = {
  readonly templateId: string;
  readonly situation: ExampleSituation;
  readonly formation: Formation | "by-hand";
  readonly players: readonly ExamplePlayer[];
};

export function exampleFor(bookId: string): Example {
  const templateId = bookId.includes("tackle") ? "nfhs" : "flag-100x40";
  return {
    templateId,
    situation: startingSituation,
    formation: "doubles",
    players: formationOn(layOut(templateById(templateId) ?? templates[0]!), "doubles"),
  };
}

/** The chosen rule drawn in a situation that one can change, with players who can be moved by hand. */
export function RulePlan(props: {
  readonly book: Book;
  readonly ruleId: string;
  readonly example: Example;
  readonly onChange: (example: Example) => void;
}) {
  const { book, ruleId, example, onChange } = props;
  const { templateId, situation, players } = example;
  const layout = useMemo(() => layOut(templateById(templateId) ?? templates[0]!), [templateId]);
  const scene = useMemo(() => exampleScene(layout, situation, players), [layout, situation, players]);
  const picture = useMemo(() => rulePicture(book, ruleId, scene), [book, ruleId, scene]);
  const set = (part: Partial<ExampleSituation>) => onChange({ ...example, situation: { ...situation, ...part } });
  const playLength = layout.rightGoalXYards - layout.leftGoalXYards;
  return (
    <section className="rule-plan" aria-label="The rule on the field">
      <div className="situation" role="group" aria-label="Situation">
        <Choice
          label="Field"
          value={templateId}
          options={templates.map(({ id, name }) => ({ value: id, name }))}
          onChange={(id) => {
            const formation = example.formation === "by-hand" ? "doubles" : example.formation;
            const field = layOut(templateById(id) ?? templates[0]!);
            onChange({ ...example, templateId: id, formation, players: formationOn(field, formation) });
          }}
        />
        <Choice
          label="Formation"
          value={example.formation}
          options={[
            { value: "doubles", name: "Doubles" },
            { value: "trips", name: "Trips to the left" },
            ...(example.formation === "by-hand" ? [{ value: "by-hand" as const, name: "Moved by hand" }] : []),
          ]}
          onChange={(formation) => {
            if (formation !== "by-hand") onChange({ ...example, formation, players: formationOn(layout, formation) });
          }}
        />
        <Choice
          label="Offence goes"
          value={situation.direction}
          options={[
            { value: "right", name: "right" },
            { value: "left", name: "left" },
          ]}
          onChange={(direction) => set({ direction })}
        />
        <Choice
          label="Down"
          value={String(situation.down)}
          options={["1", "2", "3", "4"].map((down) => ({ value: down, name: down }))}
          onChange={(down) => set({ down: Number(down) as Down })}
        />
        <NumberField
          label="To go, yd"
          value={situation.toGoYards}
          min={1}
          max={99}
          onChange={(yards) => yards !== null && set({ toGoYards: yards })}
        />
        <NumberField
          label="From own goal line, yd"
          value={situation.fromOwnGoalYards}
          min={1}
          max={playLength - 1}
          onChange={(yards) => yards !== null && set({ fromOwnGoalYards: yards })}
        />
        <Choice<BallAt>
          label="Ball"
          value={situation.ballAt}
          options={[
            { value: "near-hash", name: "near hash" },
            { value: "middle", name: "middle" },
            { value: "far-hash", name: "far hash" },
          ]}
          onChange={(ballAt) => set({ ballAt })}
        />
        <Choice<FieldSide>
          label="Line judge works"
          value={situation.lineJudgeSide}
          options={[
            { value: "far", name: "far sideline" },
            { value: "near", name: "near sideline" },
          ]}
          onChange={(lineJudgeSide) => set({ lineJudgeSide })}
        />
      </div>
      <div className="plan-hold">
        <Plan layout={layout} shapes={picture.shapes} label={`Plan of the field with ${ruleId}: ${picture.caption}`} />
        <Players
          scene={scene}
          onMove={(id, at) => onChange({ ...example, formation: "by-hand", players: movedTo(players, id, at, scene) })}
        />
      </div>
      <p className="caption" role="status">
        {picture.caption}
      </p>
      <p className="soft">Drag a player, or choose one and use the arrows: a yard each, with Shift a quarter.</p>
    </section>
  );
}

/** The players as things one can take hold of, laid over the plan. */
function Players(props: { readonly scene: StationScene; readonly onMove: (id: string, at: FieldPoint) => void }) {
  const { layout, players } = props.scene;
  const hold = useRef<HTMLDivElement>(null);
  const [held, setHeld] = useState<string | null>(null);
  const across = layout.totalLengthYards + 2 * planMarginYards;
  const down = layout.widthYards + 2 * planMarginYards;
  const pointAt = (event: PointerEvent) => {
    const box = hold.current?.getBoundingClientRect();
    if (!box) return null;
    const x = ((event.clientX - box.left) / box.width) * across - planMarginYards;
    const y = ((event.clientY - box.top) / box.height) * down - planMarginYards;
    return fieldPoint(x, layout.widthYards - y);
  };
  const nudge = (event: KeyboardEvent, id: string, at: FieldPoint) => {
    const yards = event.shiftKey ? 0.25 : 1;
    const steps: Record<string, readonly [number, number]> = {
      ArrowRight: [yards, 0],
      ArrowLeft: [-yards, 0],
      ArrowUp: [0, yards],
      ArrowDown: [0, -yards],
    };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    props.onMove(id, fieldPoint(at.xYards + step[0], at.yYards + step[1]));
  };
  return (
    <div className="plan-players" ref={hold}>
      {players.map(({ markId, side, at }) => {
        const [x, y] = planPoint(layout, at);
        return (
          <button
            key={markId}
            type="button"
            className={side === "A" ? "offence" : "defence"}
            aria-label={`${side} ${markId}, ${at.xYards.toFixed(1)} yd along, ${at.yYards.toFixed(1)} yd across`}
            style={{
              left: `${((x + planMarginYards) / across) * 100}%`,
              top: `${((y + planMarginYards) / down) * 100}%`,
            }}
            onPointerDown={(event) => {
              event.currentTarget.setPointerCapture(event.pointerId);
              setHeld(markId);
            }}
            onPointerMove={(event) => {
              const to = held === markId ? pointAt(event) : null;
              if (to) props.onMove(markId, to);
            }}
            onPointerUp={() => setHeld(null)}
            onPointerCancel={() => setHeld(null)}
            onKeyDown={(event) => nudge(event, markId, at)}
          >
            {side === "A" ? "O" : "X"}
          </button>
        );
      })}
    </div>
  );
}
