import fc from "fast-check";
import { expect, it } from "vitest";
import { connectedGroups } from "#core/season/connected-groups";

const edges = (pairs: readonly (readonly [number, number])[], officials: number, observers: number) =>
  connectedGroups(
    { levelOf: Int32Array.from(pairs, ([official]) => official), levels: officials },
    { levelOf: Int32Array.from(pairs, ([, observer]) => observer), levels: observers },
  );

it("one official whom two observers graded ties all of theirs together", () => {
  const apart = [
    [0, 0],
    [1, 0],
    [2, 1],
    [3, 1],
  ] as const;
  expect(edges(apart, 4, 2)).toEqual([
    { name: "group 1", officials: [0, 1], observers: [0] },
    { name: "group 2", officials: [2, 3], observers: [1] },
  ]);
  expect(edges([...apart, [1, 1]], 4, 2)).toEqual([{ name: "group 1", officials: [0, 1, 2, 3], observers: [0, 1] }]);
});

it("is what walking from neighbour to neighbour reaches, in whatever order grades come", () => {
  const graph = fc.array(fc.tuple(fc.nat({ max: 7 }), fc.nat({ max: 5 })), { minLength: 0, maxLength: 14 });
  fc.assert(
    fc.property(graph, (random) => {
      // Every level has a grade.
      const pairs = [...random, ...Array.from({ length: 8 }, (_, level): [number, number] => [level, level % 6])];
      const groups = edges(pairs, 8, 6);
      expect(edges(pairs.toReversed(), 8, 6)).toEqual(groups);
      const reached = new Set([0]);
      for (let step = 0; step < 14; step++)
        for (const [official, observer] of pairs) {
          const [a, b] = [official, 8 + observer];
          if (reached.has(a) || reached.has(b)) reached.add(a).add(b);
        }
      const first = groups[0]!;
      expect([...first.officials, ...first.observers.map((one) => 8 + one)]).toEqual(
        [...reached].sort((a, b) => a - b),
      );
      expect(groups.flatMap(({ officials }) => officials).sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    }),
    { seed: 1, numRuns: 200 },
  );
});
