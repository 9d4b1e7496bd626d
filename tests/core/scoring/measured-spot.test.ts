import { describe, expect, it } from "vitest";
import { measuredSpot } from "#core/scoring/measured-spot";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { demoGame, demoSurveys } from "./demo-records.ts";

/** Where the ball lay is the scene's own, which knows nothing of the core; the clicks were made from the film's pixels. */
const scene = sceneOf(demoFilm);
const records = demoGame;
const surveys = demoSurveys;
const surveysOf = () => surveys;

describe("the ball's spot measured from a surveyed frame", () => {
  it("lies where the scene put the ball, to within the error that is said", () => {
    const off = records.plays.map((play) => {
      const measured = measuredSpot(records, play, surveysOf)!;
      const moment = records.moments.find(({ id }) => id === measured.momentId)!;
      expect(moment).toMatchObject({ playId: play.id, phase: "pre-snap" });
      const { ball } = scene.truthAt(moment.frameIndex);
      return {
        yards: Math.abs(measured.spot.xYards - ball.xYards),
        squared: ((measured.spot.xYards - ball.xYards) / measured.sdAlongX) ** 2,
        sd: measured.sdAlongX,
      };
    });
    expect(off).toHaveLength(15);
    const mean = off.reduce((sum, { squared }) => sum + squared, 0) / off.length;
    console.log(
      `measured spots: at most ${Math.max(...off.map(({ yards }) => yards)).toFixed(2)} yd off, sd up to ${Math.max(...off.map(({ sd }) => sd)).toFixed(2)} yd, mean square ${mean.toFixed(2)} of sd`,
    );
    for (const { yards } of off) expect(yards).toBeLessThan(0.5);
    // χ² with 15 degrees of freedom over 15 exceeds 2.51 once in a thousand; the sd may be larger than need be, not smaller.
    expect(mean).toBeLessThan(2.51);
  });

  it("is null without a ball mark, without a survey, and after the snap", () => {
    const play = records.plays[0]!;
    const marks = records.marks.filter(({ subject }) => subject.kind !== "ball");
    expect(measuredSpot({ ...records, marks }, play, surveysOf)).toBeNull();
    expect(measuredSpot(records, play, () => null)).toBeNull();
    const moments = records.moments.map((moment) => ({ ...moment, phase: "zone" as const }));
    expect(measuredSpot({ ...records, moments }, play, surveysOf)).toBeNull();
  });
});
