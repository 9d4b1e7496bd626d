import { useCallback, useEffect, useMemo, useState, useSyncExternalStore } from "react";
import type { PlayProposal } from "#core/carry/play-proposals";
import { type OpenProposal, openProposals, takeProposals } from "#core/game/proposed-plays";
import type { Change } from "#core/game/changes";
import type { FieldLayout } from "#core/field/template";
import type { DownRules } from "#core/game/next-situation";
import type { Film, GameRecords } from "#core/game/records";
import { filmScans, type ScanState } from "../stage/scan/film-scans.ts";

export type Proposals = {
  readonly state: ScanState;
  /** Neither taken nor refused, and with no play over them, in the order of time. */
  readonly open: readonly OpenProposal[];
  readonly chosen: OpenProposal | null;
  readonly start: () => void;
  readonly cancel: () => void;
  readonly choose: (proposal: OpenProposal) => void;
  /** The next one, or the one before; from the last to the first. */
  readonly walk: (way: 1 | -1) => void;
  readonly take: () => void;
  readonly takeAll: () => void;
  readonly refuse: () => void;
  readonly refuseAll: () => void;
};

const none: ScanState = { kind: "none" };

/** The plays that a film seems to show, to be taken or refused. Taken back by undo, one is open again. */
export function useProposals(input: {
  readonly film: Film | null;
  readonly records: GameRecords;
  readonly recordsNow: () => GameRecords;
  readonly rules: DownRules;
  readonly layout: FieldLayout;
  readonly readOnly: boolean;
  readonly isPlaying: boolean;
  /** Runs edits one after another. */
  readonly inTurn: (work: () => Promise<unknown>) => Promise<unknown>;
  readonly edit: (label: string, changes: readonly Change[]) => Promise<unknown>;
  readonly onSeek: (sec: number) => void;
}): Proposals {
  const { film, records, recordsNow, rules, layout, readOnly, isPlaying, inTurn, edit, onSeek } = input;
  const state = useSyncExternalStore(filmScans.subscribe, () => (film ? filmScans.stateOf(film) : none));
  const [chosenMade, setChosenMade] = useState<PlayProposal | null>(null);
  const open = useMemo(
    () =>
      film && state.kind === "done"
        ? openProposals(
            state.proposals.filter((one) => !state.refused.includes(one)),
            records,
            film.id,
          )
        : [],
    [film, state, records],
  );
  const chosen = open.find(({ made }) => made === chosenMade) ?? open[0] ?? null;

  useEffect(() => filmScans.pauseAll(isPlaying), [isPlaying]);
  useEffect(() => () => filmScans.pauseAll(false), []);

  const choose = useCallback(
    (proposal: OpenProposal) => {
      setChosenMade(proposal.made);
      onSeek(proposal.snap?.sec ?? proposal.startSec);
    },
    [onSeek],
  );
  const walk = (way: 1 | -1) => {
    const at = chosen ? open.indexOf(chosen) : -1;
    const next = open[(at + way + open.length) % open.length];
    if (next) choose(next);
  };
  const goOn = () => {
    if (open.length > 1) walk(1);
  };
  const takeThese = (proposals: readonly OpenProposal[]) => {
    if (!film || readOnly || proposals.length === 0) return;
    void inTurn(() => {
      const made = proposals.map((one) => one.made);
      const plan = takeProposals(recordsNow(), film.id, made, () => crypto.randomUUID(), rules, layout);
      return edit(plan.label, plan.changes);
    });
  };
  return {
    state,
    open,
    chosen,
    start: () => film && filmScans.start(film),
    cancel: () => film && filmScans.cancel(film),
    choose,
    walk,
    take: () => {
      if (!chosen) return;
      takeThese([chosen]);
      goOn();
    },
    takeAll: () => takeThese(open),
    refuse: () => {
      if (!film || !chosen) return;
      filmScans.refuse(film, [chosen.made]);
      goOn();
    },
    refuseAll: () =>
      film &&
      filmScans.refuse(
        film,
        open.map(({ made }) => made),
      ),
  };
}
