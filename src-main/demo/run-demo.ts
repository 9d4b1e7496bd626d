/**
 * `npm run demo -- OUT`: the main job with no window. Reads the demo game's stored clicks, surveys, measures and scores them, and
 * writes OUT/findings.json, and for each moment a plan and a still as SVG. The still holds the film's frame where ffmpeg is
 * installed, and only what was drawn over it otherwise.
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fieldOf } from "#core/field/template";
import { fieldLineShapes, markShapes, situationShapes, stakeShapes, targetShapes } from "#core/picture/frame-picture";
import {
  planFieldShapes,
  planMarginYards,
  planMarkShapes,
  planSituationShapes,
  planTargetShapes,
} from "#core/picture/plan-picture";
import { frameSightShapes, planSightShapes, sightlines } from "#core/picture/look-picture";
import type { ReportPicture } from "#core/report/document";
import { svgOf } from "#core/report/svg";
import { filmSurveys } from "#core/scoring/film-surveys";
import type { Finding } from "#core/scoring/finding";
import { scoringVersion } from "#core/scoring/judge-moment";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { gameEvidence, scoresOf } from "#core/scoring/play-scores";
import { probeContainer } from "../film/container-probe.ts";
import { fingerprintFilm } from "../film/fingerprint.ts";
import { shippedBooks } from "../service/books.ts";
import { demoClicksShape } from "./demo-clicks.ts";
import { demoRecords } from "./demo-game.ts";

function stillOf(filmPath: string, timeSec: number): string | null {
  const args = [
    "-loglevel",
    "error",
    "-ss",
    String(timeSec),
    "-i",
    filmPath,
    "-frames:v",
    "1",
    "-f",
    "mjpeg",
    "-q:v",
    "3",
    "-",
  ];
  const { stdout, status } = spawnSync("ffmpeg", args, { maxBuffer: 32 * 1024 * 1024 });
  return status === 0 ? `data:image/jpeg;base64,${stdout.toString("base64")}` : null;
}

/** Written beside and renamed, so that a file in OUT is always a whole one. */
function write(path: string, text: string): void {
  writeFileSync(`${path}.part`, text);
  renameSync(`${path}.part`, path);
}

const written = (findings: readonly Finding[]) => findings.map(({ markIds: _markIds, ...finding }) => finding);

