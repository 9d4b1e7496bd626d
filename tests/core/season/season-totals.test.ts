import { describe, expect, it } from "vitest";
import { seededRandom } from "#core/field/random";
import { scales } from "#core/grading/scales";
import { adjustmentSentence } from "#core/season/adjustment";
import type { SeasonGrade } from "#core/season/season-grade";
import { type SeasonOptions, seasonTotals } from "#core/season/season-totals";
import { noticeLines } from "#core/season/season-words";
import { simulateSeason } from "./simulated-season.ts";

const [five, seven] = scales as unknown as [(typeof scales)[0], (typeof scales)[0]];

const options: SeasonOptions = {
  scale: five,
  gamesInOrder: Array.from({ length: 60 }, (_, game) => `g${String(game + 1).padStart(6, "0")}`),
  minimum: { grades: 2, games: 1, observers: 1 },
  topK: 3,
  seed: 1,
  draws: 2000,
};

const simulated = (seed: number, changes: { readonly step?: number | null; readonly games?: number } = {}) =>
  simulateSeason({
    seed,
    positions: ["R", "U"],
    criteria: ["station", "look"],
    officialsPerPosition: 8,
    observers: 6,
    games: changes.games ?? 40,
    playsPerGame: 8,
    gradesPerPlay: 3,
    sd: { official: 0.4, observer: 0.5, game: 0.2, play: 0.2, noise: 0.5 },
    step: changes.step === undefined ? 1 : changes.step,
  });

function shuffled<T>(values: readonly T[], seed: number): T[] {
  const random = seededRandom(seed);
  const all = [...values];
  for (let i = all.length - 1; i > 0; i--) {
    const j = random.below(i + 1);
    [all[i], all[j]] = [all[j]!, all[i]!];
  }
  return all;
}

describe("totals", () => {
  it.each([1, 2, 3])("have the same bytes for the same grades in any order (%d)", (seed) => {
    for (const step of [1, null]) {
      const grades: SeasonGrade[] = simulated(seed, { step }).grades.map((grade, index) =>
        index % 17 === 0 ? { ...grade, points: null } : index % 13 === 0 ? { ...grade, playId: null } : grade,
      );
      const one = JSON.stringify(seasonTotals(grades, options));
      expect(JSON.stringify(seasonTotals(shuffled(grades, seed + 50), options))).toBe(one);
      expect(JSON.stringify(seasonTotals(grades.toReversed(), options))).toBe(one);
    }
  });

  it("count what was graded, and leave out of the denominator what cannot be judged", () => {
    const { grades } = simulated(4);
    const first = grades[0]!;
    const mine = grades.filter(({ officialId }) => officialId === first.officialId);
    const totals = seasonTotals(
      [...grades, { ...first, points: null }, { ...first, officialId: "A", points: null }],
      options,
    );
    const total = totals.officials.find(({ officialId }) => officialId === first.officialId)!;
    expect(total.evidence).toEqual({
      grades: mine.length,
      plays: new Set(mine.map(({ gameId, playId }) => `${gameId}/${playId}`)).size,
      games: new Set(mine.map(({ gameId }) => gameId)).size,
      observers: new Set(mine.map(({ observerId }) => observerId)).size,
      cannotJudge: 1,
    });
    const mean = mine.reduce((sum, { points }) => sum + points, 0) / mine.length;
    expect(total.mean).toBeCloseTo(mean, 12);
    const squares = mine.reduce((sum, { points }) => sum + (points - mean) ** 2, 0);
    expect(total.spread).toBeCloseTo(Math.sqrt(squares / (mine.length - 1)), 12);
    const order = totals.officials.map(({ officialId, position }) => `${position}/${officialId}`);
    expect(order).toEqual(order.toSorted());
    const wholeGame = { ...first, playId: null };
    const withOne = seasonTotals([...grades, wholeGame], options).officials.find(
      ({ officialId }) => officialId === first.officialId,
    )!;
    expect([withOne.evidence.plays, withOne.evidence.grades]).toEqual([total.evidence.plays, mine.length + 1]);
    const unjudged = totals.officials.find(({ officialId }) => officialId === "A")!;
    expect([unjudged.evidence.cannotJudge, unjudged.mean, unjudged.adjusted]).toEqual([1, null, null]);
    expect([totals.grades, totals.cannotJudge]).toEqual([grades.length, 2]);
    const observer = totals.observers.find(({ observerId }) => observerId === first.observerId)!;
    expect(observer.cannotJudge).toBe(2);
    const given = new Set(
      grades.filter(({ observerId }) => observerId === first.observerId).map(({ points }) => points),
    );
    expect(observer.shareOfScale).toBe(given.size / 5);
  });

  it("turn round with the scale: the same people are best and strict when 1 to 5 becomes 5 to 1", () => {
    const { grades } = simulated(5);
    const one = seasonTotals(grades, options);
    const turned = grades.map((grade) => ({ ...grade, points: 6 - grade.points }));
    const other = seasonTotals(turned, { ...options, scale: { ...seven, least: 1, most: 5 } });
    for (const [index, { adjusted }] of one.officials.entries())
      expect(other.officials[index]!.adjusted!.value).toBeCloseTo(6 - adjusted!.value, 6);
    const ranks = ({ standings }: typeof one) => standings.map(({ places }) => places.map(({ rank }) => rank));
    expect(ranks(other)).toEqual(ranks(one));
    for (const [index, { severity }] of one.observers.entries())
      expect(other.observers[index]!.severity!.points).toBeCloseTo(severity!.points, 6);
  });

  it("shift with all grades, and nothing else moves", () => {
    const { grades } = simulated(6, { step: null });
    const [one, other] = [
      seasonTotals(grades, options),
      seasonTotals(
        grades.map((grade) => ({ ...grade, points: grade.points + 10 })),
        options,
      ),
    ];
    for (const [index, { adjusted, mean }] of one.officials.entries()) {
      expect(other.officials[index]!.mean).toBeCloseTo(mean! + 10, 9);
      expect(other.officials[index]!.adjusted!.value).toBeCloseTo(adjusted!.value + 10, 6);
      expect(other.officials[index]!.adjusted!.standardError).toBeCloseTo(adjusted!.standardError, 6);
      expect(other.officials[index]!.adjusted!.adjustment.shrinkage).toBeCloseTo(adjusted!.adjustment.shrinkage, 6);
    }
  });

  it("are withheld, and not ranked, below the minimum", () => {
    const { grades } = simulated(7);
    const few = grades
      .filter(({ officialId }) => officialId !== "R000001")
      .concat(grades.filter(({ officialId }) => officialId === "R000001").slice(0, 5));
    const totals = seasonTotals(few, { ...options, minimum: { grades: 20, games: 2, observers: 2 } });
    const total = totals.officials.find(({ officialId }) => officialId === "R000001")!;
    expect(total.adjusted).toBeNull();
    expect(total.withheld).toContain("5 of 20 grades");
    expect(total.mean).not.toBeNull();
    expect(totals.standings.flatMap(({ places }) => places).map(({ officialId }) => officialId)).not.toContain(
      "R000001",
    );
  });
});

