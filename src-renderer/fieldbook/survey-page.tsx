import { useState } from "react";
import type { ErrorClass } from "#core/field/error-map";
import { errorInks } from "#core/picture/error-picture";
import { planPoint } from "#core/picture/plan-picture";
import { put, remove } from "#core/game/changes";
import { clicksOf } from "#core/game/edits";
import { defaultStakeSigmaPx, type Stake } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { Plan } from "../stage/plan.tsx";
import { CarrySection } from "./carry-section.tsx";
import { LensSection } from "./lens-section.tsx";
import { SurveyStanding } from "./survey-standing.tsx";
import type { CarryHand } from "./use-carry.ts";
import { type Fieldbook, nameOf, type StakeTarget, targetOf } from "./use-fieldbook.ts";

/** Stakes: choose a point or a line of the field and click it in the frame, or click first and say what it was. */
export function SurveyPage({
  fieldbook,
  hand,
  linesShown,
  onLines,
}: {
  readonly fieldbook: Fieldbook;
  readonly hand: CarryHand;
  readonly linesShown: boolean;
  readonly onLines: (shown: boolean) => void;
}) {
  const { stakes, target, chooseTarget, unnamedClick, stakeAt, readOnly } = fieldbook;
  const used = new Set(stakes.map((stake) => keyOfTarget(targetOf(stake))));
  const pick = (picked: StakeTarget) => {
    if (unnamedClick) {
      void stakeAt({ at: unnamedClick, raw: null }, picked);
      if (picked.kind === "line") chooseTarget(picked);
    } else chooseTarget(target !== null && keyOfTarget(target) === keyOfTarget(picked) ? null : picked);
  };
  return (
    <div className="page">
      <SurveyStanding fieldbook={fieldbook} />
      {readOnly ? null : (
        <section aria-label="Choose a point or line">
          <p className={unnamedClick ? "ask asking" : "ask"} aria-live="polite">
            {instruction(fieldbook)}
          </p>
          <StakePlan fieldbook={fieldbook} used={used} onPick={pick} />
          <TargetSelect
            fieldbook={fieldbook}
            used={used}
            value={target}
            onPick={pick}
            label="Or by name"
            kinds={["point", "line"]}
          />
        </section>
      )}
      <section aria-label="Stakes">
        <h3>Stakes of this frame</h3>
        {stakes.length === 0 ? (
          <p className="soft">
            None yet. Six, spread over near and far and left and right, make a survey one can trust. A line counts for
            as much as a point once it is clicked twice.
          </p>
        ) : (
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Point or line</th>
                <th scope="col" title="From the click to where the survey puts it">
                  Off, px
                </th>
                <th scope="col" title="The same, when the survey is made without this stake">
                  Without
                </th>
                <th>
                  <span className="visually-hidden">Take away</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {stakes.map((stake) => (
                <StakeRow key={stake.id} fieldbook={fieldbook} stake={stake} used={used} />
              ))}
            </tbody>
          </table>
        )}
      </section>
      <CarrySection fieldbook={fieldbook} hand={hand} />
      <LensSection fieldbook={fieldbook} />
      <label className="check">
        <input type="checkbox" checked={linesShown} onChange={(event) => onLines(event.target.checked)} />
        Draw the field’s lines over the frame on every page
      </label>
      <ShadeChoice fieldbook={fieldbook} />
    </div>
  );
}

/** The expected error of a mark as a shade over frame and plan, with its meaning in words. */
function ShadeChoice({ fieldbook: { shadeShown, showShade, shade } }: { readonly fieldbook: Fieldbook }) {
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  return (
    <>
      <label className="check">
        <input type="checkbox" checked={shadeShown} onChange={(event) => showShade(event.target.checked)} />
        Shade how far off a mark may be
      </label>
      {shadeShown ? (
        shade ? (
          <dl className="shade-legend" aria-label="Of the field in this frame, by how far off a mark may be">
            {errorClasses.map(({ id, name }) => (
              <div key={id}>
                <dt>
                  <span className={`swatch ${errorInks[id]}`} aria-hidden="true" /> {name}
                </dt>
                <dd className="number">{percent(shade.shares[id])}</dd>
              </div>
            ))}
          </dl>
        ) : (
          <p className="soft">There is nothing to shade before this frame is surveyed.</p>
        )
      ) : null}
    </>
  );
}

