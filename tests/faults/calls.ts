/** Calls made up from the contract, as a group of faults. */
import { fuzzContract } from "./fuzz-contract.ts";
import type { Fault } from "./shared/fault.ts";

export const calls: Fault = async ({ tries, seed }) => {
  const result = await fuzzContract({ calls: tries, seed });
  const { internal, libraryFaults, strayFiles, unhandled, answered, refused } = result;
  return {
    name: "calls",
    tries,
    losses: [...internal, ...libraryFaults, ...strayFiles, ...unhandled],
    facts: { answered, refused, ...Object.fromEntries(result.byCode) },
  };
};
