import { describe, expect, test } from "vitest";
import { cameraPlace } from "#core/field/camera-memory";
import { cameraWords } from "#core/field/camera-words";
import { estimateCamera } from "#core/field/camera";
import { layOut, templateById } from "#core/field/template";
import { demoFilm } from "../../scene/films.ts";
import { fieldToImage, viewOf } from "../../scene/pinhole.ts";
import { sceneOf } from "../../scene/scene.ts";
import { ncaa, pressBox } from "./cameras.ts";
import { corners, eight, stakesAt, survey } from "./staked.ts";

const at = (xYards: number, yYards: number, heightYards: number) => ({ xYards, yYards, heightYards });
const known = (sdX: number, sdY: number, sdHeight: number): number[] => [
  sdX ** 2,
  0,
  0,
  0,
  sdY ** 2,
  0,
  0,
  0,
  sdHeight ** 2,
];

describe("a camera's place in words", () => {
  // Yard lines as painted: on a 120 yd field the goal lines are at 10 and 110, and the right 35 at 75.
  test.each([
    [at(75, -25, 12), "about 12 yd up, 25 yd behind the near sideline, at the right 35"],
    [at(60.3, -24.6, 12.2), "about 12 yd up, 25 yd behind the near sideline, at midfield"],
    [at(37, 160 / 3 + 18, 9), "about 9 yd up, 18 yd behind the far sideline, at the left 27"],
    [at(60, -8, 1.8), "about 1.8 yd up, 8 yd behind the near sideline, at midfield"],
    [at(60, -0.2, 3), "about 3 yd up, on the near sideline, at midfield"],
    [at(10, -6, 5), "about 5 yd up, 6 yd behind the near sideline, at the left goal line"],
    [at(4, -6, 5), "about 5 yd up, 6 yd behind the near sideline, in line with the left end zone"],
    [at(120, -6, 5), "about 5 yd up, 6 yd behind the near sideline, at the right end line"],
    [at(-15, 20, 8), "about 8 yd up, 15 yd behind the left end line, 20 yd in from the near sideline"],
    [at(140, 40, 8), "about 8 yd up, 20 yd behind the right end line, 13 yd in from the far sideline"],
  ])("%o", (camera, words) => {
    expect(cameraWords(camera, ncaa, null)).toBe(words);
  });

  test("counts to midfield by the field's own length", () => {
    // A 100 × 40 yd flag field: goal lines at 10 and 90, the middle is the 40.
    const flag = layOut(templateById("flag-100x40")!);
    expect(cameraWords(at(75, -10, 6), flag, null)).toBe(
      "about 6 yd up, 10 yd behind the near sideline, at the right 15",
    );
    expect(cameraWords(at(50, 52, 6), flag, null)).toBe("about 6 yd up, 12 yd behind the far sideline, at midfield");
  });

  test("says nothing finer than it is known", () => {
    const camera = at(72.4, -27.2, 12.4);
    expect(cameraWords(camera, ncaa, known(0.5, 0.5, 0.5))).toBe(
      "about 12 yd up, 27 yd behind the near sideline, at the right 38",
    );
    expect(cameraWords(camera, ncaa, known(3, 6, 1.5))).toBe(
      "about 12 yd up, 25 yd behind the near sideline, near the right 40",
    );
    expect(cameraWords(camera, ncaa, known(12, 15, 4))).toBe(
      "about 10 yd up, 30 yd behind the near sideline, near the right 40",
    );
    expect(cameraWords(camera, ncaa, known(5, 30, 4))).toBe(
      "roughly 10 yd up, 20 yd behind the near sideline, near the right 40",
    );
    // Tenths of a low camera's height only where they are known; and never "0 yd up".
    expect(cameraWords(at(60, -8, 1.84), ncaa, known(0.1, 0.1, 0.05))).toContain("about 1.8 yd up");
    expect(cameraWords(at(60, -8, 1.84), ncaa, known(0.1, 0.1, 0.8))).toContain("about 2 yd up");
    expect(cameraWords(at(60, -8, 1.84), ncaa, known(0.1, 0.1, 3))).toMatch(/^less than 5 yd up, /u);
  });

  test("of a survey, and of the demo film's own tripod", () => {
    const found = survey(stakesAt(pressBox, [...eight, ...corners.map((id) => id.replace("35", "45"))], undefined, 1));
    const place = cameraPlace(found)!;
    expect(cameraWords(place, ncaa, place.covariance)).toBe(
      "about 12 yd up, 25 yd behind the near sideline, at midfield",
    );
    // The scene's pinhole, whose tripod the film's script names: (50, -28, 11) on a 100 × 40 yd field.
    const { camera } = sceneOf(demoFilm).truthAt(0);
    const flag = layOut(templateById("flag-100x40")!);
    const image = { widthPx: camera.widthPx, heightPx: camera.heightPx };
    const estimate = estimateCamera(fieldToImage(viewOf(camera)), image, null)!;
    expect(cameraWords(estimate, flag, null)).toBe("about 11 yd up, 28 yd behind the near sideline, at midfield");
  });
});
