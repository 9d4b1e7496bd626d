import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fieldPoint } from "#core/field/units";
import type { Down, Phase } from "#core/game/records";
import {
  findingOf,
  flagCrewBook,
  inPlace,
  judge,
  marksOf,
  momentHere,
  moved,
  pressBoxAt,
  receiver,
  type StagedPlay,
  stationMeasure,
  transformed,
  withSituation,
  without,
} from "./staged-play.ts";

const splitWide: StagedPlay = {
  ...inPlace,
  people: { ...inPlace.people, split: { subject: receiver, at: fieldPoint(33.5, 36) } },
};
const wideReceiver = (xYards: number): StagedPlay => ({
  ...inPlace,
  people: { ...inPlace.people, wide: { subject: receiver, at: fieldPoint(xYards, 12) } },
});
/** The field's right goal line lies at x = 90: 18 yd to go, and everybody where the zone rules want them. */
const nearGoal: StagedPlay = {
  ...withSituation(inPlace, { scrimmageXYards: 72, lineToGainXYards: 90, down: 1 }),
  camera: pressBoxAt(76, -25, 76, 18),
  cameraXYards: 76,
  people: Object.fromEntries(
    Object.entries(inPlace.people).map(([id, person]) => [
      id,
      { ...person, at: fieldPoint(person.at.xYards + 38, person.at.yYards) },
    ]),
  ),
};
const thirdAndSix = moved(withSituation(inPlace, { down: 3, lineToGainXYards: 40 }), "FJ", -4, 0);

/**
 * Each station of the book: the play in which it applies, and a step (yards along x, across y) out of it with the
 * signed errors that a tape measure would give, counted from the edge of the range. Common practice, no source.
 */
const stations: Readonly<
  Record<
    string,
    {
      who: string;
      play: StagedPlay;
      step: readonly [number, number];
      depthError: number;
      widthError: number;
      phase?: Phase;
    }
  >
> = {
  // 4 yd too far back: half a yard of it is inside the range.
  "ST-R-PRE": { who: "R", play: inPlace, step: [-4, 0], depthError: -3.5, widthError: 0 },
  "ST-LJ-PRE": { who: "LJ", play: inPlace, step: [3, 0], depthError: 2.5, widthError: 0 },
  // From 0.2 to 5.2 yd outside the far sideline, 2 allowed.
  "ST-LJ-PRE-SPLIT": { who: "LJ", play: splitWide, step: [0, 5], depthError: 0, widthError: 3.2 },
  // From 0.5 yd outside to 5.5 yd inside the near sideline, half a yard allowed.
  "ST-FJ-PRE": { who: "FJ", play: inPlace, step: [0, 6], depthError: 0, widthError: -5 },
  "ST-FJ-PRE-GAIN": { who: "FJ", play: thirdAndSix, step: [4, 0], depthError: 3.5, widthError: 0 },
  "ST-BJ-PRE": { who: "BJ", play: inPlace, step: [-5, 0], depthError: -4, widthError: 0 },
  // From 4 yd downfield of x = 34 to 9: 5 allowed.
  "ST-LJ-ZONE": {
    who: "LJ",
    play: moved(inPlace, "LJ", 4, 0),
    step: [5, 0],
    depthError: 4,
    widthError: 0,
    phase: "zone",
  },
  "ST-FJ-ZONE": { who: "FJ", play: inPlace, step: [-4, 0], depthError: -3.5, widthError: 0, phase: "zone" },
  "ST-FJ-ZONE-GAIN": { who: "FJ", play: thirdAndSix, step: [4, 0], depthError: 3.5, widthError: 0, phase: "zone" },
  // The receiver is 45 yd along: BJ goes from 9 yd ahead of him to 5 behind.
  "ST-BJ-ZONE": { who: "BJ", play: wideReceiver(45), step: [-14, 0], depthError: -5, widthError: 0, phase: "zone" },
  // From 2 yd beyond the goal line at x = 90 to 4 before it.
  "ST-BJ-ZONE-GOAL": { who: "BJ", play: nearGoal, step: [-6, 0], depthError: -4, widthError: 0, phase: "zone" },
};

/** What each facing looks at, and from where (yards). */
const facings: Readonly<
  Record<string, { who: string; at: readonly [number, number]; limitDegrees: number; phase?: Phase }>