describe("the adjustment", () => {
  it("is the sum of its parts, and leads from the mean to the adjusted value", () => {
    for (const { mean, adjusted } of seasonTotals(simulated(8).grades, options).officials) {
      const { change, observers, games, criteria, shrinkage } = adjusted!.adjustment;
      expect(observers + games + criteria + shrinkage).toBeCloseTo(change, 12);
      expect(mean! + change).toBeCloseTo(adjusted!.value, 12);
    }
  });

  /** The normal equations of the means: what is left of a position's grades adds up to 0. */
  it("takes as much for chance from some as it gives to others of the position", () => {
    const { officials } = seasonTotals(simulated(8).grades, options);
    for (const position of ["R", "U"]) {
      const here = officials.filter((one) => one.position === position);
      const sum = here.reduce(
        (all, { evidence, adjusted }) => all + evidence.grades * adjusted!.adjustment.shrinkage,
        0,
      );
      expect(Math.abs(sum)).toBeLessThan(1e-8);
      expect(Math.max(...here.map(({ adjusted }) => Math.abs(adjusted!.adjustment.shrinkage)))).toBeGreaterThan(0.01);
    }
  });

  it("raises who was graded on hard criteria only", () => {
    const grades = simulated(13, { step: null })
      .grades.map((grade) => ({ ...grade, points: grade.points - (grade.criterion === "look" ? 1 : 0) }))
      .filter(({ officialId, criterion }) => officialId !== "U000003" || criterion === "look");
    const { adjustment, sentence } = seasonTotals(grades, options).officials.find(
      ({ officialId }) => officialId === "U000003",
    )!.adjusted!;
    // The other half of the grades is a point higher.
    expect(adjustment.criteria).toBeGreaterThan(0.4);
    expect(adjustment.criteria).toBeLessThan(0.6);
    expect(sentence).toContain("raded on harder criteria than others: +0.");
  });

  /** Two officials alike; one is seen by observers who give a point less. */
  it("raises whom only strict observers saw", () => {
    const random = seededRandom(3);
    const grades: SeasonGrade[] = [];
    for (let game = 0; game < 40; game++)
      for (let official = 0; official < 6; official++)
        for (let play = 0; play < 4; play++) {
          const strict = official === 0 || (official > 1 && game % 2 === 0);
          const observer = (strict ? "strict" : "mild") + (game % 4 < 2 ? "1" : "2");
          const points = 3.5 + (strict ? -0.5 : 0.5) + (official - 2.5) * 0.02 + 0.3 * random.normal();
          grades.push({
            officialId: `x${official}`,
            position: "R",
            criterion: "look",
            observerId: observer,
            gameId: `g${game}`,
            playId: `p${play}`,
            points,
          });
        }
    const { officials, observers } = seasonTotals(grades, options);
    const [low, high] = [officials[0]!, officials[1]!];
    expect(high.mean! - low.mean!).toBeGreaterThan(0.8);
    expect(Math.abs(high.adjusted!.value - low.adjusted!.value)).toBeLessThan(0.15);
    expect(low.adjusted!.sentence).toMatch(/^Seen by 2 strict observers: \+0\.[45]\d/);
    expect(high.adjusted!.sentence).toMatch(/^Seen by 2 lenient observers: −0\.[45]\d/);
    for (const { observerId, severity } of observers)
      expect(Math.sign(severity!.points)).toBe(observerId.startsWith("strict") ? 1 : -1);
  });

  it("is told in words, the largest part first, and by the scale's own direction", () => {
    const adjustment = { change: 0.35, observers: 0.3, games: 0.1, criteria: 0.001, shrinkage: -0.05 };
    expect(adjustmentSentence(adjustment, 2, { best: "most", digits: 2 })).toBe(
      "Seen by 2 strict observers: +0.30; in games where all were graded worse than usual: +0.10; drawn towards the mean: −0.05.",
    );
    expect(adjustmentSentence(adjustment, 1, { best: "least", digits: 1 })).toBe(
      "Seen by 1 lenient observer: +0.3; in games where all were graded better than usual: +0.1; drawn towards the mean: −0.1.",
    );
    expect(
      adjustmentSentence({ change: 0, observers: 0, games: 0, criteria: 0, shrinkage: 0 }, 1, {
        best: "most",
        digits: 2,
      }),
    ).toBe("Nothing to adjust.");
  });
});

