import fc from "fast-check";
import { expect, it } from "vitest";
import { resolveBook } from "#core/mechanics/resolve-book";
import { shippedFile, shippedFiles } from "#core/mechanics/shipped-books";

type Path = readonly (string | number)[];

function pathsOf(file: unknown): Path[] {
  const paths: Path[] = [];
  const walk = (value: unknown, path: Path) => {
    if (path.length > 0) paths.push(path);
    if (value === null || typeof value !== "object") return;
    const entries = Array.isArray(value) ? [...value.entries()] : Object.entries(value);
    for (const [key, item] of entries) walk(item, [...path, key]);
  };
  walk(file, []);
  return paths;
}

const places = shippedFiles.flatMap((file) => pathsOf(file).map((path) => ({ file, path })));
const numbers = fc.oneof(fc.integer({ min: -200, max: 200 }), fc.double(), fc.constantFrom(-0, 1e308, NaN, Infinity));
const words = fc.constantFrom("ball", "zone", "either", "goal-line", "", " ", "ST-R-PRE", "R", "__proto__", "extends");
const change = fc.record({
  at: fc.constantFrom(...places),
  how: fc.constantFrom("set", "drop", "twin", "swap"),
  value: fc.oneof(fc.jsonValue(), numbers, words),
});

/** A place changed by a value, taken out, written twice, or changed for its neighbour. */
function mutated({ at, how, value }: { at: (typeof places)[number]; how: string; value: unknown }): unknown {
  const copy = structuredClone(at.file) as unknown;
  let holder = copy as Record<string | number, unknown>;
  for (const key of at.path.slice(0, -1)) holder = holder[key] as Record<string | number, unknown>;
  const last = at.path.at(-1)!;
  if (Array.isArray(holder) && typeof last === "number" && how !== "set") {
    const list = holder as unknown[];
    if (how === "drop") list.splice(last, 1);
    else if (how === "twin") list.splice(last, 0, structuredClone(list[last]));
    else list.splice(last, 0, ...list.splice(last + 1, 1));
  } else if (how === "drop") delete holder[last];
  else holder[last] = value;
  return copy;
}

it("accepts a changed file whole or refuses it with a path, and never falls over it", { timeout: 120_000 }, () => {
  let accepted = 0;
  let refused = 0;
  fc.assert(
    fc.property(change, (one) => {
      const file = mutated(one);
      const before = structuredClone(file);
      const result = resolveBook(file, shippedFile);
      expect(file).toEqual(before);
      if (result.ok) {
        accepted++;
        // What came in whole goes out whole: it reads as itself again.
        expect(resolveBook(structuredClone(result.book), shippedFile)).toEqual(result);
      } else {
        refused++;
        expect(result.fault.path.length).toBeGreaterThan(0);
        expect(result.fault.message.length).toBeGreaterThan(0);
      }
    }),
    { seed: 20_260_919, numRuns: 5000 },
  );
  expect(accepted + refused).toBe(5000);
  expect(refused).toBeGreaterThan(2000);
  expect(accepted).toBeGreaterThan(100);
});
