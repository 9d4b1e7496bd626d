import { useEffect, useId, useRef } from "react";
import { type CustomDraft, type CustomProblem, customTemplateId } from "#core/field/custom-field";
import {
  goalWidths,
  goalWidthYards,
  hashSets,
  hashSetYards,
  numberPositions,
  numberPositionYards,
  rowsFit,
} from "#core/field/field-choices";
import { type FieldLayout, fieldOf, templates } from "#core/field/template";
import { betweenSidelinesYards } from "#core/field/template-measures";
import { Choice, Labelled } from "../parts/labelled.tsx";
import { Plan } from "../stage/plan.tsx";
import { type FieldDraft, type FieldReading, templateIn, withTemplate } from "./field-draft.ts";
import {
  fieldWords,
  goalWidthWords,
  goalWords,
  hashSetWords,
  hashWords,
  numberPositionWords,
  numberRowsWords,
} from "./field-words.ts";

type EditorProps = {
  readonly draft: FieldDraft;
  readonly reading: FieldReading;
  readonly onChange: (draft: FieldDraft) => void;
};

/** Which field a game is played on and what is painted on it, with a plan that follows what is chosen and typed. */
export function FieldEditor({ draft, reading, onChange }: EditorProps) {
  const own = draft.templateId === customTemplateId;
  const statusId = useId();
  return (
    <fieldset className="field-editor">
      <legend>Field</legend>
      <div className="controls">
        <TemplateSelect value={draft.templateId} onPick={(id) => onChange(withTemplate(draft, id))} />
        {own && draft.custom ? (
          <OwnMeasures
            draft={draft.custom}
            problems={reading.ok ? [] : reading.problems}
            statusId={statusId}
            onChange={(custom) => onChange({ ...draft, custom })}
          />
        ) : (
          <PaintChoices draft={draft} onChange={onChange} />
        )}
        <GoalChoice draft={draft} onChange={onChange} />
      </div>
      <FieldPreview reading={reading} statusId={statusId} />
    </fieldset>
  );
}

const groups = [
  { game: "flag", name: "Flag" },
  { game: "tackle", name: "Tackle" },
] as const;

function TemplateSelect({ value, onPick }: { readonly value: string; readonly onPick: (id: string) => void }) {
  return (
    <Labelled label="Field">
      <select value={value} onChange={(event) => onPick(event.target.value)}>
        {groups.map(({ game, name }) => (
          <optgroup key={game} label={name}>
            {templates
              .filter((template) => template.game === game)
              .map((template) => (
                <option key={template.id} value={template.id}>
                  {template.name}
                </option>
              ))}
          </optgroup>
        ))}
        <optgroup label="None of these">
          <option value={customTemplateId}>A field of your own measures…</option>
        </optgroup>
      </select>
    </Labelled>
  );
}

type ChoiceProps = { readonly draft: FieldDraft; readonly onChange: (draft: FieldDraft) => void };

/** Hash marks and digits: what the template has, or another set that was painted there and for which there is room. */
function PaintChoices({ draft, onChange }: ChoiceProps) {
  const template = templateIn(draft);
  const between = betweenSidelinesYards(template);
  const fits = (inYards: number | null | undefined) => inYards == null || rowsFit(inYards, between);
  return (
    <>
      <Choice
        label="Hash marks, from each sideline"
        value={draft.hashSet ?? ""}
        options={[
          { value: "", name: `as the template: ${hashWords(template.hashFromSidelineYards)}` },
          ...hashSets
            .filter((set) => fits(hashSetYards(set, between)))
            .map((set) => ({ value: set, name: hashSetWords(set, between) })),
        ]}
        onChange={(hashSet) => onChange({ ...draft, hashSet: hashSet === "" ? null : hashSet })}
      />
      <Choice
        label="Yard-line digits, from each sideline"
        value={draft.numbers ?? ""}
        options={[
          { value: "", name: `as the template: ${numberRowsWords(template.numbersYards)}` },
          ...numberPositions
            .filter((position) => fits(numberPositionYards(position)?.top))
            .map((position) => ({ value: position, name: numberPositionWords[position] })),
        ]}
        onChange={(numbers) => onChange({ ...draft, numbers: numbers === "" ? null : numbers })}
      />
    </>
  );
}

