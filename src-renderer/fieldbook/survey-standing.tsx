import { useMemo } from "react";
import { cameraPlace } from "#core/field/camera-memory";
import { cameraWords } from "#core/field/camera-words";
import type { Survey } from "#core/field/survey";
import type { SurveyOrigin } from "#core/scoring/film-surveys";
import { Button } from "../parts/button.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";

/** Whether the frame is surveyed, how well, and what to mind: in words, with the cure at hand where there is one. */
export function SurveyStanding({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { judged, stakes, here } = fieldbook;
  const { survey: state } = judged;
  if (!here) {
    return (
      <div className="standing-box">
        <p>Stop the film on a frame to survey it, or to see what its survey rests on.</p>
      </div>
    );
  }
  if (state.kind === "none") {
    return (
      <div className="standing-box">
        <h2>Not surveyed</h2>
        <p>
          Four stakes turn this frame into yards; two are enough once the film’s camera is known from two surveys. Or
          carry a survey to it from another frame of its play.
        </p>
        <MemoryWords fieldbook={fieldbook} />
      </div>
    );
  }
  if (state.kind === "refused") {
    const { refusal } = state;
    return (
      <div className="standing-box wrong" role="status">
        <h2>{refusal.code === "too-few-stakes" ? `${stakes.length} of 4 stakes` : "No survey"}</h2>
        <p>{refusal.message}</p>
        <Renaming fieldbook={fieldbook} suggestion={refusal.suggestion} />
      </div>
    );
  }
  const { survey, origin } = state;
  return (
    <>
      <div className={`standing-box measured${origin.kind === "carried" ? " carried" : ""}`} role="status">
        <h2>{headings[origin.kind]}</h2>
        <p>{restsOn(survey, origin)}</p>
        <CameraWords fieldbook={fieldbook} survey={survey} />
      </div>
      {survey.warnings.map((warning) => (
        <div
          key={warning.code + warning.stakeIds.join()}
          className={`standing-box ${warning.code === "wrong-name" ? "wrong" : "unsure"}`}
        >
          <p>{warning.message}</p>
          <Renaming fieldbook={fieldbook} suggestion={warning.suggestion} />
        </div>
      ))}
    </>
  );
}

const headings: Record<SurveyOrigin["kind"], string> = {
  stakes: "Surveyed",
  memory: "Surveyed from the camera’s place",
  carried: "Carried survey",
};

function restsOn(survey: Survey, origin: SurveyOrigin): string {
  const { length } = survey.stakes;
  const stakes = `${length} ${length === 1 ? "stake" : "stakes"}, ${survey.residualRmsPx.toFixed(1)} px off on average`;
  switch (origin.kind) {
    case "stakes":
      return (
        `${stakes}${survey.dof === 0 ? " (four points always fit)" : ""}` +
        `${origin.memory ? `, held to the place of the film’s camera, known from ${origin.memory.surveyCount} other surveys` : ""}.`
      );
    case "memory":
      return (
        `${stakes}, and the place of the film’s camera, known from ${origin.memory.surveyCount} other surveys. ` +
        "More stakes here make it stand on its own."
      );
    case "carried":
      return (
        `From frame ${origin.fromFrames.join(" and frame ")}, by following the picture; its error has grown on the way. ` +
        "Stakes of its own take its place."
      );
  }
}

function CameraWords({ fieldbook, survey }: { readonly fieldbook: Fieldbook; readonly survey: Survey }) {
  const place = useMemo(() => cameraPlace(survey), [survey]);
  const { camera } = survey;
  if (!camera) return null;
  return <p>Camera {cameraWords(camera, fieldbook.layout, place?.covariance ?? null)}.</p>;
}

/** What the film's surveys together say of its camera, for frames that have no survey to say it. */
function MemoryWords({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const memory = useMemo(() => fieldbook.surveys?.memory() ?? null, [fieldbook.surveys]);
  if (!memory) return null;
  if (memory.kind === "contradiction") return <p>{memory.message}</p>;
  return (
    <p>
      This film’s camera is known from {memory.surveyCount} surveys:{" "}
      {cameraWords(memory, fieldbook.layout, memory.covariance)}.
    </p>
  );
}

function Renaming(props: {
  readonly fieldbook: Fieldbook;
  readonly suggestion: { stakeId: string; landmarkId: string; landmarkName: string } | undefined;
}) {
  const { stakes, renameStake, readOnly } = props.fieldbook;
  const { suggestion } = props;
  const stake = stakes.find((candidate) => candidate.id === suggestion?.stakeId);
  if (!suggestion || !stake || readOnly) return null;
  return (
    <Button onPress={() => void renameStake(stake, suggestion.landmarkId)}>Call it “{suggestion.landmarkName}”</Button>
  );
}
