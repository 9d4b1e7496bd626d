import { seededRandom } from "#core/field/random";
import type { SeasonGrade } from "#core/season/season-grade";

/** A season that never was: everybody in it is a number, and what is true of them is known. */
export type SimulatedSeason = {
  readonly grades: readonly (SeasonGrade & { readonly points: number })[];
  /** The true mean of each official at their position, in points. */
  readonly official: ReadonlyMap<string, number>;
  /** What each observer adds to every grade. */
  readonly observer: ReadonlyMap<string, number>;
};

export type SeasonPlan = {
  readonly seed: number;
  readonly positions: readonly string[];
  readonly criteria: readonly string[];
  readonly officialsPerPosition: number;
  readonly observers: number;
  readonly games: number;
  readonly playsPerGame: number;
  readonly gradesPerPlay: number;
  /** Of each effect, in points. */
  readonly sd: {
    readonly official: number;
    readonly observer: number;
    readonly game: number;
    readonly play: number;
    readonly noise: number;
  };
  /** Grades are rounded to it and held to 1 to 5; null leaves them as they fall. */
  readonly step: number | null;
};

export const sevenPositions = ["R", "U", "DJ", "LJ", "FJ", "SJ", "BJ"] as const;

const named = (letter: string, index: number) => `${letter}${String(index + 1).padStart(6, "0")}`;

/** Each game has one official a position and one or two observers, who share its grades between them. */
export function simulateSeason(plan: SeasonPlan): SimulatedSeason {
  const random = seededRandom(plan.seed);
  const { sd } = plan;
  const draw = (count: number, spread: number) => Array.from({ length: count }, () => spread * random.normal());
  const ofOfficial = plan.positions.map(() => draw(plan.officialsPerPosition, sd.official));
  const ofObserver = draw(plan.observers, sd.observer);
  const meanOf = plan.positions.map((_, position) =>
    plan.criteria.map((__, criterion) => 3 + 0.1 * ((position + criterion) % 3)),
  );
  const grades: (SeasonGrade & { points: number })[] = [];
  for (let game = 0; game < plan.games; game++) {
    const crew = plan.positions.map(() => random.below(plan.officialsPerPosition));
    const watching = [random.below(plan.observers), random.below(plan.observers)];
    const ofGame = sd.game * random.normal();
    for (let play = 0; play < plan.playsPerGame; play++) {
      const ofPlay = sd.play * random.normal();
      for (let grade = 0; grade < plan.gradesPerPlay; grade++) {
        const position = random.below(plan.positions.length);
        const criterion = random.below(plan.criteria.length);
        const observer = watching[random.below(2)]!;
        const official = crew[position]!;
        const exact =
          meanOf[position]![criterion]! +
          ofOfficial[position]![official]! +
          ofObserver[observer]! +
          ofGame +
          ofPlay +
          sd.noise * random.normal();
        const points = plan.step === null ? exact : Math.min(5, Math.max(1, plan.step * Math.round(exact / plan.step)));
        grades.push({
          officialId: named(plan.positions[position]!, official),
          position: plan.positions[position]!,
          criterion: plan.criteria[criterion]!,
          observerId: named("o", observer),
          gameId: named("g", game),
          playId: named("p", play),
          points,
        });
      }
    }
  }
  const official = new Map<string, number>();
  for (const [position, effects] of ofOfficial.entries()) {
    const mean = meanOf[position]!.reduce((sum, value) => sum + value, 0) / plan.criteria.length;
    for (const [index, effect] of effects.entries())
      official.set(named(plan.positions[position]!, index), mean + effect);
  }
  return { grades, official, observer: new Map(ofObserver.map((effect, index) => [named("o", index), effect])) };
}
