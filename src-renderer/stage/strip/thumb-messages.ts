export const thumbWidthPx = 160;

/** What the window asks of the worker that makes small pictures. */
export type ThumbRequest =
  | { readonly kind: "open"; readonly url: string }
  /** In the order they are wanted; what was asked before and is not here is given up. */
  | { readonly kind: "want"; readonly timesSec: readonly number[] }
  | { readonly kind: "pause"; readonly paused: boolean };

export type ThumbMessage =
  | { readonly kind: "made"; readonly timeSec: number; readonly picture: Blob }
  /** No picture can be had at this instant, or none of the film at all. */
  | { readonly kind: "none"; readonly timeSec: number | null };
