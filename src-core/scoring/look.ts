import type { FieldPoint } from "../field/units.ts";
import type { Phase } from "../game/records.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import type { Measured } from "./finding.ts";
import { central, lookSampleCount, type Official, sampleLooks, setEye } from "./look-samples.ts";
import { type LookStep, nearestOpening } from "./look-step.ts";
import {
  type Bodies,
  blankTerms,
  clearShareOf,
  everybodyBut,
  type Eye,
  type LookTerms,
  qualityOf,
  type Pair,
  sightOf,
  takeGap,
  takeOpenTerms,
  takeSight,
} from "./look-terms.ts";
import { type Matter, type MatterScene, mattersOf, type Responsible } from "./matters.ts";
import type { PlacedMark } from "./station.ts";

/** One official's look at one matter, as the marks read, with how sure of it the marks' errors leave one. */
export type Look = Readonly<LookTerms> & {
  readonly position: string;
  /** The official's mark. */
  readonly markId: string;
  readonly from: FieldPoint;
  /** The matter is this official's to watch. */
  readonly isWatcher: boolean;
  /** As the marks read, with the interval of their errors. */
  readonly qualityInterval: Measured;
  /** Mean over the marks' errors. */
  readonly expectedQuality: number;
  readonly probabilitySeen: number;
  /** That no credit is left for the angle, over the marks' errors. */
  readonly probabilityStraight: number;
  /** The nearest spot from which the matter is seen; null where it is seen already, or from no spot within reach. */
  readonly step: LookStep | null;
};

export type MatterLooks = {
  readonly matter: Matter;
  /** Who may have it: the positions it belongs to, or every position of the book. */
  readonly watchers: readonly string[];
  /** Whether the book gives it to them by name. */
  readonly isAssigned: boolean;
  /** Watchers without a mark on the ground: what they saw nobody can say. */
  readonly unmarked: readonly string[];
  /** Of every official who is marked, in the book's order. */
  readonly looks: readonly Look[];
  /** The watcher's look of the greatest quality, null when no watcher is marked. */
  readonly best: Look | null;
  /** That some watcher's quality reaches what counts as seen. */
  readonly probabilitySeen: number;
  /** Best quality of the watchers, over the marks' errors. */
  readonly expectedBest: number;
};

/** Of one official's own matters with two opponents. */
export type OfficialLooks = {
  readonly position: string;
  readonly own: number;
  readonly seen: number;
  readonly straightLined: number;
  /** The shortest step that would have opened one that was not seen, and which; null when there is none. */
  readonly step: (LookStep & { readonly matterId: string }) | null;
};

export type MomentLooks = {
  readonly rule: LookRule;
  readonly matters: readonly MatterLooks[];
  /**
   * Σ weight × best quality ÷ Σ weight, 0 to 1, as the marks read; the interval is that of the marks' errors, widened to
   * the reading where errors can only take away from it. Null when there is no matter or no official.
   */
  readonly coverage: Measured | null;
  readonly officials: readonly OfficialLooks[];
  /** Positions whose facing is not known: their looks are taken as turned to each matter, the best that they can be. */
  readonly facingUnknown: readonly string[];
};

/** Phases in which opponents can be in contact; before the snap there is nothing yet that could be missed. */
export function hasLooks(phase: Phase): boolean {
  return phase !== "pre-snap";
}

