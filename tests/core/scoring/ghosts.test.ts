import { describe, expect, it } from "vitest";
import { imageOf } from "#core/field/seen-through";
import { fieldPoint } from "#core/field/units";
import type { Mark } from "#core/game/records";
import { formationCarried, ghostsOf, nearestMarked, placedGhost, standingsOf } from "#core/scoring/ghosts";
import { project, viewOf } from "../../scene/pinhole.ts";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { demoGame, demoSurveys } from "./demo-records.ts";

/** The truth is the scene's: where its own camera shows who stands where, at the one frame and at the other. */
const scene = sceneOf(demoFilm);
const records = demoGame;
const surveys = demoSurveys;
const surveysOf = () => surveys;
const play = records.plays.find(({ number }) => number === 9)!;
const moments = records.moments.filter(({ playId }) => playId === play.id);
const [set, keys] = [moments[0]!, moments[1]!];
const survey = (() => {
  const state = surveys.at(keys.frameIndex);
  if (state.kind !== "solved") throw new Error("the keys moment is surveyed");
  return state.survey;
})();

describe("marks of one moment in the frame of another", () => {
  const ghosts = ghostsOf({ records, source: set, surveysOf, survey, there: [] });

  it("lie where the other frame's camera shows the ground that was marked", () => {
    expect(ghosts.length).toBeGreaterThan(15);
    const view = viewOf(scene.truthAt(keys.frameIndex).camera);
    for (const position of ["R", "LJ", "FJ", "BJ"]) {
      const ghost = ghosts.find(({ subject }) => subject.kind === "official" && subject.position === position)!;
      const there = scene
        .truthAt(set.frameIndex)
        .people.find((one) => one.kind === "official" && one.position === position)!;
      const at = project(view, [there.xYards, there.yYards, 0])!;
      expect(Math.hypot(ghost.at.uPx - at.uPx, ghost.at.vPx - at.vPx), position).toBeLessThan(8);
    }
  });

  it("go officials first, and not those who are marked there already", () => {
    expect(ghosts.slice(0, 4).every(({ subject }) => subject.kind === "official")).toBe(true);
    const own = records.marks.filter(({ momentId }) => momentId === keys.id);
    expect(
      ghostsOf({ records, source: set, surveysOf, survey, there: own }).filter(
        ({ subject }) => subject.kind === "official",
      ),
    ).toEqual([]);
    // One receiver marked takes one ghost away: the nearest.
    const receivers = ghosts.filter(({ subject }) => subject.kind === "player" && subject.role === "receiver");
    const there: Mark = { ...own[0]!, id: "new", subject: receivers[1]!.subject, click: receivers[1]!.at };
    const left = ghostsOf({ records, source: set, surveysOf, survey, there: [there] });
    expect(left.map(({ id }) => id)).toEqual(ghosts.map(({ id }) => id).filter((id) => id !== receivers[1]!.id));
  });

  it("keep the way faced when they are put elsewhere", () => {
    const ghost = ghosts.find(({ facing }) => facing !== null)!;
    const away = fieldPoint(ghost.ground.xYards + 2, ghost.ground.yYards + 1);
    const click = imageOf(survey, away)!;
    const { facing } = placedGhost(ghost, click, survey);
    const expected = imageOf(survey, fieldPoint(ghost.facing!.ground.xYards + 2, ghost.facing!.ground.yYards + 1))!;
    expect(facing!.uPx).toBeCloseTo(expected.uPx, 3);
    expect(facing!.vPx).toBeCloseTo(expected.vPx, 3);
  });

  it("stand where the film was followed to, turned as before, and where they stood when they were lost", () => {
    const [one, other] = ghosts.filter(({ facing }) => facing !== null);
    const to = fieldPoint(one!.ground.xYards + 3, one!.ground.yYards - 1);
    const followed = new Map([
      [one!.id, { kind: "followed" as const, ground: to, apartYards: 0.1 }],
      [other!.id, { kind: "lost" as const, reason: "out-of-sight" as const }],
    ]);
    const moved = ghostsOf({ records, source: set, surveysOf, survey, there: [], followed });
    const [oneNow, otherNow] = [one!, other!].map(({ id }) => moved.find((ghost) => ghost.id === id)!);
    const there = imageOf(survey, to)!;
    expect(oneNow!.followed).toBe("followed");
    expect(oneNow!.at).toEqual(there);
    const way = (ghost: (typeof ghosts)[number]) =>
      Math.atan2(ghost.facing!.ground.yYards - ghost.ground.yYards, ghost.facing!.ground.xYards - ghost.ground.xYards);
    expect(way(oneNow!)).toBeCloseTo(way(one!), 6);
    expect(otherNow!).toEqual({ ...other!, followed: "out-of-sight" });
    // Followed to where a mark stands already, they are that mark.
    const mark: Mark = { ...records.marks[0]!, id: "new", subject: one!.subject, click: there };
    const left = ghostsOf({ records, source: set, surveysOf, survey, there: [mark], followed });
    expect(left.some(({ id }) => id === one!.id)).toBe(false);
  });

  it("can be followed for everybody but the ball", () => {
    const standings = standingsOf(records, set, surveysOf);
    const marks = records.marks.filter(({ momentId }) => momentId === set.id);
    expect(standings).toHaveLength(marks.filter(({ subject }) => subject.kind !== "ball").length);
    for (const { id, ground } of standings) {
      const ghost = ghosts.find((candidate) => candidate.id === id);
      if (ghost) expect(ghost.ground).toEqual(ground);
    }
  });

  it("come from the marked moment before, or from the first one after when there is none", () => {
    const secOf = (moment: (typeof moments)[number]) => moment.timeSec;
    expect(nearestMarked(records, play, { momentId: keys.id, playSec: keys.timeSec }, secOf)?.id).toBe(set.id);
    expect(nearestMarked(records, play, { momentId: null, playSec: keys.timeSec + 0.05 }, secOf)?.id).toBe(keys.id);
    expect(nearestMarked(records, play, { momentId: set.id, playSec: set.timeSec }, secOf)?.id).toBe(keys.id);
    expect(ghostsOf({ records, source: { ...set, frameIndex: 3 }, surveysOf, survey, there: [] })).toEqual([]);
  });
});

describe("the formation of another play", () => {
  const from = { ...play.situation, direction: "right" as const, scrimmageXYards: 40, ballYYards: 20 };

  it("moves with the ball, and turns with the direction of play", () => {
    const along = formationCarried(from, { ...from, scrimmageXYards: 55, ballYYards: 15 });
    const receiver = { kind: "player", side: "A", role: "receiver" } as const;
    expect(along(fieldPoint(39, 4), receiver)).toEqual(fieldPoint(54, -1));
    const turned = formationCarried(from, { ...from, direction: "left", scrimmageXYards: 60 });
    expect(turned(fieldPoint(39, 4), receiver)).toEqual(fieldPoint(61, 36));
  });

  it("leaves an official on the side that the official works", () => {
    const turned = formationCarried(from, { ...from, direction: "left", scrimmageXYards: 60 });
    // Ten yards downfield on the near sideline, before and after.
    expect(turned(fieldPoint(50, -0.5), { kind: "official", position: "FJ" })).toEqual(fieldPoint(50, -0.5));
  });
});