describe("observer groups with no officials in common", () => {
  const { grades } = simulated(9);
  const half = (id: string) => Number(id.slice(-1)) % 2;
  const apart = grades.filter(({ officialId, observerId }) => half(officialId) === half(observerId));
  const totals = seasonTotals(apart, options);

  it("are named, and nobody is ranked across them", () => {
    expect(totals.groups.map(({ observers }) => observers)).toEqual([
      ["o000001", "o000003", "o000005"],
      ["o000002", "o000004", "o000006"],
    ]);
    for (const { places } of totals.standings) {
      expect(new Set(places.map(({ officialId }) => half(officialId))).size).toBe(1);
      expect(places.reduce((sum, { inTopK }) => sum + inTopK, 0)).toBeCloseTo(Math.min(3, places.length), 9);
    }
    expect(totals.standings.map(({ position, group }) => `${position} ${group}`)).toEqual([
      "R group 1",
      "R group 2",
      "U group 1",
      "U group 2",
    ]);
    // An observer is named as a reader knows them, never by an id.
    expect(noticeLines(totals, (id) => `Observer ${Number(id.slice(1))}`)[0]).toContain(
      "group 1 (Observer 1, Observer 3, Observer 5); group 2 (Observer 2, Observer 4, Observer 6)",
    );
  });

  it("are one again with a single grade across", () => {
    const across = grades.find(({ officialId, observerId }) => half(officialId) !== half(observerId))!;
    expect(seasonTotals([...apart, across], options).groups).toHaveLength(1);
  });
});

