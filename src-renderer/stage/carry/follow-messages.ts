import type { Followed } from "#core/carry/follow";
import type { Seeing } from "#core/field/seen-through";
import type { FieldPoint } from "#core/field/units";

export type FollowPeopleRequest = {
  /** Absolute address of the film. */
  readonly url: string;
  /** The marked frame and the one to reach, before or behind it. */
  readonly fromIndex: number;
  readonly toIndex: number;
  /** How each frame between the two, both included, sees the field: the earlier first. */
  readonly seeings: readonly Seeing[];
  /** Where each person stands in the marked frame. */
  readonly starts: readonly FieldPoint[];
};

/** What the worker says to the window. */
export type FollowMessage =
  | { readonly kind: "progress"; readonly done: number; readonly total: number }
  | { readonly kind: "done"; readonly followed: readonly Followed[] }
  | { readonly kind: "failed"; readonly message: string };