const errorClasses: readonly { id: ErrorClass; name: string }[] = [
  { id: "under-half-yard", name: "under half a yard" },
  { id: "under-one-yard", name: "half a yard to one" },
  { id: "under-two-yards", name: "one to two yards" },
  { id: "over-two-yards", name: "over two yards" },
];

/** Takes the settling back and keeps the stake: every click where the hand put it. */
function leaveAsClicked({ edit }: Fieldbook, stake: Stake) {
  const after =
    stake.kind === "point"
      ? { ...stake, click: stake.raw ?? stake.click, raw: null, sigmaPx: defaultStakeSigmaPx }
      : {
          ...stake,
          clicks: stake.clicks.map(({ at, raw }) => ({ at: raw ?? at, raw: null })),
          sigmaPx: defaultStakeSigmaPx,
        };
  return edit("Leave a stake as clicked", [put("stake", stake, after)]);
}

function instruction({ unnamedClick, target, layout, stakes, judged }: Fieldbook): string {
  if (unnamedClick) return "What is this? Pick the point or the line on the plan, or by name.";
  if (target?.kind === "point") return `Now click ${nameOf(layout, target)} in the frame.`;
  if (target?.kind === "line")
    return `Now click along the ${nameOf(layout, target)}: twice or more, far apart. Escape ends it.`;
  if (judged.survey.kind === "solved" || stakes.length >= 2)
    return "Click any field point in the frame: its name is proposed. Or pick a point or a line first.";
  return "Pick a field point or a line, then click it in the frame; or click first and name it after.";
}

/** Points have their ids as values, as they always had; a line says that it is one. */
function keyOfTarget(target: StakeTarget): string {
  return target.kind === "point" ? target.id : `line:${target.id}`;
}

function targetFrom(key: string): StakeTarget {
  return key.startsWith("line:") ? { kind: "line", id: key.slice(5) } : { kind: "point", id: key };
}

function StakePlan({
  fieldbook,
  used,
  onPick,
}: {
  readonly fieldbook: Fieldbook;
  readonly used: ReadonlySet<string>;
  readonly onPick: (target: StakeTarget) => void;
}) {
  const { layout, target } = fieldbook;
  const [over, setOver] = useState<StakeTarget | null>(null);
  const named = over ?? target;
  const stateOf = (one: StakeTarget) => {
    const key = keyOfTarget(one);
    if (target && keyOfTarget(target) === key) return "chosen";
    return used.has(key) ? "used" : "free";
  };
  const hovering = (one: StakeTarget) => ({
    onPointerEnter: () => setOver(one),
    onPointerLeave: () => setOver(null),
    // A line can be clicked on: what is used up is only a point.
    onClick: () => (one.kind === "line" || stateOf(one) !== "used") && onPick(one),
  });
  return (
    <div className="landmark-plan">
      <Plan
        layout={layout}
        shapes={[]}
        label="Plan of the field; the list below holds the same points and lines by name"
      >
        {layout.lines.map((line) => {
          const one: StakeTarget = { kind: "line", id: line.id };
          const [[x1, y1], [x2, y2]] = [planPoint(layout, line.from), planPoint(layout, line.to)];
          return (
            <g key={line.id} className={`field-line ${stateOf(one)}`} {...hovering(one)}>
              <line x1={x1} y1={y1} x2={x2} y2={y2} className="reach" />
              <line x1={x1} y1={y1} x2={x2} y2={y2} className="stroke" />
            </g>
          );
        })}
        {layout.landmarks.map((landmark) => {
          const one: StakeTarget = { kind: "point", id: landmark.id };
          const [x, y] = planPoint(layout, landmark.at);
          const state = stateOf(one);
          return (
            <g key={landmark.id} className={`landmark ${state}`} {...hovering(one)}>
              <circle cx={x} cy={y} r={1.5} className="reach" />
              <circle cx={x} cy={y} r={state === "free" ? 0.8 : 1.3} className="dot" />
            </g>
          );
        })}
      </Plan>
      <p className="soft">{named ? nameOf(layout, named) : "Near side, the press box’s, is at the bottom."}</p>
    </div>
  );
}