/** Every official's look at every matter of one moment, and what of it the crew has. Never depends on the marks' order. */
export function judgeLooks(input: {
  readonly rule: LookRule;
  /** The book's positions, in its order. */
  readonly positions: readonly string[];
  readonly placed: readonly PlacedMark[];
  readonly scene: MatterScene;
  /** Whose each matter is; without it every official may have every matter. */
  readonly responsible?: Responsible | undefined;
}): MomentLooks {
  const { rule, positions, scene, responsible } = input;
  const people = input.placed
    .filter(({ subject }) => subject.kind !== "ball")
    .toSorted((a, b) => (a.markId < b.markId ? -1 : 1));
  const indexOf = new Map(people.map(({ markId }, index) => [markId, index]));
  const matters = mattersOf(people, scene, rule.pairWithinYards, rule.weights);
  const pairs = matters.map(({ player, opponent }): Pair => {
    return { a: indexOf.get(player.markId) ?? -1, b: opponent ? (indexOf.get(opponent.markId) ?? -1) : -1 };
  });
  const officials = positions.flatMap((position): Official[] => {
    const self = people.findIndex(({ subject }) => subject.kind === "official" && subject.position === position);
    const mark = people[self];
    if (!mark) return [];
    const { NaN: unread } = Number;
    const eye: Eye = {
      x: unread,
      y: unread,
      self,
      facingX: unread,
      facingY: unread,
      facingKnown: mark.facing !== null,
    };
    return [{ position, mark, eye }];
  });
  const assigned = matters.map((matter) => responsible?.(matter) ?? []);
  const watchers = assigned.map((theirs) => (theirs.length > 0 ? theirs : positions));
  const isWatcher = matters.map((_, m) => officials.map(({ position }) => watchers[m]?.includes(position) ?? false));

  const bodies: Bodies = { x: new Float64Array(people.length), y: new Float64Array(people.length) };
  people.forEach(({ measured: { position } }, i) => {
    bodies.x[i] = position.xYards;
    bodies.y[i] = position.yYards;
  });
  const sight = sightOf(people.length);
  const readings = officials.map(({ mark, eye }) => {
    setEye(eye, bodies, mark.facing?.position.xYards, mark.facing?.position.yYards);
    takeSight(sight, eye, bodies);
    const others = everybodyBut(eye.self, people.length);
    return pairs.map((pair) => {
      const terms = blankTerms();
      takeOpenTerms(terms, eye, sight, pair, rule);
      takeGap(terms, sight, pair, rule.bodyRadiusYards);
      terms.clearShare = clearShareOf(sight, eye, pair, others, rule.bodyRadiusYards);
      terms.quality = qualityOf(terms);
      return terms;
    });
  });

  const sampled = sampleLooks(people, officials, pairs, isWatcher, matters, rule);
  const looksOf = (matter: Matter, m: number): Look[] => {
    const seenByOne = officials.some((_, o) => isWatcher[m]?.[o] && (readings[o]?.[m]?.quality ?? 0) >= rule.seenFrom);
    return officials.map(({ position, mark, eye }, o): Look => {
      const terms = readings[o]?.[m] ?? blankTerms();
      const mine = isWatcher[m]?.[o] ?? false;
      const look = o * matters.length + m;
      const interval = central(sampled.qualities[look]!);
      const isPair = matter.opponent !== null;
      const shut = isPair && mine && terms.quality < rule.seenFrom && (!seenByOne || terms.angleCredit === 0);
      return {
        ...terms,
        position,
        markId: mark.markId,
        from: mark.measured.position,
        isWatcher: mine,
        qualityInterval: holding(terms.quality, interval),
        expectedQuality: interval.value,
        probabilitySeen: (sampled.lookSeen[look] ?? 0) / lookSampleCount,
        probabilityStraight: isPair ? (sampled.straight[look] ?? 0) / lookSampleCount : 0,
        step: shut ? nearestOpening(eye, terms.facingCredit, bodies, pairs[m] ?? { a: -1, b: -1 }, rule, scene) : null,
      };
    });
  };
  const judged = matters.map((matter, m): MatterLooks => {
    const looks = looksOf(matter, m);
    const own = looks.filter((look) => look.isWatcher);
    return {
      matter,
      watchers: watchers[m] ?? [],
      isAssigned: (assigned[m] ?? []).length > 0,
      unmarked: (watchers[m] ?? []).filter((position) => !officials.some((one) => one.position === position)),
      looks,
      best: own.reduce<Look | null>((best, look) => (best === null || look.quality > best.quality ? look : best), null),
      probabilitySeen: (sampled.seen[m] ?? 0) / lookSampleCount,
      expectedBest: (sampled.best[m] ?? 0) / lookSampleCount,
    };
  });
  const whole = matters.reduce((sum, matter) => sum + matter.weight, 0);
  const value = judged.reduce((sum, { matter, best }) => sum + matter.weight * (best?.quality ?? 0), 0) / whole;
  return {
    rule,
    matters: judged,
    coverage: whole > 0 && officials.length > 0 ? holding(value, central(sampled.coverage)) : null,
    officials: officials.map(({ position }) => officialLooks(position, judged, rule)),
    facingUnknown: officials.flatMap(({ position, eye }) => (eye.facingKnown ? [] : [position])),
  };
}

function holding(value: number, { low, high }: Measured): Measured {
  return { value, low: Math.min(low, value), high: Math.max(high, value) };
}

function officialLooks(position: string, judged: readonly MatterLooks[], rule: LookRule): OfficialLooks {
  const own = judged.flatMap(({ matter, looks }) =>
    looks
      .filter((look) => look.position === position && look.isWatcher && matter.opponent !== null)
      .map((look) => ({ matterId: matter.id, look })),
  );
  let step: OfficialLooks["step"] = null;
  for (const { matterId, look } of own) {
    if (look.step && (step === null || look.step.yards < step.yards)) step = { ...look.step, matterId };
  }
  return {
    position,
    own: own.length,
    seen: own.filter(({ look }) => look.quality >= rule.seenFrom).length,
    straightLined: own.filter(({ look }) => look.angleCredit === 0).length,
    step,
  };
}
