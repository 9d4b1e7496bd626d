import { type FieldPoint, fieldDistanceYards } from "../field/units.ts";
import type { WorkingScale } from "./anchor-picture.ts";
import { type FollowedStep, followPass } from "./follow-pass.ts";
import type { FollowFrame } from "./follow-window.ts";

/**
 * Why somebody is not followed: they left the picture; they were out of sight, at the end or too long; or the way back
 * from where they seemed to be did not lead to where they were.
 */
export type LostReason = "left-picture" | "out-of-sight" | "not-the-way-back";

/** A proposal of where a marked person is in another frame; never a measurement. */
export type Followed =
  | {
      readonly kind: "followed";
      readonly ground: FieldPoint;
      /** The farthest that the way there and the way back lay apart, yards. */
      readonly apartYards: number;
    }
  | { readonly kind: "lost"; readonly reason: LostReason };

export type FollowRequest = {
  /** The marked frame first, then one after the other, on or back in time, to the frame that is asked for. */
  readonly frames: readonly FollowFrame[];
  readonly scale: WorkingScale;
  /** Where they stand in the marked frame. Everybody who is marked there should be given: those in front hide others. */
  readonly starts: readonly FieldPoint[];
};

/** How far the two ways may lie apart, yards; on film of known people a greater limit lets strangers pass. */
const mostApartYards = 1;
/** Share of the frames in which somebody may be out of sight. */
const mostGuessed = 0.25;

/** Frames that following goes through: there and back. */
export function followSteps(frameCount: number): number {
  return 2 * frameCount;
}

/**
 * Follows people to another frame and back again, and keeps those whom both ways agree on (the forward-backward check of
 * Kalal, Mikolajczyk and Matas, "Forward-Backward Error", ICPR 2010). Yields after each frame; answers in the order of
 * the starts.
 */
export function* followPeople({ frames, scale, starts }: FollowRequest): Generator<void, readonly Followed[]> {
  const there = yield* followPass(frames, scale, starts);
  const arrived = there.flatMap((path, index) => (path.length === frames.length ? [index] : []));
  const ends = arrived.map((index) => there[index]!.at(-1)!.ground);
  const back = yield* followPass(frames.toReversed(), scale, ends);
  return there.map((path, index): Followed => {
    const at = arrived.indexOf(index);
    return at < 0 ? { kind: "lost", reason: "left-picture" } : verdict(path, back[at]!);
  });
}

function verdict(there: readonly FollowedStep[], back: readonly FollowedStep[]): Followed {
  const end = there.at(-1)!;
  const guessed = there.filter((step) => step.guessed).length;
  if (end.guessed || guessed > mostGuessed * there.length) return { kind: "lost", reason: "out-of-sight" };
  if (back.length < there.length) return { kind: "lost", reason: "not-the-way-back" };
  const apartYards = Math.max(
    ...there.map(({ ground }, i) => fieldDistanceYards(ground, back[back.length - 1 - i]!.ground)),
  );
  return apartYards > mostApartYards
    ? { kind: "lost", reason: "not-the-way-back" }
    : { kind: "followed", ground: end.ground, apartYards };
}