async function run(out: string): Promise<void> {
  const folder = import.meta.dirname;
  const filmPath = join(folder, "film.mp4");
  const probe = await probeContainer(filmPath);
  if (!probe.ok) throw new Error(probe.sentence);
  const clicks = demoClicksShape.parse(JSON.parse(readFileSync(join(folder, "clicks.json"), "utf8")));
  const records = demoRecords(clicks, { path: filmPath, ...(await fingerprintFilm(filmPath)), ...probe.facts });
  const book = shippedBooks().open(records.game.bookId);
  const layout = fieldOf(records.game);
  mkdirSync(out, { recursive: true });
  let hasStills = true;
  const surveys = filmSurveys(records, records.films[0]!, layout);
  const judgedPlays = records.plays.map((play) => ({
    play,
    judged: judgePlayRecords(records, play, { surveysOf: () => surveys, layout, book }),
  }));
  const moments = records.moments.map((moment, index) => {
    const { play, judged: whole } = judgedPlays.find((candidate) => candidate.play.id === moment.playId)!;
    const stakes = records.stakes.filter((stake) => stake.momentId === moment.id);
    const marks = records.marks.filter((mark) => mark.momentId === moment.id);
    const { situation } = play;
    const image = probe.facts;
    const { judged } = whole.moments.find((one) => one.moment.id === moment.id)!;
    const lines = sightlines(judged.looks, judged.findings, null);
    const survey = judged.survey.kind === "solved" ? judged.survey.survey : null;
    // A play may be marked twice in a phase.
    const before = records.moments
      .slice(0, index)
      .filter((one) => one.playId === play.id && one.phase === moment.phase);
    const name = `play-${play.number}-${moment.phase}${before.length === 0 ? "" : `-${before.length + 1}`}`;
    // Half a frame into the frame's own interval, so that rounding cannot give its neighbour.
    const still = stillOf(filmPath, Math.max(0, moment.timeSec - 0.01));
    hasStills &&= still !== null;
    const over = [
      ...(survey ? fieldLineShapes(layout, survey) : []),
      ...(survey ? situationShapes(layout, survey, situation) : []),
      ...(survey ? targetShapes(survey, judged.findings) : []),
      ...(survey ? frameSightShapes(survey, lines) : []),
      ...stakeShapes(layout, stakes, survey, new Set()),
      ...markShapes(marks, judged),
    ];
    const frame = { x: 0, y: 0, width: image.widthPx, height: image.heightPx };
    const seen = `${name}, frame ${moment.frameIndex}, as it was measured`;
    const stillPicture: ReportPicture = { surface: "film", box: frame, inkUnit: 1, shapes: over, stillKey: moment.id };
    write(join(out, `${name}-still.svg`), `${svgOf(stillPicture, seen, still)}\n`);
    const plan = [
      ...planFieldShapes(layout),
      ...planSituationShapes(layout, situation),
      ...planTargetShapes(layout, judged.findings),
      ...planSightShapes(layout, lines),
      ...planMarkShapes(layout, judged.placed),
    ];
    const margin = planMarginYards;
    const box = {
      x: -margin,
      y: -margin,
      width: layout.totalLengthYards + 2 * margin,
      height: layout.widthYards + 2 * margin,
    };
    const planPicture: ReportPicture = { surface: "paper", box, inkUnit: 0.13, shapes: plan, stillKey: null };
    write(join(out, `${name}-plan.svg`), `${svgOf(planPicture, `${name}, the plan`, null)}\n`);
    return {
      play: play.number,
      phase: moment.phase,
      frameIndex: moment.frameIndex,
      survey: survey && {
        residualRmsPx: survey.residualRmsPx,
        camera: survey.camera,
        warnings: survey.warnings.map((warning) => warning.message),
      },
      places: judged.placed.map(({ subject, measured }) => ({
        subject,
        xYards: measured.position.xYards,
        yYards: measured.position.yYards,
        sdAlongXYards: measured.sdAlongX,
        sdAlongYYards: measured.sdAlongY,
      })),
      lookThroughCoverage: judged.looks?.coverage ?? null,
      findings: written(judged.findings),
    };
  });
  const plays = judgedPlays.map(({ play, judged }) => ({
    play: play.number,
    findings: written(judged.findings),
    handoffs: judged.handoffs,
    scores: judged.scores,
  }));
  const allFindings = judgedPlays.flatMap(({ judged }) => [
    ...judged.findings,
    ...judged.moments.flatMap((one) => one.judged.findings),
  ]);
  const scores = scoresOf(allFindings, book, scoringVersion, gameEvidence);
  const caution = `Evidence for a person, not a verdict on one. ${book.caution}`;
  const head = { game: records.game.title, book: { id: book.id, edition: book.edition }, scoringVersion, caution };
  write(join(out, "findings.json"), `${JSON.stringify({ ...head, scores, plays, moments }, null, 2)}\n`);
  for (const { play, judged } of judgedPlays) {
    const findings = [...judged.findings, ...judged.moments.flatMap((one) => one.judged.findings)];
    for (const { ruleId, sentence } of findings.filter(({ verdict }) => verdict === "missed"))
      console.log(`play ${play.number}: missed ${ruleId}: ${sentence}`);
  }
  if (!hasStills) console.log("ffmpeg is not installed, so the stills hold no film picture.");
  console.log(`${moments.length} moments written to ${out}`);
}

const target = process.argv[2];
if (target === undefined) {
  console.error("Usage: npm run demo -- OUT (a folder to write into)");
  process.exitCode = 1;
} else await run(resolve(target));
