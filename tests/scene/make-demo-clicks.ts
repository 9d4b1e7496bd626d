/**
 * Makes the demo game's stored clicks from the pixels of the demo film, as a person would click them:
 * `node tests/scene/make-demo-clicks.ts FILM.mp4 OUT.json`.
 *
 * A stake starts near where its landmark is seen and is settled on the paint of the decoded frame; the feet of a person
 * who stands are the visible soles of the figure as drawn. A runner's soles lie up to half a stride before or behind the
 * runner, or are in the air: there the click goes below the body, as one sees it from both feet and the shadow. To each a
 * hand's error is added (seeded); nobody is clicked whose feet are hidden. The landmark's yards are never used for
 * anything but to look near the right place.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { layOut, templateById } from "../../src-core/field/template.ts";
import type { DemoClicks, DemoMark } from "../../src-main/demo/demo-clicks.ts";
import { demoFilm } from "./films.ts";
import { groundUnder, project, type View, viewOf } from "./pinhole.ts";
import { groundedCentre, type Owners, shareAbout } from "./ray-casting.ts";
import { ownersAt } from "./render-frame.ts";
import { type Person, type Scene, sceneOf, type ScenePlay } from "./scene.ts";
import { gaussian, seededDraw, seedOf } from "./seeded.ts";

const stakeSigmaPx = 1.2;
const feetSigmaPx = 1.5;
/** From this speed on somebody is clicked as a runner. */
const runnerYardsPerSec = 0.8;
/** Nobody points beyond the picture's edge. */
const edgePx = 3;

type Grey = { readonly widthPx: number; readonly heightPx: number; readonly levels: Uint8Array };

/** One frame of the film as the decoder gives it, luma only. */
export function decodeGrey(filmPath: string, frameIndex: number, widthPx: number, heightPx: number): Grey {
  // Half a frame early, so that rounding cannot make it the next one; ffmpeg decodes from the key frame before.
  const seekSec = Math.max(0, (frameIndex - 0.5) / demoFilm.framesPerSec);
  const args = [
    "-loglevel",
    "error",
    "-ss",
    seekSec.toFixed(4),
    "-i",
    filmPath,
    "-frames:v",
    "1",
    "-f",
    "rawvideo",
    "-pix_fmt",
    "gray",
    "-",
  ];
  const { stdout, status } = spawnSync("ffmpeg", args, { maxBuffer: 64 * 1024 * 1024 });
  if (status !== 0 || stdout.length !== widthPx * heightPx) throw new Error(`frame ${frameIndex} could not be decoded`);
  return { widthPx, heightPx, levels: stdout };
}

function levelAt(grey: Grey, u: number, v: number): number {
  const x = Math.min(grey.widthPx - 2, Math.max(0, u - 0.5));
  const y = Math.min(grey.heightPx - 2, Math.max(0, v - 0.5));
  const [x0, y0] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - x0, y - y0];
  const at = (dx: number, dy: number) => grey.levels[(y0 + dy) * grey.widthPx + x0 + dx] ?? 0;
  return (at(0, 0) * (1 - fx) + at(1, 0) * fx) * (1 - fy) + (at(0, 1) * (1 - fx) + at(1, 1) * fx) * fy;
}

/**
 * Where paint lies across a short search line: the centre of what is brighter than the grass around it. Null when
 * nothing stands out from the grass.
 */
export function paintAlong(
  grey: Grey,
  from: { u: number; v: number },
  across: { u: number; v: number },
  reachPx: number,
): number | null {
  const step = 0.25;
  const levels: number[] = [];
  for (let t = -reachPx; t <= reachPx; t += step)
    levels.push(levelAt(grey, from.u + across.u * t, from.v + across.v * t));
  const grass = levels.toSorted((a, b) => a - b)[Math.floor(levels.length / 3)] ?? 0;
  const peak = Math.max(...levels);
  if (peak - grass < 14) return null;
  const edge = grass + (peak - grass) * 0.4;
  let sum = 0;
  let moment = 0;
  for (const [i, level] of levels.entries()) {
    const weight = Math.max(0, level - edge);
    sum += weight;
    moment += weight * (i * step - reachPx);
  }
  return moment / sum;
}

