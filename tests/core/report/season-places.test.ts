/** Stations and looks laid on one plan: the marks of the demo film against places worked out by hand. */
import { expect, it } from "vitest";
import { directionSign } from "#core/field/frames";
import { lookedIn, looksByZone, placeWords, spreads, stationsFigure, stoodIn } from "#core/report/season-places";
import { demoGame } from "../scoring/demo-records.ts";
import { demoInput } from "./judged-demo.ts";

const input = demoInput();

it("every official before every snap is turned the way of the play, the line judge always on the one side", () => {
  const stood = stoodIn(input);
  // The scene puts FJ and R on one side and LJ and BJ on the other (tests/scene), whichever way the play goes.
  for (const one of stood.filter(({ position }) => position === "LJ")) {
    expect(one.towardYards).toBeGreaterThan(15);
    expect(Math.abs(one.downfieldYards)).toBeLessThan(4);
  }
  for (const one of stood.filter(({ position }) => position === "FJ")) expect(one.towardYards).toBeLessThan(-15);
  for (const one of stood.filter(({ position }) => position === "R")) expect(one.downfieldYards).toBeLessThan(-5);
  const moments = demoGame.moments.filter(({ phase }) => phase === "pre-snap");
  expect(stood.filter(({ position }) => position === "FJ")).toHaveLength(moments.length);
  // By hand, from the finding's own place: yards from the line of scrimmage, in the way of the play.
  const play = demoGame.plays.find(({ number }) => number === 2)!;
  const moment = input.judged.get(play.id)!.moments[0]!;
  const mark = moment.judged.placed.find(({ subject }) => subject.kind === "official" && subject.position === "FJ")!;
  const wanted =
    directionSign(play.situation.direction) * (mark.measured.position.xYards - play.situation.scrimmageXYards);
  expect(stood.some(({ position, downfieldYards }) => position === "FJ" && downfieldYards === wanted)).toBe(true);
});

it("means and spreads are those of the sample, and three places are too few for none", () => {
  const at = (downfieldYards: number, towardYards: number) => ({ position: "LJ", downfieldYards, towardYards });
  // Sample covariance by hand: x 0, 2, 4 and y 0, 4, 2 about 2 and 2.
  const [one] = spreads([at(0, 0), at(2, 4), at(4, 2)]);
  expect(one).toEqual({ position: "LJ", count: 3, downfieldYards: 2, towardYards: 2, spread: { xx: 4, xy: 2, yy: 4 } });
  expect(spreads([at(0, 0), at(2, 4)])[0]!.spread).toBeNull();
  expect(placeWords(one!)).toBe(
    "2.0 yd downfield of the line, 2.0 yd from the middle toward the line judge’s side, spread 2.0 and 2.0 yd, 3 times",
  );
  const { picture, alt } = stationsFigure([at(0, 0), at(2, 4), at(4, 2)], 20);
  expect(alt).toContain("LJ 2.0 yd downfield");
  // The ellipse goes through the points that are 2.448 standard deviations out along x and y together.
  const ring = picture.shapes.find(({ ink }) => ink === "measured");
  expect(ring?.kind === "path" && ring.points).toHaveLength(48);
  const furthest = Math.max(...(ring?.kind === "path" ? ring.points.map(([x]) => x - 2) : []));
  expect(furthest).toBeCloseTo(Math.sqrt(-2 * Math.log(0.05)) * 2, 1);
});

it("own looks are counted by zone, each once, and those that were had among them", () => {
  const looked = lookedIn(input);
  const own = looked.filter(({ position }) => position === "FJ");
  const zones = looksByZone(own, input.layout.widthYards / 2);
  expect(zones).toHaveLength(9);
  expect(zones.reduce((sum, { looks }) => sum + looks, 0)).toBe(own.length);
  expect(zones.reduce((sum, { seen }) => sum + seen, 0)).toBe(own.filter(({ isSeen }) => isSeen).length);
  expect(own.length).toBeGreaterThan(5);
  const straight = looksByZone([{ position: "FJ", downfieldYards: 12, towardYards: -15, isSeen: false }], 20);
  expect(straight.find(({ looks }) => looks > 0)).toEqual({ name: "beyond 10 yd, other side", looks: 1, seen: 0 });
});
