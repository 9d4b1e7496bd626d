import { layOut, templateById } from "#core/field/template";
import { filmSurveys } from "#core/scoring/film-surveys";
import clicks from "../../../src-main/demo/clicks.json" with { type: "json" };
import { demoClicksShape } from "../../../src-main/demo/demo-clicks.ts";
import { demoRecords } from "../../../src-main/demo/demo-game.ts";

/** The demo game from the clicks that were made on its film's pixels, as any library holds it, and the film's surveys. */
export const demoGame = demoRecords(demoClicksShape.parse(clicks), {
  path: "/film.mp4",
  fingerprint: "0".repeat(64),
  sizeBytes: 1,
  widthPx: 1280,
  heightPx: 720,
  durationSec: 74.1,
  codec: "H.264",
});
export const demoLayout = layOut(templateById("flag-100x40")!);
export const demoSurveys = filmSurveys(demoGame, demoGame.films[0]!, demoLayout);