> = {
  "ST-R-FACE": { who: "R", at: [33, 20], limitDegrees: 30 },
  "ST-FJ-FACE": { who: "FJ", at: [34, 20], limitDegrees: 40 },
  // Straight upfield from R at 20, 13.
  "ST-R-UPFIELD": { who: "R", at: [1000, 13], limitDegrees: 90, phase: "catch" },
};
const inPhase = (phase: Phase = "pre-snap") => ({ moment: { ...momentHere, phase } });

it("holds every rule of the book to a case here, and no rule that the book has not", () => {
  const inBook = [...flagCrewBook.stations, ...flagCrewBook.facings].map((rule) => rule.id);
  expect([...Object.keys(stations), ...Object.keys(facings)].toSorted()).toEqual(inBook.toSorted());
});

describe.each(Object.entries(stations))("%s", (ruleId, { who, play, step, depthError, widthError, phase }) => {
  it("is met where the crew stands by common practice", () => {
    const finding = findingOf(play, ruleId, inPhase(phase));
    expect([finding.verdict, finding.position, finding.help]).toEqual(["met", who, null]);
    expect(finding.sentence).toMatch(/: in place/u);
    expect(finding.score!).toBeGreaterThan(90);
    const measure = stationMeasure(finding);
    expect([measure.depthErrorYards, measure.widthErrorYards]).toEqual([0, 0]);
  });

  it("is missed from a step away, by the signed error that a tape would show", () => {
    const there = moved(play, who, ...step);
    const finding = findingOf(there, ruleId, inPhase(phase));
    const measure = stationMeasure(finding);
    expect(finding.verdict).toBe("missed");
    expect(measure.depthErrorYards).toBeCloseTo(depthError, 5);
    expect(measure.widthErrorYards).toBeCloseTo(widthError, 5);
    expect(measure.outsideYards.value).toBeCloseTo(Math.hypot(depthError, widthError), 5);
    expect(finding.sentence).toContain(
      depthError === 0
        ? `${Math.abs(widthError).toFixed(1)} yd too ${widthError > 0 ? "wide" : "far inside"}.`
        : `${Math.abs(depthError).toFixed(1)} yd too far ${depthError > 0 ? "downfield" : "upfield"}.`,
    );
    expect(finding.markIds[0]).toBe(who);
    expect(finding.score!).toBeLessThan(40);
  });

  it("cannot be told at the very edge of the tolerance, and says what would help", () => {
    const rule = flagCrewBook.stations.find((candidate) => candidate.id === ruleId)!;
    const size = Math.hypot(depthError, widthError);
    const edge = (Math.hypot(...step) - size + rule.toleranceYards) / Math.hypot(...step);
    const finding = findingOf(moved(play, who, step[0] * edge, step[1] * edge), ruleId, inPhase(phase));
    expect(finding.verdict).toBe("cannot tell");
    expect(finding.sentence).toMatch(/reaches across the limit/u);
    expect(finding.help).toMatch(/error comes from the (survey|click)/u);
  });
});

describe.each(Object.entries(facings))("%s", (ruleId, { who, at, limitDegrees, phase }) => {
  const turnedBy = (degrees: number): StagedPlay => {
    const person = inPlace.people[who]!;
    const { xYards: x, yYards: y } = person.at;
    const angle = Math.atan2(at[1] - y, at[0] - x) + (degrees * Math.PI) / 180;
    const facing = fieldPoint(x + 6 * Math.cos(angle), y + 6 * Math.sin(angle));
    return { ...inPlace, people: { ...inPlace.people, [who]: { ...person, facing } } };
  };

  it("is met within the book's angle, missed beyond it, and cannot be told at it, to either hand", () => {
    for (const hand of [1, -1]) {
      expect(findingOf(turnedBy(hand * (limitDegrees - 15)), ruleId, inPhase(phase)).verdict).toBe("met");
      expect(findingOf(turnedBy(hand * limitDegrees), ruleId, inPhase(phase)).verdict).toBe("cannot tell");
      expect(findingOf(turnedBy(hand * (limitDegrees + 15)), ruleId, inPhase(phase)).verdict).toBe("missed");
    }
  });

  it("reads the angle that was laid out", () => {
    for (const degrees of [25, 60, 120, 170]) {
      const { measure } = findingOf(turnedBy(degrees), ruleId, inPhase(phase));
      const read = measure?.kind === "facing" ? measure.offDegrees.value : Number.NaN;
      expect(Math.abs(read - degrees)).toBeLessThan(2);
    }
  });

  it("cannot be told without a facing, the official, or whom to face", () => {
    const { facing: _, ...person } = inPlace.people[who]!;
    const gone = [
      { ...inPlace, people: { ...inPlace.people, [who]: person } },
      without(inPlace, who),
      ...(ruleId === "ST-R-UPFIELD" ? [] : [without(inPlace, ruleId === "ST-R-FACE" ? "snapper" : "ball")]),
    ];
    const helps = gone.map((play) => {
      const finding = findingOf(play, ruleId, inPhase(phase));
      expect([finding.verdict, finding.score, finding.measure]).toEqual(["cannot tell", null, null]);
      return finding.help;
    });
    expect(helps[0]).toMatch(new RegExp(`^Give ${who} a facing`, "u"));
    expect(helps[1]).toBe(`Mark ${who} in this frame.`);
    if (helps.length > 2) expect(helps[2]).toMatch(/^Mark the (snapper|ball)\.$/u);
  });
});