const layout = layOut(templateById("flag-100x40")!);

/** A point a person could click: the row and column of a landmark cross in the picture where its paint is seen. */
function clickLandmark(
  grey: Grey,
  view: View,
  landmarkId: string,
  draw: () => number,
): { uPx: number; vPx: number } | null {
  const landmark = layout.landmarks.find((candidate) => candidate.id === landmarkId)!;
  const { xYards: x, yYards: y } = landmark.at;
  const look = (dx: number, dy: number) => project(view, [x + dx, y + dy, 0]);
  // Paint of the column runs from the landmark into the field (or outward, for a hash mark): look at its middle.
  const towards = landmarkId.startsWith("near-sideline") || landmarkId.startsWith("far-hash") ? 1 : -1;
  const here = look(0, 0);
  const on = look(0, towards * 0.33);
  const beside = look(0.5, towards * 0.33);
  if (!here || !on || !beside) return null;
  const margin = 14;
  if (here.uPx < margin || here.uPx > view.widthPx - margin || here.vPx < margin || here.vPx > view.heightPx - margin)
    return null;
  const length = Math.hypot(beside.uPx - on.uPx, beside.vPx - on.vPx);
  const along = { u: (beside.uPx - on.uPx) / length, v: (beside.vPx - on.vPx) / length };
  const column = paintAlong(grey, { u: on.uPx, v: on.vPx }, along, 5);
  if (column === null || Math.abs(column) > 3) return null;
  const row = landmarkId.includes("hash")
    ? endOfMark(grey, view, landmark.at, towards)
    : insideEdge(grey, view, landmark.at, towards);
  if (row === null || Math.abs(row.off) > 3) return null;
  return {
    uPx: here.uPx + along.u * column + row.along.u * row.off + stakeSigmaPx * gaussian(draw),
    vPx: here.vPx + along.v * column + row.along.v * row.off + stakeSigmaPx * gaussian(draw),
  };
}

type Spot = { readonly xYards: number; readonly yYards: number };
type RowFind = { readonly off: number; readonly along: { readonly u: number; readonly v: number } };

/** Image direction of one yard across the field at a spot, as a unit vector with its length in pixels. */
function acrossField(view: View, at: Spot) {
  const [from, to] = [project(view, [at.xYards, at.yYards, 0])!, project(view, [at.xYards, at.yYards + 1, 0])!];
  const pxPerYard = Math.hypot(to.uPx - from.uPx, to.vPx - from.vPx);
  return { along: { u: (to.uPx - from.uPx) / pxPerYard, v: (to.vPx - from.vPx) / pxPerYard }, pxPerYard };
}

/** The sideline's paint beside the mark, then in by half its width: boundary lines count from their inside edge. */
function insideEdge(grey: Grey, view: View, at: Spot, towards: number): RowFind | null {
  const beside = project(view, [at.xYards + 1.2, at.yYards, 0])!;
  const { along, pxPerYard } = acrossField(view, at);
  const middle = paintAlong(grey, { u: beside.uPx, v: beside.vPx }, along, 5);
  return middle === null ? null : { off: middle + towards * (2 / 36) * pxPerYard, along };
}

/** The inbounds end of a short mark: along the mark, where its paint has fallen half way to the grass. */
function endOfMark(grey: Grey, view: View, at: Spot, towards: number): RowFind | null {
  const { along, pxPerYard } = acrossField(view, at);
  const end = project(view, [at.xYards, at.yYards, 0])!;
  const level = (off: number) => levelAt(grey, end.uPx + along.u * off, end.vPx + along.v * off);
  const paint = level(towards * 0.33 * pxPerYard);
  const grass = level(-towards * 0.6 * pxPerYard);
  if (paint - grass < 14) return null;
  for (let inward = -0.33; inward < 0.6; inward += 0.01) {
    const off = -towards * inward * pxPerYard;
    if (level(off) < (paint + grass) / 2) return { off, along };
  }
  return null;
}

