import { sampleMark } from "../field/mark.ts";
import { normalPairs, seededRandom } from "../field/random.ts";
import type { FieldPoint } from "../field/units.ts";
import type { Phase } from "../game/records.ts";
import type { LookRule } from "../mechanics/watch-rules.ts";
import { type Measured, measuredFrom } from "./finding.ts";
import { type LookStep, nearestOpening } from "./look-step.ts";
import {
  bearingsFor,
  type Bodies,
  blankTerms,
  clearShareOf,
  type Eye,
  type LookTerms,
  openCredit,
  type Pair,
  takeBearings,
  takeOpenTerms,
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
  readonly qualityInterval: Measured;
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

/**
 * Samples of the marks. The error of a probability is at most 3.2 % at one standard deviation, and 2.5 % at the book's
 * limits of 0.2 and 0.8: a moment must be worked out while a mark is dragged.
 */
export const lookSampleCount = 256;

const streams: Float64Array[] = [];
function stream(number: number): Float64Array {
  return (streams[number] ??= normalPairs(seededRandom(0x100c + number), lookSampleCount));
}

/** Phases in which opponents can be in contact; before the snap there is nothing yet that could be missed. */
export function hasLooks(phase: Phase): boolean {
  return phase !== "pre-snap";
}

type Official = { readonly position: string; readonly mark: PlacedMark; readonly eye: Eye };

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
  const matters = mattersOf(people, scene, rule.pairWithinYards);
  const pairs = matters.map(({ player, opponent }): Pair => {
    return { a: indexOf.get(player.markId) ?? -1, b: opponent ? (indexOf.get(opponent.markId) ?? -1) : -1 };
  });
  const officials = positions.flatMap((position): Official[] => {
    const self = people.findIndex(({ subject }) => subject.kind === "official" && subject.position === position);
    const mark = people[self];
    if (!mark) return [];
    const eye: Eye = { x: 0, y: 0, self, facingX: 0, facingY: 0, facingKnown: mark.facing !== null };
    return [{ position, mark, eye }];
  });
  const watchers = matters.map((matter) => {
    const theirs = responsible?.(matter) ?? [];
    return theirs.length > 0 ? theirs : positions;
  });
  const isWatcher = matters.map((_, m) => officials.map(({ position }) => watchers[m]?.includes(position) ?? false));

  const bodies: Bodies = { x: new Float64Array(people.length), y: new Float64Array(people.length) };
  people.forEach(({ measured: { position } }, i) => {
    bodies.x[i] = position.xYards;
    bodies.y[i] = position.yYards;
  });
  const bearings = bearingsFor(people.length);
  const readings = officials.map(({ mark, eye }) => {
    setEye(eye, bodies, mark.facing?.position.xYards, mark.facing?.position.yYards);
    takeBearings(bearings, eye, bodies, rule.bodyRadiusYards);
    return pairs.map((pair) => {
      const terms = blankTerms();
      takeOpenTerms(terms, eye, bodies, pair, rule);
      terms.clearShare = clearShareOf(bearings, eye, bodies, pair);
      terms.quality = openCredit(terms) * terms.clearShare;
      return terms;
    });
  });

  const sampled = sampleLooks(people, officials, pairs, isWatcher, matters, rule);
  const looksOf = (matter: Matter, m: number): Look[] => {
    const seenByOne = officials.some((_, o) => isWatcher[m]?.[o] && (readings[o]?.[m]?.quality ?? 0) >= rule.seenFrom);
    return officials.map(({ position, mark, eye }, o): Look => {
      const terms = readings[o]?.[m] ?? blankTerms();
      const mine = isWatcher[m]?.[o] ?? false;
      const { qualities, seen, straight } = sampled.looks[o * matters.length + m] ?? noSamples;
      const isPair = matter.opponent !== null;
      const shut = isPair && mine && terms.quality < rule.seenFrom && (!seenByOne || terms.angleCredit === 0);
      return {
        ...terms,
        position,
        markId: mark.markId,
        from: mark.measured.position,
        isWatcher: mine,
        qualityInterval: holding(terms.quality, measuredFrom(qualities)),
        probabilitySeen: seen / lookSampleCount,
        probabilityStraight: isPair ? straight / lookSampleCount : 0,
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
      unmarked: (watchers[m] ?? []).filter((position) => !officials.some((one) => one.position === position)),
      looks,
      best: own.reduce<Look | null>((best, look) => (best === null || look.quality > best.quality ? look : best), null),
      probabilitySeen: (sampled.seen[m] ?? 0) / lookSampleCount,
      expectedBest: (sampled.best[m] ?? 0) / lookSampleCount,
    };
  });
  const weightOf = (matter: Matter) => matter.weight;
  const whole = matters.reduce((sum, matter) => sum + weightOf(matter), 0);
  const value = judged.reduce((sum, { matter, best }) => sum + weightOf(matter) * (best?.quality ?? 0), 0) / whole;
  return {
    rule,
    matters: judged,
    coverage: whole > 0 && officials.length > 0 ? holding(value, measuredFrom(sampled.coverage)) : null,
    officials: officials.map(({ position }) => officialLooks(position, judged, rule)),
    facingUnknown: officials.flatMap(({ position, eye }) => (eye.facingKnown ? [] : [position])),
  };
}

const noSamples: LookSamples = { qualities: new Float64Array(1), seen: 0, straight: 0 };

function holding(value: number, { low, high }: Measured): Measured {
  return { value, low: Math.min(low, value), high: Math.max(high, value) };
}

function setEye(eye: Eye, { x, y }: Bodies, facingX: number | undefined, facingY: number | undefined): void {
  eye.x = x[eye.self] ?? 0;
  eye.y = y[eye.self] ?? 0;
  if (facingX === undefined || facingY === undefined) return;
  eye.facingX = facingX - eye.x;
  eye.facingY = facingY - eye.y;
}

type LookSamples = { qualities: Float64Array; seen: number; straight: number };

type Sampled = {
  /** By official, then by matter. */
  readonly looks: readonly LookSamples[];
  /** By matter: samples in which some watcher saw it, and the sum of the best quality. */
  readonly seen: Float64Array;
  readonly best: Float64Array;
  readonly coverage: Float64Array;
};

/** The same looks over the marks' errors: every mark and every facing its own stream, numbered by the order of ids. */
function sampleLooks(
  people: readonly PlacedMark[],
  officials: readonly Official[],
  pairs: readonly Pair[],
  isWatcher: readonly (readonly boolean[])[],
  matters: readonly Matter[],
  rule: LookRule,
): Sampled {
  const places = people.map(({ measured }, i) => sampleMark(measured, stream(2 * i)));
  const facings = officials.map(({ mark, eye }) =>
    mark.facing ? sampleMark(mark.facing, stream(2 * eye.self + 1)) : null,
  );
  const looks = officials.flatMap(() =>
    pairs.map((): LookSamples => ({ qualities: new Float64Array(lookSampleCount), seen: 0, straight: 0 })),
  );
  const seen = new Float64Array(pairs.length);
  const best = new Float64Array(pairs.length);
  const coverage = new Float64Array(lookSampleCount);
  const bestHere = new Float64Array(pairs.length);
  const bodies: Bodies = { x: new Float64Array(people.length), y: new Float64Array(people.length) };
  const bearings = bearingsFor(people.length);
  const terms = blankTerms();
  const whole = matters.reduce((sum, matter) => sum + matter.weight, 0);
  for (let s = 0; s < lookSampleCount; s++) {
    for (let i = 0; i < people.length; i++) {
      bodies.x[i] = places[i]?.[2 * s] ?? 0;
      bodies.y[i] = places[i]?.[2 * s + 1] ?? 0;
    }
    bestHere.fill(0);
    for (let o = 0; o < officials.length; o++) {
      const eye = officials[o]!.eye;
      setEye(eye, bodies, facings[o]?.[2 * s], facings[o]?.[2 * s + 1]);
      let hasBearings = false;
      for (let m = 0; m < pairs.length; m++) {
        const pair = pairs[m]!;
        takeOpenTerms(terms, eye, bodies, pair, rule);
        const look = looks[o * pairs.length + m]!;
        if (terms.angleCredit === 0) look.straight++;
        let quality = openCredit(terms);
        if (quality > 0) {
          if (!hasBearings) takeBearings(bearings, eye, bodies, rule.bodyRadiusYards);
          hasBearings = true;
          quality *= clearShareOf(bearings, eye, bodies, pair);
        }
        look.qualities[s] = quality;
        if (quality >= rule.seenFrom) look.seen++;
        if (isWatcher[m]?.[o] && quality > (bestHere[m] ?? 0)) bestHere[m] = quality;
      }
    }
    let covered = 0;
    for (let m = 0; m < pairs.length; m++) {
      const quality = bestHere[m] ?? 0;
      best[m] = (best[m] ?? 0) + quality;
      if (quality >= rule.seenFrom) seen[m] = (seen[m] ?? 0) + 1;
      covered += (matters[m]?.weight ?? 0) * quality;
    }
    coverage[s] = covered / whole;
  }
  return { looks, seen, best, coverage };
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