describe("which rule applies", () => {
  const fieldJudge = (down: Down | null, toGoYards: number | null) =>
    judge(withSituation(inPlace, { down, lineToGainXYards: toGoYards === null ? null : 34 + toGoYards })).findings.find(
      (finding) => finding.position === "FJ",
    )?.ruleId;

  it("holds the line to gain on third and fourth down with less than ten yards to go, and on no other", () => {
    for (const down of [1, 2, 3, 4] as const) {
      for (const toGo of [0.5, 6, 9.9, 10, 16]) {
        const short = down >= 3 && toGo < 10;
        expect(`${down} and ${toGo}: ${fieldJudge(down, toGo)}`).toBe(
          `${down} and ${toGo}: ${short ? "ST-FJ-PRE-GAIN" : "ST-FJ-PRE"}`,
        );
      }
    }
    expect([fieldJudge(null, 6), fieldJudge(3, null)]).toEqual(["ST-FJ-PRE", "ST-FJ-PRE"]);
  });

  it("counts the distance in the offence's own direction", () => {
    const left = transformed(thirdAndSix, "mirrored");
    expect(findingOf(left, "ST-FJ-PRE-GAIN").verdict).toBe("met");
    const behind = withSituation(left, { lineToGainXYards: left.situation.scrimmageXYards + 6 });
    expect(judge(behind).findings.map((finding) => finding.ruleId)).toContain("ST-FJ-PRE");
  });

  it("lets the line judge out only for a receiver of A near that sideline", () => {
    const lineJudge = (subject: typeof receiver, yYards: number) =>
      judge({
        ...inPlace,
        people: { ...inPlace.people, more: { subject, at: fieldPoint(33.5, yYards) } },
      }).findings.find((finding) => finding.position === "LJ")?.ruleId;
    expect(lineJudge(receiver, 36)).toBe("ST-LJ-PRE-SPLIT");
    expect(lineJudge(receiver, 34)).toBe("ST-LJ-PRE");
    expect(lineJudge(receiver, 3)).toBe("ST-LJ-PRE");
    expect(lineJudge({ kind: "player", side: "B", role: "defender" }, 36)).toBe("ST-LJ-PRE");
  });

  it("has nothing to say at a phase that the book is silent about", () => {
    const moment = {
      id: "m",
      gameId: "g",
      playId: "p",
      filmId: "f",
      phase: "dead-ball",
      frameIndex: 0,
      timeSec: 0,
    } as const;
    expect(judge(inPlace, { moment }).findings).toEqual([]);
  });
});