function GoalChoice({ draft, onChange }: ChoiceProps) {
  const own = draft.templateId === customTemplateId;
  const asTemplate = own ? "none" : `as the template: ${goalWords(goalWidthYards(templateIn(draft).goalWidth))}`;
  return (
    <Choice
      label="Goal posts, between their inside faces"
      value={draft.goalWidth ?? ""}
      options={[
        { value: "", name: asTemplate },
        ...goalWidths
          .filter((width) => !own || width !== "none")
          .map((width) => ({ value: width, name: goalWidthWords(width) })),
      ]}
      onChange={(goalWidth) => onChange({ ...draft, goalWidth: goalWidth === "" ? null : goalWidth })}
    />
  );
}

const ownParts: readonly { readonly part: keyof CustomDraft; readonly label: string }[] = [
  { part: "playLength", label: "Goal line to goal line, yd" },
  { part: "endZone", label: "Each end zone, yd" },
  { part: "width", label: "Width, yd" },
  { part: "lineEvery", label: "A line every … yd" },
  { part: "tickEvery", label: "Short marks every … yd (or empty)" },
  { part: "hashFromSideline", label: "Hash marks from sideline, yd (or empty)" },
  { part: "numberBottom", label: "Digits’ bottoms from sideline, yd (or empty)" },
  { part: "numberTop", label: "Digits’ tops from sideline, yd (or empty)" },
];

function OwnMeasures(props: {
  readonly draft: CustomDraft;
  readonly problems: readonly CustomProblem[];
  readonly statusId: string;
  readonly onChange: (draft: CustomDraft) => void;
}) {
  const { draft, problems, statusId } = props;
  const name = useRef<HTMLInputElement>(null);
  useEffect(() => name.current?.select(), []);
  const attributes = (part: keyof CustomDraft) => {
    const wrong = problems.some((problem) => problem.part === part);
    return {
      value: draft[part],
      "aria-invalid": wrong,
      ...(wrong ? { "aria-describedby": `${statusId}-${part}` } : {}),
      onChange: (event: { target: { value: string } }) => props.onChange({ ...draft, [part]: event.target.value }),
    };
  };
  return (
    <>
      <Labelled label="Name of the field">
        <input ref={name} maxLength={80} {...attributes("name")} />
      </Labelled>
      <div className="measures">
        {ownParts.map(({ part, label }) => (
          <Labelled key={part} label={label}>
            <input inputMode="decimal" autoComplete="off" {...attributes(part)} />
          </Labelled>
        ))}
      </div>
    </>
  );
}

/** The plan of what is chosen; while the measures do not go together, the last plan that they made, and what is wrong. */
function FieldPreview({ reading, statusId }: { readonly reading: FieldReading; readonly statusId: string }) {
  const last = useRef<FieldLayout | null>(null);
  const layout = reading.ok ? fieldOf(reading.field) : last.current;
  useEffect(() => {
    if (reading.ok) last.current = layout;
  });
  return (
    <div className="preview">
      {layout ? (
        <div className={reading.ok ? "sheet-plan" : "sheet-plan stale"}>
          <Plan layout={layout} shapes={[]} label={`Plan of the field: ${fieldWords(layout)}`} />
        </div>
      ) : null}
      <div role="status">
        {reading.ok && layout ? (
          <p>
            {fieldWords(layout)}{" "}
            <span className="soft">
              {layout.lines.length} lines and {layout.landmarks.length} points to stake.
            </span>
          </p>
        ) : null}
        {reading.ok ? null : (
          <ul className="problems">
            {reading.problems.map(({ part, sentence }) => (
              <li key={part} id={`${statusId}-${part}`}>
                {sentence}
              </li>
            ))}
          </ul>
        )}
      </div>
      {reading.ok && layout ? <p className="source soft">Source: {layout.template.source}</p> : null}
    </div>
  );
}

/** Puts the cursor into the first measure of a form that is wrong. */
export function focusFirstProblem(form: HTMLFormElement): void {
  form.querySelector<HTMLInputElement>('.field-editor [aria-invalid="true"]')?.focus();
}
