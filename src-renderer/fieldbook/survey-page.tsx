import { useState } from "react";
import type { Landmark } from "#core/field/template";
import { planPoint } from "#core/picture/plan-picture";
import type { Stake } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { Plan } from "../stage/plan.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";

/** Stakes: choose a field point and click it in the frame, or click first and say which point it was. */
export function SurveyPage({
  fieldbook,
  linesShown,
  onLines,
}: {
  readonly fieldbook: Fieldbook;
  readonly linesShown: boolean;
  readonly onLines: (shown: boolean) => void;
}) {
  const { stakes, layout, landmarkId, chooseLandmark, unnamedClick, stakeAt, readOnly } = fieldbook;
  const used = new Set(stakes.map((stake) => stake.landmarkId));
  const pick = (id: string) => {
    if (unnamedClick) void stakeAt(unnamedClick, id);
    else chooseLandmark(id === landmarkId ? null : id);
  };
  return (
    <div className="page">
      <SurveyStanding fieldbook={fieldbook} />
      {readOnly ? null : (
        <section aria-label="Choose a field point">
          <p className={unnamedClick ? "ask asking" : "ask"} aria-live="polite">
            {instruction(fieldbook)}
          </p>
          <LandmarkPlan fieldbook={fieldbook} used={used} onPick={pick} />
          <LandmarkSelect
            landmarks={layout.landmarks}
            used={used}
            value={landmarkId ?? ""}
            onPick={pick}
            label="Or by name"
          />
        </section>
      )}
      <section aria-label="Stakes">
        <h3>Stakes of this frame</h3>
        {stakes.length === 0 ? (
          <p className="soft">
            None yet. Six, spread over near and far and left and right, make a survey one can trust.
          </p>
        ) : (
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Field point</th>
                <th scope="col" title="From the click to where the survey puts the point">
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
      <label className="check">
        <input type="checkbox" checked={linesShown} onChange={(event) => onLines(event.target.checked)} />
        Draw the field’s lines over the frame on every page
      </label>
    </div>
  );
}

function instruction({ unnamedClick, landmarkId, layout, stakes, judged }: Fieldbook): string {
  if (unnamedClick) return "Which point is this? Pick it on the plan, or by name.";
  const chosen = layout.landmarks.find((landmark) => landmark.id === landmarkId);
  if (chosen) return `Now click ${chosen.name} in the frame.`;
  if (judged.survey.kind === "solved" || stakes.length >= 2)
    return "Click any field point in the frame: its name is proposed. Or pick the point first.";
  return "Pick a field point, then click it in the frame; or click first and name it after.";
}

function LandmarkPlan({
  fieldbook,
  used,
  onPick,
}: {
  readonly fieldbook: Fieldbook;
  readonly used: ReadonlySet<string>;
  readonly onPick: (id: string) => void;
}) {
  const { layout, landmarkId } = fieldbook;
  const [over, setOver] = useState<string | null>(null);
  const name = layout.landmarks.find((landmark) => landmark.id === (over ?? landmarkId))?.name;
  return (
    <div className="landmark-plan">
      <Plan layout={layout} shapes={[]} label="Plan of the field; the list below holds the same points by name">
        {layout.landmarks.map((landmark) => {
          const [x, y] = planPoint(layout, landmark.at);
          const state = used.has(landmark.id) ? "used" : landmark.id === landmarkId ? "chosen" : "free";
          return (
            <g
              key={landmark.id}
              className={`landmark ${state}`}
              onPointerEnter={() => setOver(landmark.id)}
              onPointerLeave={() => setOver(null)}
              onClick={() => state !== "used" && onPick(landmark.id)}
            >
              <circle cx={x} cy={y} r={2.3} className="reach" />
              <circle cx={x} cy={y} r={state === "free" ? 0.8 : 1.3} className="dot" />
            </g>
          );
        })}
      </Plan>
      <p className="soft">{name ?? "Near side, the press box’s, is at the bottom."}</p>
    </div>
  );
}

function LandmarkSelect(props: {
  readonly landmarks: readonly Landmark[];
  readonly used: ReadonlySet<string>;
  readonly value: string;
  readonly label: string;
  readonly hideLabel?: boolean;
  readonly onPick: (id: string) => void;
}) {
  const rows = [...new Set(props.landmarks.map((landmark) => landmark.id.split("/")[0] ?? ""))];
  return (
    <label className="field">
      <span className={props.hideLabel ? "visually-hidden" : ""}>{props.label}</span>
      <select value={props.value} onChange={(event) => props.onPick(event.target.value)}>
        {props.value === "" ? <option value="">choose…</option> : null}
        {rows.map((row) => (
          <optgroup key={row} label={row.replace("-", " ")}>
            {props.landmarks
              .filter((landmark) => landmark.id.startsWith(`${row}/`))
              .map((landmark) => (
                <option
                  key={landmark.id}
                  value={landmark.id}
                  disabled={props.used.has(landmark.id) && landmark.id !== props.value}
                >
                  {landmark.name}
                </option>
              ))}
          </optgroup>
        ))}
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
  const { layout, judged, chosen, choose, renameStake, takeAway, readOnly } = fieldbook;
  const report =
    judged.survey.kind === "solved" ? judged.survey.survey.stakes.find((row) => row.id === stake.id) : undefined;
  const name = layout.landmarks.find((landmark) => landmark.id === stake.landmarkId)?.name ?? stake.landmarkId;
  const blamed =
    judged.survey.kind === "refused"
      ? judged.survey.refusal.stakeIds.includes(stake.id)
      : judged.survey.kind === "solved" &&
        judged.survey.survey.warnings.some(
          (warning) =>
            (warning.code === "wrong-name" || warning.code === "stake-off") && warning.stakeIds.includes(stake.id),
        );
  return (
    <tr
      className={`${chosen?.id === stake.id ? "chosen" : ""}${blamed ? " blamed" : ""}`}
      onClick={() => choose({ kind: "stake", id: stake.id })}
    >
      <td>
        <LandmarkSelect
          landmarks={layout.landmarks}
          used={used}
          value={stake.landmarkId}
          label={`Name of the stake at ${name}`}
          hideLabel
          onPick={(id) => void renameStake(stake, id)}
        />
      </td>
      <td className="number">{report ? report.residualPx.toFixed(1) : "–"}</td>
      <td className="number">{report?.leaveOneOutPx == null ? "–" : report.leaveOneOutPx.toFixed(1)}</td>
      <td>
        <Button
          look="bare"
          name={`Take the stake at ${name} away`}
          disabled={readOnly}
          onPress={() => void takeAway({ kind: "stake", id: stake.id })}
        >
          ✕
        </Button>
      </td>
    </tr>
  );
}

/** Whether the frame is surveyed, how well, and what to mind: in words, with the cure at hand where there is one. */
function SurveyStanding({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { judged, stakes, renameStake, readOnly } = fieldbook;
  const { survey: state } = judged;
  const renaming = (suggestion: { stakeId: string; landmarkId: string; landmarkName: string } | undefined) => {
    const stake = stakes.find((candidate) => candidate.id === suggestion?.stakeId);
    if (!suggestion || !stake || readOnly) return null;
    return (
      <Button onPress={() => void renameStake(stake, suggestion.landmarkId)}>
        Call it “{suggestion.landmarkName}”
      </Button>
    );
  };
  if (state.kind === "none") {
    return (
      <div className="standing-box">
        <h2>Not surveyed</h2>
        <p>At least four stakes turn this frame into yards.</p>
      </div>
    );
  }
  if (state.kind === "refused") {
    return (
      <div className="standing-box wrong" role="status">
        <h2>{state.refusal.code === "too-few-stakes" ? `${stakes.length} of 4 stakes` : "No survey"}</h2>
        <p>{state.refusal.message}</p>
        {renaming(state.refusal.suggestion)}
      </div>
    );
  }
  const { survey } = state;
  const { camera } = survey;
  return (
    <>
      <div className="standing-box measured" role="status">
        <h2>Surveyed</h2>
        <p>
          {survey.stakes.length} stakes, {survey.residualRmsPx.toFixed(1)} px off on average
          {survey.dof === 0 ? " (four points always fit)" : ""}.
          {camera
            ? ` Camera about ${camera.heightYards.toFixed(0)} yd up and ${sideWords(camera.yYards, survey.field.widthYards)}.`
            : ""}
        </p>
      </div>
      {survey.warnings.map((warning) => (
        <div
          key={warning.code + warning.stakeIds.join()}
          className={`standing-box ${warning.code === "wrong-name" ? "wrong" : "unsure"}`}
        >
          <p>{warning.message}</p>
          {renaming(warning.suggestion)}
        </div>
      ))}
    </>
  );
}

function sideWords(yYards: number, widthYards: number): string {
  if (yYards < 0) return `${(-yYards).toFixed(0)} yd behind the near sideline`;
  return yYards > widthYards ? `${(yYards - widthYards).toFixed(0)} yd behind the far sideline` : "over the field";
}
