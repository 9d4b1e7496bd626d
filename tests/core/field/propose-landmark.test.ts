import { describe, expect, test } from "vitest";
import { type NamedClick, proposeLandmark } from "#core/field/propose-landmark";
import { seededRandom } from "#core/field/random";
import type { Landmark } from "#core/field/template";
import { imagePoint } from "#core/field/units";
import { type TestCamera, aimedCamera, inFrame, ncaa, noisy, pressBox, see } from "./cameras.ts";

// Nothing published says which name a click should get: the truth here is the camera that made the click.
const nothing = { survey: null, otherFrame: null };

function landmark(id: string): Landmark {
  const found = ncaa.landmarks.find((candidate) => candidate.id === id);
  if (found === undefined) throw new Error(`no landmark ${id}`);
  return found;
}

function clicksOn(camera: TestCamera, ids: readonly string[]): NamedClick[] {
  return ids.map((landmarkId) => ({ landmarkId, click: see(camera, landmark(landmarkId).at) }));
}

const corners = ["near-sideline/L35", "near-sideline/R35", "far-sideline/L35", "far-sideline/R35"];
const inside = ncaa.landmarks.filter(({ id, at }) => inFrame(pressBox, at) && !corners.includes(id));

describe("with this frame's survey", () => {
  const known = { survey: pressBox.h, otherFrame: null };

  test("names every landmark in the frame from a click with noise", () => {
    const random = seededRandom(1);
    expect(inside.length).toBeGreaterThan(15);
    for (const { id, at } of inside) {
      const click = noisy(random, see(pressBox, at), 1.5);
      expect(proposeLandmark(ncaa, clicksOn(pressBox, corners), click, known)?.id).toBe(id);
    }
  });

  test("never a name that another stake carries", () => {
    const stakes = clicksOn(pressBox, corners);
    for (const { click, landmarkId } of stakes) {
      expect(proposeLandmark(ncaa, stakes, click, known)?.id).not.toBe(landmarkId);
    }
  });

  test("none when two landmarks are about equally near", () => {
    const a = see(pressBox, landmark("near-hash/L45").at);
    const b = see(pressBox, landmark("near-hash/mid").at);
    const between = (t: number) => imagePoint(a.uPx + t * (b.uPx - a.uPx), a.vPx + t * (b.vPx - a.vPx));
    const stakes = clicksOn(pressBox, corners);
    expect(proposeLandmark(ncaa, stakes, between(0.5), known)).toBeNull();
    expect(proposeLandmark(ncaa, stakes, between(0.1), known)?.id).toBe("near-hash/L45");
    expect(proposeLandmark(ncaa, stakes, between(0.9), known)?.id).toBe("near-hash/mid");
  });
});

describe("without a survey of this frame", () => {
  test("none from fewer than two stakes, whatever is known", () => {
    const click = see(pressBox, landmark("near-hash/mid").at);
    const known = { survey: pressBox.h, otherFrame: pressBox.h };
    expect(proposeLandmark(ncaa, [], click, known)).toBeNull();
    expect(proposeLandmark(ncaa, clicksOn(pressBox, corners.slice(0, 1)), click, known)).toBeNull();
  });

  test("two stakes and another frame's survey are enough after a pan and a zoom", () => {
    const panned = aimedCamera("panned", [60, -25, 12], [66, 80 / 3, 0], 1650, pressBox.image);
    const stakes = clicksOn(panned, ["near-hash/mid", "far-hash/R35"]);
    for (const id of ["near-hash/R45", "near-hash/R40", "far-hash/mid", "far-hash/R40", "far-sideline/R40"]) {
      const click = see(panned, landmark(id).at);
      expect(proposeLandmark(ncaa, stakes, click, { survey: null, otherFrame: pressBox.h })?.id).toBe(id);
    }
  });

  test("two stakes alone fix nothing, nor do three on one line", () => {
    const click = see(pressBox, landmark("near-hash/R40").at);
    expect(proposeLandmark(ncaa, clicksOn(pressBox, corners.slice(0, 2)), click, nothing)).toBeNull();
    const row = ["near-hash/L40", "near-hash/L45", "near-hash/mid"];
    expect(proposeLandmark(ncaa, clicksOn(pressBox, row), click, nothing)).toBeNull();
  });

  test("three stakes alone name their neighbours by an affine map", () => {
    const stakes = clicksOn(pressBox, ["near-hash/L45", "near-hash/R45", "far-hash/L45"]);
    for (const id of ["near-hash/mid", "far-hash/mid", "near-hash/R40"]) {
      expect(proposeLandmark(ncaa, stakes, see(pressBox, landmark(id).at), nothing)?.id).toBe(id);
    }
  });

  test("and every landmark of the field in a slanted view without perspective", () => {
    const view = ({ at: { xYards: x, yYards: y } }: Landmark) => imagePoint(20 * x + 8 * y, 900 - 9 * y + 3 * x);
    const ids = ["near-hash/L45", "far-sideline/R20", "far-hash/L10"];
    const stakes = ids.map((landmarkId) => ({ landmarkId, click: view(landmark(landmarkId)) }));
    for (const each of ncaa.landmarks) {
      if (ids.includes(each.id)) continue;
      expect(proposeLandmark(ncaa, stakes, view(each), nothing)?.id).toBe(each.id);
    }
  });
});
