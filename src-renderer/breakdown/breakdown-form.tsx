import type { KeyboardEvent } from "react";
import { takePlayOut } from "#core/game/breakdown-edits";
import type { Play } from "#core/game/records";
import { joinNext, splitPlay } from "#core/game/split-join";
import { saidSituation } from "#core/game/words";
import { SituationForm } from "../app/situation-form.tsx";
import { Button } from "../parts/button.tsx";
import { ProposalsSection } from "./proposals-section.tsx";
import { type Breakdown, newId } from "./use-breakdown.ts";

/** What the play at hand began and ended with, what follows from the play before, and what of it does not fit. */
export function BreakdownForm({ breakdown, onFilm }: { readonly breakdown: Breakdown; readonly onFilm: () => void }) {
  const { play, records, layout, readOnly } = breakdown;
  const onKeyDown = (event: KeyboardEvent) => {
    // The field hands its number over by itself; the film is where one goes on.
    if (event.key === "Enter" && event.target instanceof HTMLInputElement) onFilm();
  };
  return (
    <aside className="breakdown-form" aria-label="Situation of the play" onKeyDown={onKeyDown}>
      <ProposalsSection proposals={breakdown.proposals} disabled={!breakdown.player || readOnly} />
      {play ? (
        <>
          <SituationForm
            key={play.id}
            game={records.game}
            layout={layout}
            play={play}
            onChange={breakdown.changePlay}
          />
          {breakdown.faults
            .filter(({ playId }) => playId === play.id)
            .map(({ field, sentence }) => (
              <p key={field + sentence} className="contradiction" role="alert">
                <b>Does not fit:</b> {sentence}
              </p>
            ))}
          <Proposal breakdown={breakdown} play={play} />
          <MeasuredSpotButton breakdown={breakdown} play={play} />
          <div className="row">
            <Button onPress={() => void breakdown.openPlay(play)} shortcut="M">
              Open in the field book
            </Button>
            <Button
              disabled={readOnly}
              onPress={() =>
                breakdown.planned((now, one) => splitPlay(now, one, breakdown.playSec, newId, breakdown.rules, layout))
              }
            >
              Cut in two here
            </Button>
            <Button disabled={readOnly} onPress={() => breakdown.planned(joinNext)}>
              Join with the next
            </Button>
            <Button
              disabled={readOnly}
              onPress={() => void breakdown.edit(`Remove play ${play.number}`, takePlayOut(records, play))}
            >
              Remove play {play.number}
            </Button>
          </div>
        </>
      ) : (
        <div className="empty">
          <p>Down, distance and spot of a play show here once there is one.</p>
        </div>
      )}
    </aside>
  );
}

type OfPlay = { readonly breakdown: Breakdown; readonly play: Play };

function Proposal({ breakdown: { proposal, before, readOnly, takeProposal }, play }: OfPlay) {
  if (!proposal || !before || !saidDiffers(proposal.situation, play)) return null;
  return (
    <div className="proposal">
      <p>
        After play {before.number}: <b>{saidSituation(proposal.situation)}</b>. {proposal.because.join(" ")}
      </p>
      <Button disabled={readOnly} onPress={takeProposal} shortcut="P">
        Take it
      </Button>
    </div>
  );
}

function MeasuredSpotButton({ breakdown: { spot: measured, readOnly, changePlay }, play }: OfPlay) {
  if (!measured) return null;
  const { spot, sdAlongX } = measured;
  const take = (one: Play): Play => ({
    ...one,
    situation: { ...one.situation, scrimmageXYards: spot.xYards, ballYYards: spot.yYards },
  });
  return (
    <Button disabled={readOnly} onPress={() => changePlay("Measured spot", take)}>
      Spot as measured: {Math.abs(spot.xYards - play.situation.scrimmageXYards).toFixed(1)} yd from what is said, good
      to ±{(1.96 * sdAlongX).toFixed(1)} yd
    </Button>
  );
}

/** Spots nearer than this are the same. Yards. */
const sameYards = 0.05;

function saidDiffers(proposed: Play["situation"], { situation }: Play): boolean {
  const away = (a: number | null, b: number | null) =>
    a === null || b === null ? a !== b : Math.abs(a - b) > sameYards;
  return (
    proposed.offence !== situation.offence ||
    proposed.direction !== situation.direction ||
    proposed.down !== situation.down ||
    away(proposed.scrimmageXYards, situation.scrimmageXYards) ||
    away(proposed.lineToGainXYards, situation.lineToGainXYards)
  );
}
