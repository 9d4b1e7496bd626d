import { expect, it } from "vitest";
import { heldToLibrary } from "./look-scenes.ts";

it("agrees with a general geometry library on 10,000 random scenes", () => {
  const { worst, partly, wholly, clear, overlapping } = heldToLibrary(10_000);
  // The library itself counts lengths under 1e-6 as none.
  expect(worst.angleDegrees).toBeLessThan(1e-6);
  expect(worst.gapDegrees).toBeLessThan(1e-6);
  expect(worst.clearShare).toBeLessThan(1e-5);
  // Neither an empty field nor a wall.
  expect(partly).toBeGreaterThan(2000);
  expect(wholly).toBeGreaterThan(100);
  expect(clear).toBeGreaterThan(1000);
  expect(overlapping).toBeGreaterThan(500);
});