describe("trends and drifts", () => {
  const { grades } = simulated(10, { step: null });
  const gameNumber = (id: string) => Number(id.slice(1));

  it("find an official who gains half a point a game, and an observer who grows stricter", () => {
    const mine = [
      ...new Set(grades.filter(({ officialId }) => officialId === "U000002").map(({ gameId }) => gameId)),
    ].sort();
    const better = grades.map((grade) =>
      grade.officialId === "U000002" ? { ...grade, points: grade.points + 0.5 * mine.indexOf(grade.gameId) } : grade,
    );
    const { trend, trends } = seasonTotals(better, options).officials.find(
      ({ officialId }) => officialId === "U000002",
    )!;
    expect(trend!.games).toBe(mine.length);
    expect(trend!.interval.low).toBeLessThan(0.5);
    expect(trend!.interval.low).toBeGreaterThan(0);
    expect(trend!.interval.high).toBeGreaterThan(0.5);
    expect(trends.map(({ criterion }) => criterion)).toEqual(["look", "station"]);
    const stricter = grades.map((grade) =>
      grade.observerId === "o000003" ? { ...grade, points: grade.points - 0.05 * gameNumber(grade.gameId) } : grade,
    );
    expect(seasonTotals(stricter, options).observers[2]!.drift!.interval.low).toBeGreaterThan(0);
    expect(
      seasonTotals(grades, { ...options, gamesInOrder: options.gamesInOrder.toReversed() }).observers[2]!.drift!.slope,
    ).toBeCloseTo(-seasonTotals(grades, options).observers[2]!.drift!.slope, 9);
  });

  it("of an official do not come from observers: first strict ones, then mild ones", () => {
    const random = seededRandom(6);
    const made: SeasonGrade[] = [];
    for (let game = 0; game < 30; game++)
      for (let official = 0; official < 6; official++)
        for (let play = 0; play < 4; play++) {
          const isStrict = official === 0 ? game < 15 : game % 2 === 0;
          made.push({
            officialId: `x${official}`,
            position: "R",
            criterion: "look",
            observerId: isStrict ? "strict" : "mild",
            gameId: options.gamesInOrder[game]!,
            playId: `p${play}`,
            points: 3 + (isStrict ? -0.6 : 0.6) + 0.2 * random.normal(),
          });
        }
    const { interval } = seasonTotals(made, options).officials[0]!.trend!;
    expect([Math.sign(interval.low), Math.sign(interval.high)]).toEqual([-1, 1]);
    expect(interval.high).toBeLessThan(0.02);
  });

  it("are not told of games without a place in the order", () => {
    const { officials, observers } = seasonTotals(grades, {
      ...options,
      gamesInOrder: ["g000001", "g000002", "g000003"],
    });
    expect(officials.every(({ trend }) => trend === null)).toBe(true);
    expect(observers.every(({ drift }) => drift === null)).toBe(true);
    expect(officials.every(({ adjusted }) => adjusted !== null)).toBe(true);
  });
});

describe("thin seasons", () => {
  const one: SeasonGrade = {
    officialId: "x",
    position: "R",
    criterion: "look",
    observerId: "o",
    gameId: "g",
    playId: "p",
    points: 4,
  };

  it("say why there is no value: no grades, one, all the same", () => {
    expect(seasonTotals([], options)).toMatchObject({
      grades: 0,
      model: null,
      officials: [],
      standings: [],
      groups: [],
    });
    for (const grades of [[one], [one, { ...one, playId: "q" }, { ...one, officialId: "y" }]]) {
      const totals = seasonTotals(grades, options);
      expect(totals.model).toBeNull();
      expect(totals.officials.every(({ adjusted, withheld }) => adjusted === null && withheld !== null)).toBe(true);
      expect(totals.notices).toEqual(["All grades are the same, or too few, to estimate anything from."]);
    }
  });

  it("with one observer tell no severity, and say that it is in every value", () => {
    const grades = simulated(11).grades.map((grade) => ({ ...grade, observerId: "only" }));
    const totals = seasonTotals(grades, options);
    expect(totals.observers[0]!.severity).toBeNull();
    expect(totals.model!.components.map(({ name }) => name)).toEqual(["official", "game", "play"]);
    expect(totals.notices).toContain(
      "With one observer, severity cannot be told from the mean, and is in every value.",
    );
  });

  it("leave plays out of the model until enough of them were graded twice", () => {
    const names = (games: number) =>
      seasonTotals(simulated(12, { games }).grades, options).model!.components.map(({ name }) => name);
    expect(names(3)).not.toContain("play");
    expect(names(6)).toContain("play");
    // Many plays, but for ten each graded once.
    const seen = new Set<string>();
    const once = simulated(12).grades.filter(({ gameId, playId }) => seen.size < seen.add(`${gameId}/${playId}`).size);
    expect(once.length).toBeGreaterThan(200);
    const components = seasonTotals([...once, ...once.slice(0, 10)], options).model!.components.map(({ name }) => name);
    expect(components).toEqual(["official", "observer", "game"]);
  });

  it("report a variance of 0 as that", () => {
    const random = seededRandom(5);
    const grades: SeasonGrade[] = Array.from({ length: 200 }, (_, row) => ({
      ...one,
      officialId: `x${row % 5}`,
      observerId: `o${Math.floor(row / 5) % 4}`,
      gameId: `g${Math.floor(row / 20)}`,
      playId: null,
      points: 3 + random.normal(),
    }));
    const totals = seasonTotals(grades, options);
    const atZero = totals.model!.components.filter(({ isAtBoundary }) => isAtBoundary);
    expect(atZero.length).toBeGreaterThan(0);
    for (const { name, variance } of atZero) {
      expect(variance).toBe(0);
      expect(totals.notices).toContain(
        `By these grades ${name}s do not differ beyond chance: that variance is estimated as 0.`,
      );
    }
  });
});
