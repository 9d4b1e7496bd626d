import type { StripRange } from "./strip-range.ts";

/** Where instants of the film lie across a strip: CSS lengths in percent of its width. */
export type StripScale = {
  readonly left: (sec: number) => string;
  readonly width: (fromSec: number, toSec: number) => string;
  /** Width on screen, in px. */
  readonly widthPx: (fromSec: number, toSec: number) => number;
  readonly isShown: (fromSec: number, toSec: number) => boolean;
};

export function stripScale({ fromSec, toSec }: StripRange, stripWidthPx: number): StripScale {
  const span = toSec - fromSec || 1;
  const percent = (share: number) => `${(100 * share).toFixed(3)}%`;
  return {
    left: (sec) => percent((sec - fromSec) / span),
    width: (from, to) => percent((to - from) / span),
    widthPx: (from, to) => ((to - from) / span) * stripWidthPx,
    isShown: (from, to) => to >= fromSec && from <= toSec,
  };
}
