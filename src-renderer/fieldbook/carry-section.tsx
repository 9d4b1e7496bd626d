import { remove } from "#core/game/changes";
import type { CarryStopReason } from "#core/carry/carry-stop";
import type { Carry } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import { carriesOf, type CarryHand, surveyedMoments } from "./use-carry.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

/** Carrying the play's surveys to its other frames by following the picture. */
export function CarrySection({ fieldbook, hand }: { readonly fieldbook: Fieldbook; readonly hand: CarryHand }) {
  const { play, readOnly, edit } = fieldbook;
  const { work, carry, cancel } = hand;
  if (!play) return null;
  const anchors = surveyedMoments(fieldbook, play);
  const carries = carriesOf(fieldbook, play);
  const used = new Set(carries.map(({ momentId }) => momentId));
  const isOld = carries.length > 0 && anchors.some((moment) => !used.has(moment.id));
  return (
    <section aria-label="Carry">
      <h3>Carry through play {play.number}</h3>
      {work.kind === "working" ? (
        <div className="carrying">
          <label>
            <span>Following the picture, {Math.round((100 * work.done) / work.total)} %…</span>
            <progress value={work.done} max={work.total} />
          </label>
          <Button onPress={cancel}>Cancel</Button>
        </div>
      ) : (
        <>
          <p className="soft" role="status">
            {carries.length === 0
              ? anchors.length === 0
                ? "Survey one frame of this play; it can then be carried to the others, while the camera pans and zooms."
                : "The survey can be carried to the other frames of this play, while the camera pans and zooms."
              : carries.map(reach).join(" ")}
            {isOld ? " A frame surveyed since then is not in it yet: carry again." : ""}
          </p>
          <div className="row">
            <Button disabled={readOnly || anchors.length === 0} onPress={() => void carry(play)}>
              {carries.length === 0 ? "Carry the survey through this play" : "Carry again"}
            </Button>
            {carries.length > 0 ? (
              <Button
                disabled={readOnly}
                onPress={() =>
                  void edit(
                    "Take the carried survey away",
                    carries.map((one) => remove("carry", one)),
                  )
                }
              >
                Take it away
              </Button>
            ) : null}
          </div>
        </>
      )}
    </section>
  );
}

const whyStopped: Record<Exclude<CarryStopReason, "end-of-play">, string> = {
  "scene-cut": "the film cuts to another scene",
  "little-in-common": "the camera has turned too far from the surveyed frame",
  "no-fit": "the picture changes too much to be followed (blur, or something before the lens)",
};

function reach({ firstIndex, frameCount, stopBefore, stopAfter }: Carry): string {
  const lastIndex = firstIndex + frameCount - 1;
  const stop = (frame: number, reason: string | null) =>
    reason === null
      ? ""
      : ` It stops at frame ${frame}: ${whyStopped[reason as keyof typeof whyStopped] ?? "it could not go on"}. Survey a frame beyond it to go on.`;
  return `Carried to frames ${firstIndex} to ${lastIndex}.${stop(firstIndex, stopBefore)}${stop(lastIndex, stopAfter)}`;
}
