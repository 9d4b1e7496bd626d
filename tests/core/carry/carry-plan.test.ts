import { expect, it } from "vitest";
import { planCarry } from "#core/carry/carry-plan";

it("carries from both anchors over the gap between them, and from the nearest outside", () => {
  expect(planCarry(100, 200, [150])).toEqual([{ anchorIndex: 150, firstIndex: 100, lastIndex: 200 }]);
  expect(planCarry(100, 200, [180, 120, 180])).toEqual([
    { anchorIndex: 120, firstIndex: 100, lastIndex: 179 },
    { anchorIndex: 180, firstIndex: 121, lastIndex: 200 },
  ]);
  // Neighbours and ends of the range have nothing to carry to on one side.
  expect(planCarry(0, 9, [0, 1, 9])).toEqual([
    { anchorIndex: 0, firstIndex: 0, lastIndex: 0 },
    { anchorIndex: 1, firstIndex: 1, lastIndex: 8 },
    { anchorIndex: 9, firstIndex: 2, lastIndex: 9 },
  ]);
  expect(planCarry(100, 200, [99, 201])).toEqual([]);
});
