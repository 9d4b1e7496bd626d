import { describe, expect, it } from "vitest";
import { playTimes, timeOf } from "#core/game/breakdown-edits";
import { downRulesOf, nextSituation } from "#core/game/next-situation";
import { situationFaults } from "#core/game/situation-faults";
import { judgePlayRecords } from "#core/scoring/judge-play";
import { shippedBooks } from "../../../src-main/service/books.ts";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";
import { demoGame, demoLayout, demoSurveys } from "./demo-records.ts";

/**
 * The demo film's clicks were made from its pixels; what is true on it is the scene's own and independent of the core.
 * Planted faults must come back as findings, and nobody else may be accused.
 */
const scene = sceneOf(demoFilm);
const records = demoGame;
const layout = demoLayout;
const surveys = demoSurveys;
const book = shippedBooks().open("flag-crew-of-four");

const given = { surveysOf: () => surveys, layout, book };
const judged = records.plays.flatMap((play) =>
  judgePlayRecords(records, play, given).moments.map(({ moment, judged: result }) => ({ play, moment, result })),
);

describe("the demo film, clicked from its pixels", () => {
  it("ST-R-PRE, ST-LJ-PRE, ST-FJ-PRE, ST-FJ-PRE-GAIN, ST-BJ-PRE: every planted fault of station is missed and nothing else is", () => {
    const found = judged.flatMap(({ play, result }) =>
      result.findings
        .filter((finding) => finding.ruleId.startsWith("ST-") && finding.verdict === "missed")
        .map((finding) => `${play.number} ${finding.position}`),
    );
    const planted = scene.plantedFaults.flatMap((fault) =>
      fault.kind === "depth" ? [`${fault.playNumber} ${fault.position}`] : [],
    );
    expect(found.toSorted()).toEqual(planted.toSorted());
    expect(planted.length).toBeGreaterThanOrEqual(5);
  });

  it("ST-LJ-PRE-SPLIT applies where a receiver is split near the line judge, and is met", () => {
    const split = judged.flatMap(({ result }) =>
      result.findings.filter((finding) => finding.ruleId === "ST-LJ-PRE-SPLIT"),
    );
    expect(split.length).toBeGreaterThan(0);
    for (const finding of split) expect(finding.verdict).toBe("met");
  });

  it("ST-R-FACE, ST-FJ-FACE: nobody on the film is turned away, and nobody is accused of it", () => {
    const facings = judged.flatMap(({ result }) =>
      result.findings.filter((finding) => finding.ruleId.endsWith("-FACE")),
    );
    // Two officials before each of fifteen snaps.
    expect(facings).toHaveLength(30);
    for (const finding of facings) expect(finding.verdict).not.toBe("missed");
  });

  it("reads every official within 0.5 yd along the field of where the scene put them", () => {
    for (const { moment, result } of judged) {
      const truth = scene.truthAt(moment.frameIndex);
      for (const mark of result.placed) {
        const { subject } = mark;
        if (subject.kind !== "official") continue;
        const there = truth.people.find(
          (person) => person.kind === "official" && person.position === subject.position,
        )!;
        expect(Math.abs(mark.measured.position.xYards - there.xYards)).toBeLessThan(0.5);
      }
    }
  });

  it("gives the same bytes for the same clicks in any order of marks", () => {
    const play = records.plays[8]!;
    const forward = judgePlayRecords(records, play, given);
    const backward = judgePlayRecords({ ...records, marks: records.marks.toReversed() }, play, given);
    expect(forward.findings.length).toBeGreaterThan(0);
    const bytes = ({ findings, moments, scores }: typeof forward) =>
      JSON.stringify([findings, moments.map((one) => one.judged.findings), scores]);
    expect(bytes(backward)).toBe(bytes(forward));
  });

  it("meets every rule of the shipped book for a place or a facing before the snap", () => {
    const met = new Set(judged.flatMap(({ result }) => result.findings.map((finding) => finding.ruleId)));
    const ids = [...book.stations, ...book.facings].flatMap(({ id, phase }) => (phase === "pre-snap" ? [id] : []));
    expect(ids.filter((id) => !met.has(id))).toEqual([]);
  });
});

describe("the demo's plays", () => {
  it("follow on one another without a contradiction, and their times are in order", () => {
    expect(situationFaults(records.plays, downRulesOf(layout), layout)).toEqual([]);
    for (const play of records.plays) {
      const times = playTimes.flatMap((time) => timeOf(play, time) ?? []);
      expect(times).toHaveLength(6);
      expect(times).toEqual(times.toSorted((a, b) => a - b));
    }
  });

  // The ball is spotted where the runner's feet are when the flag is pulled: USA Football flag rule book 2018, 10-1.
  it("end where the scene's runner was as the flag was pulled, with the other side if it was theirs", () => {
    for (const play of records.plays) {
      const { ball, snapFrame } = scene.plays.find(({ number }) => number === play.number)!;
      const { people } = scene.truthAt(snapFrame + Math.round(ball.pullSec * scene.film.framesPerSec));
      const runner = people.find(({ id }) => id === ball.catcher)!;
      expect(Math.abs(play.result!.spot!.xYards - runner.xYards)).toBeLessThanOrEqual(0.051);
      expect(play.result?.kind).toBe(ball.catcher.startsWith("B") ? "turnover" : "spot");
    }
    expect(records.plays.filter(({ result }) => result?.kind === "turnover").map(({ number }) => number)).toEqual([5]);
  });

  it("lead from one to the next where the film goes on: the first possession, play by play", () => {
    const possession = records.plays.filter(({ series }) => series === 1);
    expect(possession.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5]);
    for (const [index, play] of possession.slice(0, -1).entries()) {
      const { situation } = nextSituation(play, downRulesOf(layout), layout);
      const said = possession[index + 1]!.situation;
      const { down, lineToGainXYards, direction, offence } = situation;
      expect({ down, lineToGainXYards, direction, offence }).toEqual({
        down: said.down,
        lineToGainXYards: said.lineToGainXYards,
        direction: said.direction,
        offence: said.offence,
      });
      expect(Math.abs(situation.scrimmageXYards - said.scrimmageXYards)).toBeLessThan(1.5);
    }
  });

  it("would be at fault were one of them told wrong", () => {
    const wrong = records.plays.map((play) =>
      play.number === 4 ? { ...play, situation: { ...play.situation, down: 4 as const } } : play,
    );
    expect(situationFaults(wrong, downRulesOf(layout), layout)).not.toEqual([]);
  });
});
