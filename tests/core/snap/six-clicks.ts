/** A hand with six clicks on a frame of the demo film: settled on its encoded pixels, and held against its camera. */
import { fileURLToPath } from "node:url";
import { seededRandom } from "#core/field/random";
import { imageOf } from "#core/field/seen-through";
import type { Survey } from "#core/field/survey";
import { fieldPoint, type ImagePoint, imagePoint } from "#core/field/units";
import { sigmaOf } from "#core/game/edits";
import type { LineClick, Moment, Stake } from "#core/game/records";
import { filmSurveys } from "#core/scoring/film-surveys";
import { settleStake, type Staked } from "#core/snap/settle-stake";
import { demoFilm } from "../../scene/films.ts";
import { decodeGrey } from "../../scene/make-demo-clicks.ts";
import { project, type View, viewOf } from "../../scene/pinhole.ts";
import { sceneOf } from "../../scene/scene.ts";
import { demoGame, demoLayout } from "../scoring/demo-records.ts";

const filmPath = fileURLToPath(new URL("../../../src-main/demo/film.mp4", import.meta.url));
const image = { widthPx: 1280, heightPx: 720 };
export const records = demoGame;
const layout = demoLayout;
export const scene = sceneOf(demoFilm);
/** A hand's error on each axis, px. */
const handPx = 1.2;
const edgePx = 14;

export type Frame = { readonly view: View; readonly levels: Uint8Array };

export function frameOf(frameIndex: number): Frame {
  const { levels } = decodeGrey(filmPath, frameIndex, image.widthPx, image.heightPx);
  return { view: viewOf(scene.truthAt(frameIndex).camera), levels };
}

export function seen(view: View, xYards: number, yYards: number): ImagePoint | null {
  const at = project(view, [xYards, yYards, 0]);
  if (!at || Math.abs(at.uPx - 640) > 640 - edgePx || Math.abs(at.vPx - 360) > 360 - edgePx) return null;
  return imagePoint(at.uPx, at.vPx);
}

export function settle(frame: Frame, staked: Staked, click: ImagePoint, survey: Survey | null): ImagePoint | null {
  const patch = { leftPx: 0, topPx: 0, ...image, data: frame.levels };
  return settleStake(layout, staked, click, patch, { survey, image });
}

const lineOf = (id: string) => layout.lines.find((line) => line.id === id)!;

/** Places along a line that the frame shows, from one end of it to the other. */
function along({ view }: Frame, id: string): ImagePoint[] {
  const { from, to } = lineOf(id);
  return Array.from({ length: 60 }, (_, k) => (k + 1) / 61).flatMap((t) => {
    const at = seen(view, from.xYards + t * (to.xYards - from.xYards), from.yYards + t * (to.yYards - from.yYards));
    return at ? [at] : [];
  });
}

/** How far, across it, each painted line of the frame lies from where the survey draws it: the worst place, px. */
export function worstLinePx({ view }: Frame, survey: Survey): number {
  let worst = 0;
  for (const { from, to, paintYards } of layout.lines) {
    if (paintYards === null) continue;
    const [dx, dy] = [to.xYards - from.xYards, to.yYards - from.yYards];
    for (let k = 0; k <= 60; k++) {
      const [x, y] = [from.xYards + (k / 60) * dx, from.yYards + (k / 60) * dy];
      const truth = seen(view, x, y);
      if (!truth) continue;
      const drawn = imageOf(survey, fieldPoint(x, y))!;
      const ahead = imageOf(survey, fieldPoint(x + 0.01 * dx, y + 0.01 * dy))!;
      const [u, v] = [ahead.uPx - drawn.uPx, ahead.vPx - drawn.vPx];
      const off = Math.abs(u * (truth.vPx - drawn.vPx) - v * (truth.uPx - drawn.uPx)) / Math.hypot(u, v);
      worst = Math.max(worst, off);
    }
  }
  return worst;
}

/** Six clicks of a hand on a new frame of the demo film, as the window takes them: settled where paint is near. */
export function surveyOfSix(frame: Frame, wanted: readonly (readonly [Staked, ImagePoint])[], seed: number) {
  const random = seededRandom(seed);
  const moment: Moment = { ...records.moments[0]!, id: "new", frameIndex: 90_000 };
  const stakes: Stake[] = [];
  let survey: Survey | null = null;
  let settledCount = 0;
  for (const [staked, place] of wanted) {
    const click = imagePoint(place.uPx + handPx * random.normal(), place.vPx + handPx * random.normal());
    const at = settle(frame, staked, click, survey);
    if (at) settledCount++;
    const lineClick: LineClick = at ? { at, raw: click } : { at: click, raw: null };
    const common = { id: `s${stakes.length}`, gameId: moment.gameId, momentId: moment.id };
    const there = stakes.findIndex((stake) => stake.kind === "line" && stake.lineId === staked.id);
    const old = stakes[there];
    if (staked.kind === "point") {
      const sigmaPx = sigmaOf([lineClick]);
      stakes.push({
        ...common,
        kind: "point",
        landmarkId: staked.id,
        click: lineClick.at,
        raw: lineClick.raw,
        sigmaPx,
      });
    } else if (old?.kind === "line") {
      const all = [...old.clicks, lineClick];
      stakes[there] = { ...old, clicks: all, sigmaPx: sigmaOf(all) };
    } else {
      stakes.push({ ...common, kind: "line", lineId: staked.id, clicks: [lineClick], sigmaPx: sigmaOf([lineClick]) });
    }
    const given = { moments: [...records.moments, moment], stakes: [...records.stakes, ...stakes], carries: [] };
    const state = filmSurveys(given, records.films[0]!, layout).at(moment.frameIndex);
    survey = state.kind === "solved" ? state.survey : null;
  }
  if (!survey) throw new Error("six clicks gave no survey");
  return { survey, settledCount };
}

/** Six points of the frame far from each other, crossings of painted lines first, as one who wants to be done would. */
export function sixPoints(frame: Frame): [Staked, ImagePoint][] {
  const points = layout.landmarks.flatMap((landmark) => {
    const at = seen(frame.view, landmark.at.xYards, landmark.at.yYards);
    const isCrossing = /sideline\/(mid|[LR](20|-goal|-end))$/u.test(landmark.id);
    return at && landmark.id.includes("sideline") ? [{ id: landmark.id, at, isCrossing }] : [];
  });
  const chosen = points.filter((point) => point.isCrossing).slice(0, 6);
  const apart = (a: ImagePoint) =>
    Math.min(...chosen.map(({ at }) => Math.hypot(at.uPx - a.uPx, 2 * (at.vPx - a.vPx))));
  while (chosen.length < 6) {
    const rest = points.filter((point) => !chosen.includes(point));
    chosen.push(rest.toSorted((a, b) => apart(b.at) - apart(a.at))[0]!);
  }
  return chosen.map(({ id, at }) => [{ kind: "point", id }, at]);
}

/** Both sidelines and the yard line of which the frame shows most, each clicked at either end of what is seen. */
export function threeLines(frame: Frame): [Staked, ImagePoint][] {
  const yardLines = ["L20", "mid", "R20"].toSorted((a, b) => along(frame, b).length - along(frame, a).length);
  return ["far-sideline", yardLines[0]!, "near-sideline"].flatMap((id): [Staked, ImagePoint][] => {
    const places = along(frame, id);
    return [0.1, 0.9].map((share) => [{ kind: "line", id }, places[Math.floor(places.length * share)]!]);
  });
}