/** Eight stakes spread over the picture: on each row the outermost columns that are seen, and one between. */
function clickStakes(
  grey: Grey,
  view: View,
  draw: () => number,
): DemoClicks["plays"][number]["moments"][number]["stakes"] {
  const rows = { "near-sideline": 2, "near-hash": 2, "far-hash": 2, "far-sideline": 2 };
  return Object.entries(rows).flatMap(([row, wanted]) => {
    const seen = layout.landmarks
      .filter((landmark) => landmark.id.startsWith(`${row}/`) && !landmark.id.endsWith("-end"))
      .flatMap((landmark) => {
        const click = clickLandmark(grey, view, landmark.id, draw);
        return click ? [{ landmarkId: landmark.id, ...rounded(click) }] : [];
      });
    return seen.length <= wanted ? seen : [seen[0]!, seen.at(-1)!];
  });
}

const rounded = ({ uPx, vPx }: { uPx: number; vPx: number }) => ({
  uPx: Math.round(uPx * 10) / 10,
  vPx: Math.round(vPx * 10) / 10,
});

function withHand(at: Point, draw: () => number) {
  return rounded({ uPx: at.uPx + feetSigmaPx * gaussian(draw), vPx: at.vPx + feetSigmaPx * gaussian(draw) });
}

type Point = { readonly uPx: number; readonly vPx: number };

function isInside(view: View, { uPx, vPx }: Point): boolean {
  return uPx > edgePx && vPx > edgePx && uPx < view.widthPx - edgePx && vPx < view.heightPx - edgePx;
}

/** Where a person's feet are seen to be; null where they are hidden. */
function feetOf(owners: Owners, view: View, person: Person): Point | null {
  if (person.speedYardsPerSec < runnerYardsPerSec) return groundedCentre(owners, view, person.id);
  const at = project(view, [person.xYards, person.yYards, 0]);
  const knee = project(view, [person.xYards, person.yYards, 0.5]);
  if (!at || !knee || !isInside(view, at)) return null;
  const up = at.vPx - knee.vPx;
  return shareAbout(owners, view, person.id, at, { across: up, up }) < 0.5 ? null : at;
}

function clickPeople(scene: Scene, frameIndex: number, pointYards: number, draw: () => number): DemoMark[] {
  const truth = scene.truthAt(frameIndex);
  const { owners, view } = ownersAt(scene, frameIndex);
  const marks = truth.people.flatMap((person): DemoMark[] => {
    const feet = feetOf(owners, view, person);
    if (!feet) return [];
    const click = withHand(feet, draw);
    return person.kind === "official"
      ? [
          {
            kind: "official",
            position: person.position,
            ...click,
            facing: facingClick(view, person, feet, pointYards, draw),
          },
        ]
      : [{ kind: "player", team: person.side, role: person.role, ...click, facing: null }];
  });
  const ball = groundedCentre(owners, view, "ball") ?? project(view, [truth.ball.xYards, truth.ball.yYards, 0])!;
  return [...marks, { kind: "ball", ...withHand(ball, draw) }];
}

/** A second click on the ground ahead, in the direction the body is seen to face. */
function facingClick(view: View, person: Person, feet: Point, pointYards: number, draw: () => number) {
  const ground = groundUnder(view, feet.uPx, feet.vPx);
  if (!ground) return null;
  const turned = person.facingRadians + 0.08 * gaussian(draw);
  // As far as one points, or as far as the picture goes.
  for (let yards = pointYards; yards >= 1; yards -= 0.5) {
    const ahead = project(view, [
      ground.xYards + yards * Math.cos(turned),
      ground.yYards + yards * Math.sin(turned),
      0,
    ]);
    if (ahead && isInside(view, ahead)) return withHand(ahead, draw);
  }
  return null;
}

const frameOf = (play: ScenePlay, sinceSnapSec: number, scene: Scene): number =>
  play.snapFrame + Math.round(sinceSnapSec * scene.film.framesPerSec);

