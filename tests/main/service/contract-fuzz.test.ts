import { expect, test } from "vitest";
import { contract } from "#core/contract/contract";
import { fuzzContract } from "../../faults/fuzz-contract.ts";

const calls = Number(process.env["CREWGLASS_TRIES"] ?? 2000);

test(
  `${calls} calls made up from the contract get a valid reply or a failure of its list, and leave the library whole`,
  { timeout: 60_000 + calls * 60 },
  async () => {
    const result = await fuzzContract({ calls, seed: 20261126 });
    const { answered, refused, internal, byCode, byOperation } = result;
    console.log(`${calls} calls: ${answered} answered, ${refused} refused, ${internal.length} internal`);
    console.log(JSON.stringify(Object.fromEntries(byCode)));
    expect(internal.slice(0, 5)).toEqual([]);
    expect(result).toMatchObject({ libraryFaults: [], strayFiles: [], unhandled: [] });
    expect(answered + refused).toBe(calls);
    // It reaches behind the door: every operation is called, and much of what is asked is done.
    const operations = Object.entries(contract).flatMap(([of, them]) =>
      Object.keys(them).map((name) => `${of}.${name}`),
    );
    expect([...byOperation.keys()].toSorted()).toEqual(operations.toSorted());
    expect(answered).toBeGreaterThan(calls / 10);
    // An edit of what has changed meanwhile is made up once in some two thousand calls.
    const met = ["INVALID", "NOT_FOUND", "FILE_MISSING", ...(calls < 10_000 ? [] : ["STALE"])];
    expect(met.filter((code) => !byCode.has(code))).toEqual([]);
  },
);
