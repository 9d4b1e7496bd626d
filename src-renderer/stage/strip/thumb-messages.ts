export const thumbWidthPx = 160;
/** The frame under the pointer is shown larger. */
export const lookWidthPx = 320;

/** What must wait: nothing; what nobody looks at yet, while somebody steps through the film; all, while it plays. */
export type ThumbHold = "nothing" | "unseen" | "all";

/** What the window asks of the worker that makes small pictures. Seconds of the film. */
export type ThumbRequest =
  | { readonly kind: "open"; readonly url: string }
  /** In the order they are wanted; what was asked before and is not here is given up. */
  | { readonly kind: "want"; readonly timesSec: readonly number[] }
  /** Made when nothing else is wanted; takes the place of what was asked so before. */
  | { readonly kind: "rest"; readonly timesSec: readonly number[] }
  /** The very frame of one instant, before all else; null when it is no longer looked at. */
  | { readonly kind: "look"; readonly timeSec: number | null }
  | { readonly kind: "hold"; readonly hold: ThumbHold };

export type ThumbMessage =
  | { readonly kind: "made"; readonly timeSec: number; readonly picture: Blob }
  | { readonly kind: "looked"; readonly timeSec: number; readonly picture: Blob }
  /** No picture can be had at this instant, or none of the film at all. */
  | { readonly kind: "none"; readonly timeSec: number | null };
