import fc from "fast-check";
import { expect, it } from "vitest";
import { likelyPhase } from "#core/game/edits";
import { proposedMoments } from "#core/game/moment-proposals";
import { nothingSaid } from "#core/game/records";
import { aPlay } from "../../main/store/build-game.ts";

/** Gaps of a play's own times, seconds; null where a time was not said. A pass is in the air for a third of a second or more. */
const times = fc.record({
  throwSec: fc.option(fc.double({ min: 0.8, max: 4, noNaN: true })),
  flightSec: fc.option(fc.double({ min: 0.35, max: 3, noNaN: true })),
  runSec: fc.option(fc.double({ min: 0.4, max: 5, noNaN: true })),
});

// A film shows the instant that is asked for by a frame that began up to 1/24 s before it.
it("a moment marked where one is proposed has the phase that was proposed", () => {
  const seen = new Set<string>();
  fc.assert(
    fc.property(times, fc.double({ min: 0, max: 1 / 24, noNaN: true }), ({ throwSec, flightSec, runSec }, earlySec) => {
      const snapSec = 12;
      const releaseSec = throwSec === null ? null : snapSec + throwSec;
      const catchSec = releaseSec === null || flightSec === null ? null : releaseSec + flightSec;
      const deadSec = runSec === null ? null : (catchSec ?? releaseSec ?? snapSec) + runSec;
      const endSec = (deadSec ?? catchSec ?? releaseSec ?? snapSec) + 3;
      const said = { ...nothingSaid, snapSec, releaseSec, catchSec, deadSec };
      const play = aPlay("g", "p", "f", { startSec: 9, endSec, ...said });
      for (const { phase, playSec } of proposedMoments(play)) {
        seen.add(phase);
        expect(likelyPhase(play, playSec - earlySec), phase).toBe(phase);
      }
    }),
    { seed: 5, numRuns: 500 },
  );
  expect([...seen].toSorted()).toEqual(["ball-away", "catch", "dead-ball", "keys", "pre-snap", "zone"]);
});
