import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sampleMark } from "#core/field/mark";
import { normalPairs, seededRandom } from "#core/field/random";
import { type FieldPoint, fieldPoint } from "#core/field/units";
import { measuredFrom } from "#core/scoring/finding";
import type { JudgedMoment } from "#core/scoring/judge-moment";
import { central } from "#core/scoring/look-samples";
import {
  blankTerms,
  clearShareOf,
  everybodyBut,
  type Eye,
  limitsOf,
  openCredit,
  qualityOf,
  sightOf,
  takeGap,
  takeOpenTerms,
  takeSight,
} from "#core/scoring/look-terms";
import { along, looksAmiss, lookBook, looksOf, official, player, stand, staged, watch } from "./look-play.ts";
import { lookRule } from "./look-rule.ts";
import { judge, marksOf, momentHere, transformed } from "./staged-play.ts";

describe("what a moment is worth does not depend on how it is looked at", () => {
  const crowd = staged({
    ...along.people,
    c: stand(player("A", "receiver"), [38, 30]),
    d: stand(player("B", "defender"), [39.2, 30.6]),
    e: stand(player("A", "passer"), [30, 19]),
    f: stand(player("B", "rusher"), [31.5, 19.5]),
    g: stand(player("A", "back"), [29, 24]),
    h: stand(player("B", "defender"), [46, 21]),
  });
  const figures = (judged: JudgedMoment) =>
    looksOf(judged).matters.flatMap(({ matter, looks }) =>
      looks.map((look) => [matter.id, matter.weight, look.position, look.quality, look.step?.yards ?? 0] as const),
    );

  it("scores the same in a mirror and turned round", () => {
    const here = watch(crowd);
    for (const kind of ["mirrored", "turned"] as const) {
      const there = watch(transformed(crowd, kind));
      for (const [i, [id, weight, position, quality, step]] of figures(here).entries()) {
        const other = figures(there)[i]!;
        expect([other[0], other[2], other[4]]).toEqual([id, position, step]);
        expect(other[1]).toBeCloseTo(weight, 6);
        expect(other[3]).toBeCloseTo(quality, 4);
      }
      expect(looksOf(there).coverage!.value).toBeCloseTo(looksOf(here).coverage!.value, 4);
      expect(looksAmiss(there).map(({ position, verdict }) => [position, verdict])).toEqual(
        looksAmiss(here).map(({ position, verdict }) => [position, verdict]),
      );
    }
  });

  it("gives the same bytes whatever the order of the marks, and every time", () => {
    const marks = marksOf(crowd);
    const options = { book: lookBook, moment: { ...momentHere, phase: "zone" as const } };
    const once = judge(crowd, { ...options, marks });
    for (const order of [marks, marks.toReversed(), [...marks.slice(5), ...marks.slice(0, 5)]]) {
      const again = judge(crowd, { ...options, marks: order });
      expect(JSON.stringify([again.looks, again.findings])).toBe(JSON.stringify([once.looks, once.findings]));
    }
  });

  it("states probabilities and an interval that a plain count over other samples gives", () => {
    const judged = watch(crowd, { sigmaPx: 2 });
    const looks = looksOf(judged);
    const people = judged.placed.filter(({ subject }) => subject.kind !== "ball");
    const count = 6000;
    const places = people.map(({ measured }, i) => sampleMark(measured, normalPairs(seededRandom(900 + i), count)));
    const facings = people.map(({ facing }, i) =>
      facing ? sampleMark(facing, normalPairs(seededRandom(500 + i), count)) : null,
    );
    const index = (id: string) => people.findIndex(({ markId }) => markId === id);
    const seen = new Map<string, number>();
    const coverages = new Float64Array(count);
    const whole = looks.matters.reduce((sum, { matter }) => sum + matter.weight, 0);
    for (let s = 0; s < count; s++) {
      const bodies = {
        x: Float64Array.from(places, (place) => place[2 * s]!),
        y: Float64Array.from(places, (place) => place[2 * s + 1]!),
      };
      for (const { matter, looks: each } of looks.matters) {
        const pair = { a: index(matter.player.markId), b: matter.opponent ? index(matter.opponent.markId) : -1 };
        let best = 0;
        for (const { position, markId } of each) {
          const self = index(markId);
          const [x, y] = [bodies.x[self]!, bodies.y[self]!];
          const ahead = facings[self]!;
          const eye = { x, y, self, facingX: ahead[2 * s]! - x, facingY: ahead[2 * s + 1]! - y, facingKnown: true };
          const quality = plainly(eye, bodies, pair);
          best = Math.max(best, quality);
          const key = `${position} ${matter.id}`;
          if (quality >= lookRule.seenFrom) seen.set(key, (seen.get(key) ?? 0) + 1);
        }
        coverages[s]! += (matter.weight * best) / whole;
      }
    }
    let unsure = 0;
    for (const { matter, looks: each } of looks.matters) {
      for (const look of each) {
        const share = (seen.get(`${look.position} ${matter.id}`) ?? 0) / count;
        // Four standard deviations of 200 samples, and a little for the plain count's own.
        expect(Math.abs(look.probabilitySeen - share)).toBeLessThan(4 * Math.sqrt((share * (1 - share)) / 200) + 0.02);
        if (share > 0.05 && share < 0.95) unsure++;
      }
    }
    expect(unsure).toBeGreaterThan(2);
    for (const { value, low, high } of [
      looks.coverage!,
      ...looks.matters.flatMap(({ looks: each }) => each.map((look) => look.qualityInterval)),
    ]) {
      expect(low).toBeLessThanOrEqual(value);
      expect(high).toBeGreaterThanOrEqual(value);
    }
    const { low, high } = measuredFrom(coverages);
    expect(looks.coverage!.low).toBeCloseTo(low, 1);
    expect(looks.coverage!.high).toBeCloseTo(high, 1);
  });
});