describe("the same play another way round", () => {
  const plays: Readonly<Record<string, { play: StagedPlay; phase?: Phase | undefined }>> = {
    "in place": { play: inPlace },
    ...Object.fromEntries(
      Object.entries(stations).map(([id, { play, who, step, phase }]) => [
        id,
        { play: moved(play, who, ...step), phase },
      ]),
    ),
    "turned upfield": { play: inPlace, phase: "catch" },
  };

  it.each(Object.entries(plays))(
    "%s: turned by half, it reads the same to the last digit that is printed",
    (_, { play, phase }) => {
      const [here, there] = [judge(play, inPhase(phase)), judge(transformed(play, "turned"), inPhase(phase))];
      expect(there.findings.map(({ sentence, verdict }) => [verdict, sentence])).toEqual(
        here.findings.map(({ sentence, verdict }) => [verdict, sentence]),
      );
      for (const [i, finding] of here.findings.entries()) {
        expect(there.findings[i]!.score!).toBeCloseTo(finding.score!, 3);
      }
    },
  );

  it.each(Object.entries(plays))("%s: mirrored, it scores the same", (_, { play, phase }) => {
    const [here, there] = [judge(play, inPhase(phase)), judge(transformed(play, "mirrored"), inPhase(phase))];
    for (const [i, finding] of here.findings.entries()) {
      const other = there.findings[i]!;
      for (const [j, corner] of (finding.target ?? []).entries()) {
        expect(other.target![j]!.xYards).toBeCloseTo(100 - corner.xYards, 5);
        expect(other.target![j]!.yYards).toBeCloseTo(corner.yYards, 5);
      }
      expect([other.ruleId, other.verdict]).toEqual([finding.ruleId, finding.verdict]);
      // Mirrored samples are other samples of the same error: four sigmas of a mean of 1500 values within 0 to 100.
      expect(Math.abs(other.score! - finding.score!)).toBeLessThan(4 * Math.SQRT2 * (50 / Math.sqrt(1500)));
      if (finding.measure?.kind !== "station") continue;
      expect(stationMeasure(other).depthErrorYards).toBeCloseTo(finding.measure.depthErrorYards, 5);
      expect(stationMeasure(other).widthErrorYards).toBeCloseTo(finding.measure.widthErrorYards, 5);
    }
  });

  it("gives the same bytes again, and in any order of the marks", () => {
    const marks = marksOf(splitWide);
    const once = JSON.stringify(judge(splitWide).findings);
    expect(JSON.stringify(judge(splitWide).findings)).toBe(once);
    fc.assert(
      fc.property(fc.shuffledSubarray(marks, { minLength: marks.length }), (shuffled) => {
        expect(JSON.stringify(judge(splitWide, { marks: shuffled }).findings)).toBe(once);
      }),
      { seed: 4, numRuns: 25 },
    );
  });

  it("takes the same one of two backs who stand exactly level, in either order", () => {
    const level = { subject: inPlace.people["back"]!.subject, at: fieldPoint(27, 26) };
    const play = { ...inPlace, people: { ...inPlace.people, level } };
    const click = marksOf(play).find((mark) => mark.id === "back")!.click;
    const marks = marksOf(play).map((mark) => (mark.id === "level" ? { ...mark, click } : mark));
    const [one, other] = [marks, marks.toReversed()].map(
      (list) => findingOf(play, "ST-R-PRE", { marks: list }).markIds,
    );
    expect(one).toEqual(other);
  });
});

describe("what is missing", () => {
  it("cannot place the referee without a back, and takes the passer where there is no other", () => {
    const passerOnly = without(inPlace, "back");
    expect(findingOf(passerOnly, "ST-R-PRE").markIds).toEqual(["R", "passer"]);
    const finding = findingOf(without(passerOnly, "passer"), "ST-R-PRE");
    expect([finding.verdict, finding.score, finding.measure, finding.target]).toEqual([
      "cannot tell",
      null,
      null,
      null,
    ]);
    expect(finding.help).toBe("Add a mark on the deepest back of A.");
  });

  it.each(["R", "LJ", "FJ", "BJ"])("cannot tell of %s unmarked, and still shows where the book wants them", (who) => {
    const finding = judge(without(inPlace, who)).findings.find((one) => one.position === who)!;
    expect([finding.verdict, finding.help, finding.markIds]).toEqual(["cannot tell", `Mark ${who} in this frame.`, []]);
    expect(finding.target).toHaveLength(4);
  });

  it("judges nothing without stakes or with too few, and says which", () => {
    expect(judge(inPlace, { stakes: [] })).toEqual({
      survey: { kind: "none" },
      placed: [],
      unplaced: [],
      findings: [],
      looks: null,
    });
    const marks = marksOf(inPlace);
    const stakes = [
      {
        id: "s",
        gameId: "g",
        momentId: "m",
        kind: "point" as const,
        landmarkId: "near-sideline/L20",
        click: marks[0]!.click,
        raw: null,
        sigmaPx: 1.5,
      },
    ];
    const few = judge(inPlace, { stakes });
    expect([few.survey.kind, few.findings.length]).toEqual(["refused", 0]);
  });

  it("lists a mark above the horizon as unplaced, with the reason", () => {
    const marks = marksOf(inPlace).map((mark) =>
      mark.id === "LJ" ? { ...mark, click: { uPx: 900, vPx: -4000 } } : mark,
    );
    const judged = judge(inPlace, { marks });
    expect(judged.unplaced).toEqual([
      {
        markId: "LJ",
        subject: { kind: "official", position: "LJ" },
        message: expect.stringMatching(/above the horizon/u),
      },
    ]);
    expect(judged.placed).toHaveLength(marks.length - 1);
  });
});
