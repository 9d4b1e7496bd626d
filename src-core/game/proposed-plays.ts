import type { PlayProposal } from "../carry/play-proposals.ts";
import type { FieldLayout } from "../field/template.ts";
import { playsOn } from "./angles.ts";
import { newPlay } from "./breakdown-edits.ts";
import { applyChanges, type Change, squash } from "./changes.ts";
import type { NewId } from "./edits.ts";
import type { DownRules } from "./next-situation.ts";
import type { GameRecords, Play } from "./records.ts";

/** What is left of a proposal beside the plays that are there must be so much of it, or it is one of them. */
const leastLeftShare = 0.5;
/** A snap seen less surely than this is left for a person to say. */
const leastSnapConfidence = 0.5;

/** A proposal as far as it is open, and as it was made. */
export type OpenProposal = PlayProposal & { readonly made: PlayProposal };

/** The proposals that no play of the film lies over, each cut back to where it lies beside one. */
export function openProposals(
  proposals: readonly PlayProposal[],
  records: Pick<GameRecords, "plays" | "angles">,
  filmId: string,
): OpenProposal[] {
  const plays = playsOn(records, filmId);
  return proposals.flatMap((proposal) => {
    let { startSec, endSec } = proposal;
    const length = endSec - startSec;
    for (const play of plays) {
      if (play.endSec <= startSec || play.startSec >= endSec) continue;
      // Of what lies before the play and what lies after it, the longer.
      if (play.startSec - startSec > endSec - play.endSec) endSec = play.startSec;
      else startSec = play.endSec;
      if (endSec - startSec < leastLeftShare * length) return [];
    }
    const { snap } = proposal;
    const isInside = snap !== null && snap.sec >= startSec && snap.sec < endSec;
    return [{ ...proposal, startSec, endSec, snap: isInside ? snap : null, made: proposal }];
  });
}

/** The plays that proposals become, in the order of time, each with the situation that the play before it leads to. */
export function takeProposals(
  records: GameRecords,
  filmId: string,
  proposals: readonly PlayProposal[],
  newId: NewId,
  rules: DownRules,
  layout: FieldLayout,
): { readonly plays: readonly Play[]; readonly label: string; readonly changes: readonly Change[] } {
  let next = records;
  const changes: Change[] = [];
  const made: string[] = [];
  for (const proposal of proposals.toSorted((a, b) => a.startSec - b.startSec)) {
    const [open] = openProposals([proposal], next, filmId);
    if (!open) continue;
    const { startSec, endSec, snap } = open;
    const snapSec = snap !== null && snap.confidence >= leastSnapConfidence ? snap.sec : null;
    const taken = newPlay(next, { filmId, startSec, endSec, snapSec }, newId, rules, layout);
    made.push(taken.play.id);
    changes.push(...taken.changes);
    next = applyChanges(next, taken.changes);
  }
  const plays = next.plays.filter(({ id }) => made.includes(id)).toSorted((a, b) => a.number - b.number);
  const [first] = plays;
  return {
    plays,
    label: plays.length === 1 && first ? `Play ${first.number} from the film` : `${plays.length} plays from the film`,
    changes: squash(changes),
  };
}
