import { useEffect, useRef, useState } from "react";
import type { ReportAssets } from "#core/report/document";
import type { PageInput } from "#core/report/page-input";
import type { AnimationWanted } from "#core/report/teaching-page";
import { AnimationRefused } from "../stage/report/animate-play.ts";
import { animateWanted } from "./write-teaching.ts";

/** How a moving picture that was asked for stands: so many frames made, or why there is none. */
export type MovingState =
  | { readonly kind: "making"; readonly done: number; readonly total: number }
  | { readonly kind: "refused"; readonly why: string };

/** Moving pictures of the page in view, each made when it is asked for, one after another; let go of when the game changes. */
export function useMovingPictures(input: PageInput) {
  const [assets, setAssets] = useState<ReportAssets>(new Map());
  const [states, setStates] = useState<ReadonlyMap<string, MovingState>>(new Map());
  const control = useRef(new AbortController());
  const last = useRef<Promise<void>>(Promise.resolve());
  useEffect(() => {
    control.current = new AbortController();
    setAssets(new Map());
    setStates(new Map());
    const { current } = control;
    return () => current.abort();
  }, [input]);
  const make = (wanted: AnimationWanted) => {
    const { signal } = control.current;
    const say = (state: MovingState) => {
      if (!signal.aborted) setStates((before) => new Map(before).set(wanted.key, state));
    };
    say({ kind: "making", done: 0, total: 1 });
    last.current = last.current.then(async () => {
      try {
        const bytes = await animateWanted(wanted, input, {
          signal,
          onProgress: (done, total) => say({ kind: "making", done, total }),
        });
        if (!signal.aborted) setAssets((before) => new Map(before).set(wanted.key, { type: "video/webm", bytes }));
      } catch (error) {
        if (signal.aborted) return;
        say({ kind: "refused", why: error instanceof AnimationRefused ? error.message : "It could not be made." });
      }
    });
  };
  return { assets, states, make };
}