/** Dead where the runner's feet were as the flag was pulled; whoever caught it may be of the other side. */
function resultOf(scene: Scene, play: ScenePlay): NonNullable<DemoClicks["plays"][number]["result"]> {
  const { people } = scene.truthAt(frameOf(play, play.ball.pullSec, scene));
  const runner = people.find(({ id }) => id === play.ball.catcher)!;
  const tenth = (yards: number) => Math.round(yards * 10) / 10;
  return {
    kind: runner.kind === "player" && runner.side === "B" ? "turnover" : "spot",
    spot: { xYards: tenth(runner.xYards), yYards: tenth(runner.yYards) },
  };
}

/** A play begins where the last one ended to within what the eye may be off. */
const followsYards = 1.5;

/**
 * Possessions go to and fro, so that a side's own have every second number. The film shows plays of several: where one
 * does not go on from the one before it, possessions between are not on the film.
 */
function seriesOf(scene: Scene, play: ScenePlay): number {
  const before = scene.plays.find(({ number }) => number === play.number - 1);
  if (!before) return 1;
  const ended = resultOf(scene, before);
  const follows = Math.abs(ended.spot!.xYards - play.situation.scrimmageXYards) <= followsYards;
  const isSameSide = before.situation.offence === play.situation.offence;
  const isHeld = ended.kind !== "turnover";
  if (follows && isSameSide === isHeld) return seriesOf(scene, before) + (isHeld ? 0 : 1);
  return seriesOf(scene, before) + (isSameSide ? 2 : 3);
}

function clickPlay(scene: Scene, play: ScenePlay, filmPath: string): DemoClicks["plays"][number] {
  const rate = scene.film.framesPerSec;
  const sec = (frame: number) => Math.round((frame / rate) * 1e6) / 1e6;
  return {
    number: play.number,
    startSec: sec(play.firstFrame),
    endSec: sec(play.firstFrame + play.frameCount),
    snapSec: sec(play.snapFrame),
    // To the nearest frame, as a person stops on one.
    releaseSec: sec(play.snapFrame + Math.round(play.ball.releaseSec * rate)),
    catchSec: sec(play.snapFrame + Math.round(play.ball.catchSec * rate)),
    deadSec: sec(play.snapFrame + Math.round(play.ball.pullSec * rate)),
    quarter: play.number <= 7 ? 1 : 2,
    series: seriesOf(scene, play),
    situation: { ...play.situation },
    result: resultOf(scene, play),
    moments: play.moments.map(({ frameIndex, phase }, index) => {
      // The first moment's seed has no index: its clicks stay as they are whatever else a play is clicked at.
      const draw = seededDraw(index === 0 ? seedOf("hand", play.number) : seedOf("hand", play.number, index));
      const view = viewOf(scene.truthAt(frameIndex).camera);
      const grey = decodeGrey(filmPath, frameIndex, view.widthPx, view.heightPx);
      return {
        phase,
        frameIndex,
        stakes: clickStakes(grey, view, draw),
        marks: clickPeople(scene, frameIndex, play.pointYards, draw),
      };
    }),
  };
}

/** Every click of the demo game, made on a film file of the demo scene. */
export function clicksOn(filmPath: string): DemoClicks {
  const scene = sceneOf(demoFilm);
  return {
    filmSha256: createHash("sha256").update(readFileSync(filmPath)).digest("hex"),
    plays: scene.plays.map((play) => clickPlay(scene, play, filmPath)),
  };
}

if (import.meta.main) {
  const [filmPath, outPath] = process.argv.slice(2);
  if (filmPath === undefined || outPath === undefined)
    throw new Error("Usage: node tests/scene/make-demo-clicks.ts FILM.mp4 OUT.json");
  const clicks = clicksOn(filmPath);
  writeFileSync(outPath, `${JSON.stringify(clicks, null, 2)}\n`);
  for (const { moments, number } of clicks.plays)
    for (const { marks, phase, stakes } of moments)
      console.log(`play ${number} ${phase}: ${stakes.length} stakes, ${marks.length} marks`);
}
