import { describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { type Homography, invertHomography, projectToField } from "#core/field/homography";
import { fieldDistanceYards, fieldPoint, imagePoint } from "#core/field/units";
import clicks from "../../../src-main/demo/clicks.json" with { type: "json" };
import demoUrl from "../../../src-main/demo/film.mp4?url";
import { followInFilm, mostFollowedFrames } from "../../../src-renderer/stage/carry/follow-people.ts";

const url = new URL(demoUrl, location.href).href;
const image = { widthPx: 1280, heightPx: 720 };
const quiet = { signal: new AbortController().signal, onProgress: () => undefined };

async function seeingsOf(first: number, count: number) {
  const cameras = (await commands.demoCamera(
    Array.from({ length: count }, (_, i) => first + i),
  )) as unknown as Homography[];
  return cameras.map((homography) => ({ homography, inverse: invertHomography(homography), image }));
}

describe("people followed in the worker", () => {
  test("on and back in time over the same frames, with all of its steps told", async () => {
    // Just before the first play's snap the referee and the field judge stand where the demo's own clicks have them.
    const { frameIndex: first, marks } = clicks.plays[0]!.moments[0]!;
    const count = 6;
    const seeings = await seeingsOf(first, count);
    const starts = marks
      .filter((mark) => mark.kind === "official" && ["R", "FJ"].includes(mark.position ?? ""))
      .map(({ uPx, vPx }) => projectToField(seeings[0]!.homography, imagePoint(uPx, vPx))!);
    for (const [fromIndex, toIndex] of [
      [first, first + count - 1],
      [first + count - 1, first],
    ] as const) {
      const told: [number, number][] = [];
      const result = await followInFilm(
        { url, fromIndex, toIndex, seeings, starts },
        { ...quiet, onProgress: (done, total) => told.push([done, total]) },
      );
      if (!result.ok) throw new Error(result.message);
      expect(result.followed).toHaveLength(2);
      for (const [i, one] of result.followed.entries()) {
        expect(one.kind).toBe("followed");
        if (one.kind === "lost") continue;
        expect(fieldDistanceYards(one.ground, starts[i]!)).toBeLessThan(0.8);
      }
      expect(told.at(-1)).toEqual([3 * count, 3 * count]);
      expect(told.map(([done]) => done)).toEqual(told.map((_, i) => i + 1));
    }
  }, 60_000);

  test("given up half-way ends at once", async () => {
    const seeings = await seeingsOf(60, 30);
    const giving = new AbortController();
    const result = await followInFilm(
      { url, fromIndex: 60, toIndex: 89, seeings, starts: [fieldPoint(50, 20)] },
      { signal: giving.signal, onProgress: (done) => done === 5 && giving.abort() },
    );
    expect(result).toMatchObject({ ok: false, reason: "cancelled" });
  }, 60_000);

  test("says what is too far apart, and a film that is not there", async () => {
    const one = (await seeingsOf(60, 1))[0]!;
    const far = Array.from({ length: mostFollowedFrames + 1 }, () => one);
    expect(
      await followInFilm({ url, fromIndex: 0, toIndex: mostFollowedFrames, seeings: far, starts: [] }, quiet),
    ).toMatchObject({ ok: false, reason: "too-long" });
    expect(
      await followInFilm({ url: `${url}-gone`, fromIndex: 0, toIndex: 0, seeings: [one], starts: [] }, quiet),
    ).toMatchObject({ ok: false, reason: "failed" });
  }, 60_000);
});
