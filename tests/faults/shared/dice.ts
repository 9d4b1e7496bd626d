/** Seeded chance, so that a bad seed can be played again. */
import { seededRandom } from "#core/field/random";

export type Dice = {
  /** From 0 up to and without 1. */
  readonly share: () => number;
  /** A whole number from 0 up to and without `count`. */
  readonly below: (count: number) => number;
  readonly pick: <T>(from: readonly T[]) => T;
};

export function diceOf(seed: number): Dice {
  const random = seededRandom(seed);
  const below = (count: number) => Math.floor(random.uniform() * count);
  return {
    share: () => random.uniform(),
    below,
    pick: (from) => {
      const one = from[below(from.length)];
      if (one === undefined) throw new Error("nothing to pick from");
      return one;
    },
  };
}
