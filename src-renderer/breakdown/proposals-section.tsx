import { useEffect, useRef } from "react";
import type { SnapHint } from "#core/carry/play-proposals";
import type { OpenProposal } from "#core/game/proposed-plays";
import { clock } from "#core/game/words";
import { CopyDetails } from "../app/copy-details.tsx";
import { Button } from "../parts/button.tsx";
import "./proposals.css";
import type { Proposals } from "./use-proposals.ts";

/** Plays proposed from the film: how far it was looked through, and what was found, to be taken or left out. */
export function ProposalsSection({
  proposals,
  disabled,
}: {
  readonly proposals: Proposals;
  /** No film is open, or the game is only to be read. */
  readonly disabled: boolean;
}) {
  const { state, open } = proposals;
  return (
    <section className="film-proposals" aria-label="Plays proposed from the film">
      <Content proposals={proposals} disabled={disabled} />
      <p className="visually-hidden" role="status">
        {state.kind === "done" ? `${open.length} proposed plays are open.` : ""}
      </p>
    </section>
  );
}

function Content({ proposals, disabled }: Parameters<typeof ProposalsSection>[0]) {
  const { state } = proposals;
  switch (state.kind) {
    case "none":
      return (
        <Button
          disabled={disabled}
          title="Looks the whole film through for cuts, and for people who stand still and break into motion"
          onPress={proposals.start}
        >
          Propose plays from the film
        </Button>
      );
    case "running": {
      const share = state.total === 0 ? 0 : state.done / state.total;
      return (
        <>
          <p className="how-far">
            <span>{state.paused ? "Waits while the film plays" : "Looking the film through"}</span>
            <span>{Math.floor(100 * share)} %</span>
          </p>
          <div className="row">
            <progress aria-label="How far the film is looked through" max={1} value={share} />
            <Button name="Cancel looking the film through" onPress={proposals.cancel}>
              Cancel
            </Button>
          </div>
        </>
      );
    }
    case "failed":
      return (
        <div className="row" role="alert">
          <span>{state.message}</span>
          <Button disabled={disabled} onPress={proposals.start}>
            Try again
          </Button>
          <CopyDetails code="SCAN_FAILED" message={state.message} />
        </div>
      );
    case "done":
      if (proposals.open.length > 0) return <Found proposals={proposals} disabled={disabled} />;
      return (
        <p className="soft">
          {state.proposals.length === 0
            ? "No plays were found in this film. Cut it by hand: N at each snap."
            : `All ${state.proposals.length} proposed plays are dealt with.`}
        </p>
      );
  }
}

function Found({ proposals, disabled }: Parameters<typeof ProposalsSection>[0]) {
  const { open, chosen } = proposals;
  const here = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    here.current?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  return (
    <>
      <h2>{open.length === 1 ? "1 proposed play" : `${open.length} proposed plays`}</h2>
      <ul>
        {open.map((one) => (
          <li key={one.made.startSec}>
            <button
              ref={one === chosen ? here : null}
              type="button"
              aria-current={one === chosen}
              onClick={() => proposals.choose(one)}
            >
              <span>
                {clock(one.startSec)} to {clock(one.endSec)}
              </span>
              <span className="soft">{saidSnap(one.snap)}</span>
            </button>
          </li>
        ))}
      </ul>
      <div className="row">
        <Button look="primary" name={nameOf("Take", chosen)} shortcut="T" disabled={disabled} onPress={proposals.take}>
          Take
        </Button>
        <Button name={nameOf("Leave out", chosen)} shortcut="X" disabled={disabled} onPress={proposals.refuse}>
          Leave out
        </Button>
      </div>
      <div className="row">
        <Button name="Take all proposed plays" disabled={disabled} onPress={proposals.takeAll}>
          Take all
        </Button>
        <Button name="Leave all proposed plays out" disabled={disabled} onPress={proposals.refuseAll}>
          Leave all out
        </Button>
      </div>
      <p className="soft">
        A snap is proposed where people break out of standing still: look at it, and press N where it is. A faint one is
        left for you to say.
      </p>
    </>
  );
}

function nameOf(what: string, chosen: OpenProposal | null): string {
  return chosen ? `${what}: the play from ${clock(chosen.startSec)} to ${clock(chosen.endSec)}` : what;
}

/** From so sure on a hint is clear, or fair. */
const clearFrom = 0.75;
const fairFrom = 0.5;

function saidSnap(snap: SnapHint | null): string {
  if (snap === null) return "no snap seen";
  const how = snap.confidence >= clearFrom ? "clear" : snap.confidence >= fairFrom ? "fair" : "faint";
  return `snap near ${clock(snap.sec)}, ${how}`;
}
