import fc from "fast-check";
import { expect, it } from "vitest";
import { following, pictureTimes, zoomRange } from "../../src-renderer/stage/strip/strip-range.ts";

it("keeps what is under the pointer there when it zooms, and stays within the film", () => {
  const near = zoomRange({ fromSec: 0, toSec: 100 }, 25, 2, 100);
  expect([near.fromSec, near.toSec]).toEqual([12.5, 62.5]);
  expect(zoomRange(near, 25, 0.01, 100)).toEqual({ fromSec: 0, toSec: 100 });
  fc.assert(
    fc.property(
      fc.double({ min: 1, max: 9000, noNaN: true }),
      fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0.1, max: 10, noNaN: true })), {
        maxLength: 20,
      }),
      (durationSec, moves) => {
        let range = { fromSec: 0, toSec: durationSec };
        for (const [at, factor] of moves) {
          range = zoomRange(range, range.fromSec + at * (range.toSec - range.fromSec), factor, durationSec);
          expect(range.fromSec).toBeGreaterThanOrEqual(0);
          expect(range.toSec).toBeLessThanOrEqual(durationSec + 1e-6);
          expect(range.toSec - range.fromSec).toBeGreaterThanOrEqual(Math.min(4, durationSec) - 1e-6);
        }
      },
    ),
  );
});

it("turns the page when the film has run out of it, and not before", () => {
  const range = { fromSec: 10, toSec: 20 };
  expect(following(range, 19.9, 100)).toBe(range);
  expect(following(range, 20.5, 100)).toEqual({ fromSec: 19.5, toSec: 29.5 });
  expect(following(range, 5, 100)).toEqual({ fromSec: 0, toSec: 10 });
});

it("has no more pictures than fit, on a grid that other zooms share", () => {
  expect(pictureTimes({ fromSec: 0, toSec: 7200 }, 900, 90)).toHaveLength(12);
  expect(pictureTimes({ fromSec: 12, toSec: 19 }, 900, 90)).toEqual([12, 13, 14, 15, 16, 17, 18]);
  expect(pictureTimes({ fromSec: 12.4, toSec: 19 }, 900, 90)[0]).toBe(12);
});
