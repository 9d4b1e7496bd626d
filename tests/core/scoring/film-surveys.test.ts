import { describe, expect, it } from "vitest";
import { bend } from "#core/field/lens";
import { measureMark } from "#core/field/mark";
import { imageOf } from "#core/field/seen-through";
import { fieldPoint, imagePoint } from "#core/field/units";
import type { Moment, PointStake } from "#core/game/records";
import { filmSurveys } from "#core/scoring/film-surveys";
import { aimedCamera, see, type TestCamera } from "../field/cameras.ts";
import { filmHere, flagField, momentHere } from "./staged-play.ts";

/** One tripod that pans: its own pinhole is the truth here. */
const image = { widthPx: 1280, heightPx: 720 };
const panned = (toX: number, fromX = 50): TestCamera =>
  aimedCamera("tripod", [fromX, -22, 8], [toX, 18, 0], 1100, image);

const frames = [40, 50, 58, 66];
const moments: Moment[] = frames.map((_, index) => ({ ...momentHere, id: `m${index}`, frameIndex: index * 100 }));
const six = [
  "near-sideline/L30",
  "near-sideline/R30",
  "far-sideline/L20",
  "far-sideline/R20",
  "near-hash/L35",
  "far-hash/R35",
];

function stakes(momentId: string, camera: TestCamera, ids: readonly string[], offPx = 0.7): PointStake[] {
  return ids.map((landmarkId, index) => {
    const { at } = flagField.landmarks.find((landmark) => landmark.id === landmarkId)!;
    const seen = see(camera, at);
    const turn = 2.4 * index + momentId.length;
    const click = imagePoint(seen.uPx + offPx * Math.cos(turn), seen.vPx + offPx * Math.sin(turn));
    return {
      id: `${momentId} ${index}`,
      gameId: "g",
      momentId,
      kind: "point",
      landmarkId,
      click,
      raw: null,
      sigmaPx: 1.5,
    };
  });
}

const film = { ...filmHere, ...image };
const three = [0, 1, 2].flatMap((index) => stakes(`m${index}`, panned(frames[index]!), six));

describe("the surveys of a film", () => {
  it("need four stakes by themselves, and two once two other frames have told where the camera stands", () => {
    const two = stakes("m3", panned(66), ["near-sideline/R30", "far-hash/R20"]);
    const alone = filmSurveys({ moments, stakes: two, carries: [] }, film, flagField).at(300);
    expect(alone.kind === "refused" && alone.refusal.code).toBe("too-few-stakes");
    const state = filmSurveys({ moments, stakes: [...three, ...two], carries: [] }, film, flagField).at(300);
    if (state.kind !== "solved") throw new Error("not surveyed");
    expect(state.origin.kind).toBe("memory");
    for (const [x, y] of [
      [55, 5],
      [70, 20],
      [62, 33],
    ] as const) {
      const mark = measureMark(state.survey, { click: see(panned(66), fieldPoint(x, y)), sigmaPx: 2 });
      if (!mark.ok) throw new Error(mark.message);
      expect(Math.hypot(mark.position.xYards - x, mark.position.yYards - y)).toBeLessThan(1);
    }
  });

  it("gain by that place even with stakes enough, and say what the stakes alone say of each other", () => {
    const own = stakes("m3", panned(66), six, 1.5);
    const worst = (given: PointStake[]) => {
      const state = filmSurveys({ moments, stakes: given, carries: [] }, film, flagField).at(300);
      if (state.kind !== "solved") throw new Error("not surveyed");
      const off = [
        [80, 38],
        [85, 30],
        [45, 38],
        [72, 2],
      ].map(([x, y]) => {
        const truth = see(panned(66), fieldPoint(x!, y!));
        const seen = imageOf(state.survey, fieldPoint(x!, y!))!;
        return Math.hypot(seen.uPx - truth.uPx, seen.vPx - truth.vPx);
      });
      return { off: Math.max(...off), residuals: state.survey.stakes.map(({ residualPx }) => residualPx) };
    };
    const alone = worst(own);
    const together = worst([...three, ...own]);
    expect(together.off).toBeLessThan(0.7 * alone.off);
    expect(together.residuals).toEqual(alone.residuals);
  });

  it("refuse two stakes of a camera that was moved, and warn of a whole survey from elsewhere", () => {
    const elsewhere = panned(66, 58);
    const stray = stakes("m3", elsewhere, ["near-sideline/R30", "far-hash/R20", "far-sideline/R15"]);
    const refused = filmSurveys({ moments, stakes: [...three, ...stray], carries: [] }, film, flagField).at(300);
    expect(refused.kind === "refused" && refused.refusal.code).toBe("not-this-camera");
    const whole = stakes("m3", elsewhere, six);
    const warned = filmSurveys({ moments, stakes: [...three, ...whole], carries: [] }, film, flagField).at(300);
    if (warned.kind !== "solved") throw new Error("not surveyed");
    expect(warned.origin.kind).toBe("stakes");
    expect(warned.survey.warnings.map(({ code }) => code)).toContain("camera-elsewhere");
    const sound = filmSurveys({ moments, stakes: three, carries: [] }, film, flagField).at(100);
    expect(sound.kind === "solved" && sound.survey.warnings.map(({ code }) => code)).not.toContain("camera-elsewhere");
  });

  it("go through the film's lens, from many stakes and from two", () => {
    const lens = { radial: -0.06, beforePx: 3, afterPx: 0.4, lines: 4 };
    const two = stakes("m3", panned(66), ["near-sideline/R30", "far-hash/R20"]);
    const bent = [...three, ...two].map((stake) => ({ ...stake, click: bend(lens, image, stake.click)! }));
    const surveys = filmSurveys({ moments, stakes: bent, carries: [] }, { ...film, lens }, flagField);
    for (const [frame, toX] of [
      [100, 50],
      [300, 66],
    ] as const) {
      const state = surveys.at(frame);
      if (state.kind !== "solved") throw new Error("not surveyed");
      const click = bend(lens, image, see(panned(toX), fieldPoint(toX, 12)))!;
      const mark = measureMark(state.survey, { click, sigmaPx: 2 });
      if (!mark.ok) throw new Error(mark.message);
      expect(Math.hypot(mark.position.xYards - toX, mark.position.yYards - 12)).toBeLessThan(0.5);
    }
  });

  it("take stakes that are being dragged in place of those kept, and none where there are none", () => {
    const surveys = filmSurveys({ moments, stakes: three, carries: [] }, film, flagField);
    expect(surveys.at(55)).toEqual({ kind: "none" });
    const dragged = stakes("m0", panned(40), six, 4);
    const state = surveys.withStakes(0, dragged);
    const kept = surveys.at(0);
    if (state.kind !== "solved" || kept.kind !== "solved") throw new Error("not surveyed");
    expect(state.survey.residualRmsPx).toBeGreaterThan(2 * kept.survey.residualRmsPx);
  });
});