it("holds the reading within its interval where errors can only take away from it", () => {
  // Seven pairs all about, each at the least angle that has full credit: any error of any of them takes something off.
  const pairs = Array.from({ length: 7 }, (_, i) => {
    const bearing = (2 * Math.PI * i) / 7;
    const [x, y] = [40 + 10 * Math.cos(bearing), 20 + 10 * Math.sin(bearing)];
    const turned = bearing + (30.01 * Math.PI) / 180;
    const [dx, dy] = [0.6 * Math.cos(turned), 0.6 * Math.sin(turned)];
    return [
      [`a${i}`, stand(player("A", "receiver"), [x - dx, y - dy])],
      [`b${i}`, stand(player("B", "defender"), [x + dx, y + dy])],
    ] as const;
  });
  const play = staged({ LJ: stand(official("LJ"), [40, 20]), ...Object.fromEntries(pairs.flat()) });
  const { value, low, high } = looksOf(watch(play, { sigmaPx: 3 })).coverage!;
  expect(value).toBeGreaterThan(0.99);
  expect(high).toBe(value);
  expect(low).toBeLessThan(0.9);
});

/** A look by its separate terms, every body looked at. */
function plainly(eye: Eye, bodies: { x: Float64Array; y: Float64Array }, pair: { a: number; b: number }): number {
  const terms = blankTerms();
  const sight = sightOf(bodies.x.length);
  takeSight(sight, eye, bodies);
  takeOpenTerms(terms, eye, sight, pair, lookRule);
  takeGap(terms, sight, pair, lookRule.bodyRadiusYards);
  terms.clearShare = clearShareOf(sight, eye, pair, everybodyBut(eye.self, bodies.x.length), lookRule.bodyRadiusYards);
  return qualityOf(terms);
}

describe("the quick ways", () => {
  it("to the open credit: the product of the terms, wherever anybody stands", () => {
    const yards = fc.double({ min: -20, max: 20, noNaN: true });
    const spot = fc.tuple(yards, yards);
    const limits = limitsOf(lookRule);
    const point = (at: readonly [number, number]): FieldPoint => fieldPoint(...at);
    let between = 0;
    fc.assert(
      fc.property(spot, spot, fc.tuple(yards, yards), fc.boolean(), ([x, y], a, off, facingKnown) => {
        // A facing of no length is turned nowhere.
        fc.pre(Math.hypot(...off) > 1e-6);
        const b = [a[0] + off[0] / 10, a[1] + off[1] / 10] as const;
        const spots = [point(a), point(b)];
        const bodies = {
          x: Float64Array.from(spots, ({ xYards }) => xYards),
          y: Float64Array.from(spots, ({ yYards }) => yYards),
        };
        const eye: Eye = { x, y, self: -1, facingX: off[1], facingY: -off[0], facingKnown };
        const sight = sightOf(2);
        takeSight(sight, eye, bodies);
        for (const pair of [
          { a: 0, b: 1 },
          { a: 1, b: 0 },
          { a: 0, b: -1 },
        ]) {
          const terms = blankTerms();
          takeOpenTerms(terms, eye, sight, pair, lookRule);
          takeGap(terms, sight, pair, lookRule.bodyRadiusYards);
          const product = terms.angleCredit * terms.rangeCredit * terms.facingCredit * terms.gapCredit;
          if (product > 0 && product < 1) between++;
          expect(Math.max(0, openCredit(eye, sight, pair, limits))).toBeCloseTo(product, 9);
        }
      }),
      { seed: 3, numRuns: 8000 },
    );
    expect(between).toBeGreaterThan(500);
  });

  it("to the middle 95 %: what putting all samples in order gives", () => {
    for (const length of [1, 7, 200, 1500]) {
      const samples = normalPairs(seededRandom(length), length).subarray(0, length);
      const quick = central(samples);
      const slow = measuredFrom(samples.slice());
      expect([quick.low, quick.high]).toEqual([slow.low, slow.high]);
      expect(quick.value).toBeCloseTo(slow.value, 12);
    }
  });
});
