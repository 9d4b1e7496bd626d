import fc from "fast-check";
import { expect, test } from "vitest";
import { inOrder, type SaidVersion, settlingVersion, stamped, Versions } from "#core/exchange/said-versions";
import type { Grade } from "#core/game/records";
import { aGrade, aPlay } from "../../main/store/build-game.ts";
import { changed, given, sha256, takenBack } from "./build-packet.ts";

const play = aPlay("game-1", "play", "film");
const grade = aGrade(play, "grade");
const key = "grade/play/LJ/station/observer-1";
const said = (points: number, at = grade.gradedAt): Grade => ({ ...grade, points, gradedAt: at });
const [first] = stamped([given(grade)], sha256) as [SaidVersion];

/** A version that follows others, as another library would have written it. */
function following(record: Grade, ...after: SaidVersion[]): SaidVersion {
  const kept = { ...changed(record), after: after.map(({ id }) => id) };
  return stamped([...after.map((one) => ({ ...one })), kept], sha256).at(-1)!;
}

test("each version follows the one that stood when it was written, and its id stands for all of it", () => {
  const versions = stamped([given(grade), changed(said(3)), takenBack(said(3), "2026-09-21T08:00:00.000Z")], sha256);
  expect(versions.map(({ after }) => after)).toEqual([[], [versions[0]!.id], [versions[1]!.id]]);
  const all = Versions.of(versions);
  expect(all.standing(key)).toMatchObject({ act: "taken back", record: null });
  expect(versions.map(({ id }) => all.countOf(id))).toEqual([1, 2, 3]);
  // The same again is the same; anything else in it, or before it, is another.
  expect(stamped([given(grade)], sha256)[0]!.id).toBe(first.id);
  const others = [
    given({ ...grade, comment: "x" }),
    given({ ...grade, momentIds: ["m"] }),
    { ...given(grade), at: "2026-09-20T18:00:00.001Z" },
  ];
  for (const other of others) expect(stamped([other], sha256)[0]!.id).not.toBe(first.id);
  expect(following(said(3), first).id).not.toBe(stamped([changed(said(3))], sha256)[0]!.id);
});

test("of several heads the one with more before it stands, then the later, then the greater id", () => {
  const standing = (...versions: SaidVersion[]) => Versions.of(versions).standing(key)?.id;
  const early = following(said(3, "2026-09-21T08:00:00.000Z"), first);
  const late = following(said(4, "2026-09-21T09:00:00.000Z"), first);
  expect(standing(first, early, late)).toBe(late.id);
  expect(standing(first, late, early)).toBe(late.id);
  const longer = following(said(2, "2026-09-21T07:00:00.000Z"), early);
  expect(standing(first, late, early, longer)).toBe(longer.id);
  const twins = [3, 4].map((points) => following(said(points, "2026-09-21T08:00:00.000Z"), first));
  const greater = twins.map(({ id }) => id).toSorted()[1];
  expect(standing(first, ...twins)).toBe(greater);
  expect(standing(first, ...twins.toReversed())).toBe(greater);
});

test("what settles a conflict follows every head, and stands alone", () => {
  const heads = [
    following(said(3, "2026-09-21T08:00:00.000Z"), first),
    following(said(4, "2026-09-21T09:00:00.000Z"), first),
  ];
  const all = Versions.of([first, ...heads]);
  const by = { authorId: "assigner", at: "2026-09-20T00:00:00.000Z" };
  const settled = settlingVersion(all.bySubject.get(key)!, heads[0]!, by, sha256);
  expect(settled.after).toEqual(heads.map(({ id }) => id).toSorted());
  all.add(settled);
  expect(all.bySubject.get(key)!.heads).toEqual([settled]);
  // Though it was settled by a clock that runs behind.
  expect(all.standing(key)).toMatchObject({
    act: "changed",
    authorId: "assigner",
    record: said(3, "2026-09-21T08:00:00.000Z"),
  });
});

test("a set of versions has the same heads and the same one standing in whatever order it is put together", () => {
  const script = fc.array(
    fc.record({ points: fc.integer({ min: 2, max: 4 }), on: fc.nat(20), also: fc.nat(20), minute: fc.nat(2) }),
    {
      minLength: 1,
      maxLength: 12,
    },
  );
  fc.assert(
    fc.property(script, fc.array(fc.nat(1000), { minLength: 14, maxLength: 14 }), (steps, shuffle) => {
      const versions = [first];
      for (const { points, on, also, minute } of steps) {
        const before = [...new Set([versions[on % versions.length]!, versions[also % versions.length]!])];
        const next = following(said(points, `2026-09-21T08:0${minute}:00.000Z`), ...before);
        if (!versions.some(({ id }) => id === next.id)) versions.push(next);
      }
      const straight = Versions.of(versions);
      // Any order in which each comes after those it follows.
      const left = versions.map((version, index) => ({ version, at: shuffle[index]! })).toSorted((a, b) => a.at - b.at);
      const other = new Versions();
      while (left.length > 0) {
        const index = left.findIndex(({ version }) => version.after.every((id) => other.has(id)));
        other.add(left.splice(index, 1)[0]!.version);
      }
      const heads = (all: Versions) =>
        all.bySubject
          .get(key)!
          .heads.map(({ id }) => id)
          .toSorted();
      expect(heads(other)).toEqual(heads(straight));
      expect(other.standing(key)).toEqual(straight.standing(key));
      expect(
        inOrder(versions.toReversed().toSorted((a, b) => straight.countOf(a.id) - straight.countOf(b.id))),
      ).toEqual(inOrder(versions));
      const followed = new Set(versions.flatMap(({ after }) => after));
      expect(heads(straight)).toEqual(
        versions
          .map(({ id }) => id)
          .filter((id) => !followed.has(id))
          .toSorted(),
      );
    }),
    { seed: 7, numRuns: 300 },
  );
});