function TargetSelect(props: {
  readonly fieldbook: Fieldbook;
  readonly used: ReadonlySet<string>;
  readonly value: StakeTarget | null;
  readonly label: string;
  readonly kinds: readonly StakeTarget["kind"][];
  readonly hideLabel?: boolean;
  readonly onPick: (target: StakeTarget) => void;
}) {
  const { landmarks, lines } = props.fieldbook.layout;
  const rows = [...new Set(landmarks.map((landmark) => landmark.id.split("/")[0] ?? ""))];
  const value = props.value === null ? "" : keyOfTarget(props.value);
  const option = (key: string, name: string, canRepeat: boolean) => (
    <option key={key} value={key} disabled={!canRepeat && props.used.has(key) && key !== value}>
      {name}
    </option>
  );
  return (
    <label className="field">
      <span className={props.hideLabel ? "visually-hidden" : ""}>{props.label}</span>
      <select value={value} onChange={(event) => props.onPick(targetFrom(event.target.value))}>
        {value === "" ? <option value="">choose…</option> : null}
        {props.kinds.includes("line") ? (
          <optgroup label="lines, clicked anywhere along">
            {lines.map((line) => option(`line:${line.id}`, line.name, props.kinds.length > 1))}
          </optgroup>
        ) : null}
        {props.kinds.includes("point")
          ? rows.map((row) => (
              <optgroup key={row} label={row.replace("-", " ")}>
                {landmarks
                  .filter((landmark) => landmark.id.startsWith(`${row}/`))
                  .map((landmark) => option(landmark.id, landmark.name, false))}
              </optgroup>
            ))
          : null}
      </select>
    </label>
  );
}

function StakeRow({
  fieldbook,
  stake,
  used,
}: {
  readonly fieldbook: Fieldbook;
  readonly stake: Stake;
  readonly used: ReadonlySet<string>;
}) {
  const { layout, judged, chosen, choose, renameStake, readOnly } = fieldbook;
  const report =
    judged.survey.kind === "solved" ? judged.survey.survey.stakes.find((row) => row.id === stake.id) : undefined;
  const target = targetOf(stake);
  const name = nameOf(layout, target);
  const blamed =
    judged.survey.kind === "refused"
      ? judged.survey.refusal.code !== "too-few-stakes" && judged.survey.refusal.stakeIds.includes(stake.id)
      : judged.survey.kind === "solved" &&
        judged.survey.survey.warnings.some(
          (warning) =>
            (warning.code === "wrong-name" || warning.code === "stake-off") && warning.stakeIds.includes(stake.id),
        );
  const clicks = clicksOf(stake);
  const settled = clicks.filter((click) => click.raw !== null).length;
  const place = stake.kind === "point" ? `the stake at ${name}` : `the stake on the ${name}`;
  return (
    <tr
      className={`${chosen?.id === stake.id ? "chosen" : ""}${blamed ? " blamed" : ""}`}
      onClick={() => choose({ kind: "stake", id: stake.id, click: 0 })}
    >
      <td>
        <TargetSelect
          fieldbook={fieldbook}
          used={used}
          value={target}
          label={`Name of ${place}`}
          kinds={[stake.kind]}
          hideLabel
          onPick={(picked) => void renameStake(stake, picked.id)}
        />
        <span className="soft how">
          {stake.kind === "line" ? `line, ${clicks.length} ${clicks.length === 1 ? "click" : "clicks"}` : ""}
          {settled > 0 ? `${stake.kind === "line" ? ", " : ""}settled on the paint` : ""}
          {settled > 0 && !readOnly ? (
            <Button
              look="bare"
              name={`Leave ${place} as clicked`}
              onPress={() => void leaveAsClicked(fieldbook, stake)}
            >
              as clicked
            </Button>
          ) : null}
        </span>
      </td>
      <td className="number">{report ? report.residualPx.toFixed(1) : "–"}</td>
      <td className="number">{report?.leaveOneOutPx == null ? "–" : report.leaveOneOutPx.toFixed(1)}</td>
      <td>
        <Button
          look="bare"
          name={`Take ${place} away`}
          disabled={readOnly}
          onPress={() => void fieldbook.edit("Take a stake away", [remove("stake", stake)])}
        >
          ✕
        </Button>
      </td>
    </tr>
  );
}
