import type { GroundEdge } from "#core/carry/anchor-picture";
import type { CarriedFrame } from "#core/carry/carried-frame";
import type { CarryStop } from "#core/carry/carry-stop";

/** A surveyed frame to carry from, and where its picture's ground ends. */
export type CarryAnchor = { readonly index: number; readonly groundEdge: GroundEdge | null };

export type CarryPlayRequest = {
  /** Absolute address of the film. */
  readonly url: string;
  /** Frames of the play, both included. */
  readonly firstIndex: number;
  readonly lastIndex: number;
  readonly anchors: readonly CarryAnchor[];
};

export type CarriedTrack = {
  readonly anchorIndex: number;
  /** Without gaps, from the first frame reached to the last; the anchor's own is among them. */
  readonly frames: readonly CarriedFrame[];
  /** Why it goes no further back, or on; null where it reached the play's end or the next anchor. */
  readonly stopBefore: CarryStop | null;
  readonly stopAfter: CarryStop | null;
};

/** What the worker says to the window. */
export type CarryMessage =
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly tracks: readonly CarriedTrack[] }
  | { readonly kind: "failed"; readonly message: string };
