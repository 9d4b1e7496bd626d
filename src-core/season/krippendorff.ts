import { type BootstrapDraws, type BootstrapInterval, percentileBootstrap } from "./bootstrap.ts";

export type Measurement = "nominal" | "ordinal" | "interval" | "ratio";

/** What observers said of each unit (a play, a cell of a sheet): a row a unit, null where somebody said nothing. */
export type RatedUnits = readonly (readonly (number | null)[])[];

export type Coincidences = {
  /** The values that were given in units with two at least, the least first. */
  readonly values: readonly number[];
  /** How often two values coincide in a unit, each unit weighing as many values as it has. */
  readonly matrix: readonly (readonly number[])[];
  readonly marginals: readonly number[];
  /** Values that have another to be held against. */
  readonly pairable: number;
};

export type KrippendorffAlpha = {
  readonly alpha: number;
  readonly units: number;
  readonly pairable: number;
  /** Null: no draw had a value. */
  readonly interval: BootstrapInterval | null;
};

/** A unit as places among `values`. */
type PlacedUnit = readonly number[];

function addUnit(matrix: Float64Array, size: number, unit: PlacedUnit): void {
  const share = 1 / (unit.length - 1);
  for (const [a, i] of unit.entries()) for (const [b, j] of unit.entries()) if (a !== b) matrix[i * size + j]! += share;
}

function marginalsOf(matrix: Float64Array, size: number): Float64Array {
  return Float64Array.from({ length: size }, (_, i) =>
    matrix.subarray(i * size, (i + 1) * size).reduce((sum, count) => sum + count, 0),
  );
}

export function coincidences(units: RatedUnits): Coincidences {
  const { values, placed } = placedUnits(units);
  const size = values.length;
  const matrix = new Float64Array(size * size);
  for (const unit of placed) addUnit(matrix, size, unit);
  return {
    values,
    matrix: values.map((_, i) => [...matrix.subarray(i * size, (i + 1) * size)]),
    marginals: [...marginalsOf(matrix, size)],
    pairable: placed.reduce((sum, unit) => sum + unit.length, 0),
  };
}

/** Units with one value or none drop out: they say nothing of agreement. `numbers` are those of the units that stay. */
function placedUnits(units: RatedUnits): {
  readonly values: number[];
  readonly placed: PlacedUnit[];
  readonly numbers: number[];
} {
  const given = units.map((unit) => unit.filter((value) => value !== null));
  const numbers = [...given.keys()].filter((unit) => given[unit]!.length > 1);
  const values = [...new Set(numbers.flatMap((unit) => given[unit]!))].sort((a, b) => a - b);
  const placeOf = new Map(values.map((value, place) => [value, place]));
  return { values, placed: numbers.map((unit) => given[unit]!.map((value) => placeOf.get(value)!)), numbers };
}

/** Squared difference of two values by the level of measurement; the ordinal one counts the values between them. */
function squaredDifference(
  measurement: Measurement,
  values: readonly number[],
  upTo: Float64Array,
  marginals: Float64Array,
  i: number,
  j: number,
): number {
  if (i === j) return 0;
  const [a, b] = [values[i]!, values[j]!];
  switch (measurement) {
    case "nominal":
      return 1;
    case "ordinal": {
      const [low, high] = i < j ? [i, j] : [j, i];
      // Half of each end, and all between.
      return (upTo[high]! - upTo[low]! + (marginals[low]! - marginals[high]!) / 2) ** 2;
    }
    case "interval":
      return (a - b) ** 2;
    case "ratio":
      return ((a - b) / (a + b)) ** 2;
  }
}

function alphaOf(matrix: Float64Array, values: readonly number[], measurement: Measurement): number | null {
  const size = values.length;
  const marginals = marginalsOf(matrix, size);
  const upTo = marginals.slice();
  for (let i = 1; i < size; i++) upTo[i]! += upTo[i - 1]!;
  const pairable = upTo[size - 1] ?? 0;
  let observed = 0;
  let expected = 0;
  for (let i = 0; i < size; i++)
    for (let j = 0; j < i; j++) {
      const square = squaredDifference(measurement, values, upTo, marginals, i, j);
      observed += matrix[i * size + j]! * square;
      expected += marginals[i]! * marginals[j]! * square;
    }
  return expected > 0 ? 1 - ((pairable - 1) * observed) / expected : null;
}

/**
 * Krippendorff's alpha (Krippendorff 2011, Computing Krippendorff's alpha-reliability): 1 is perfect agreement, 0 what
 * chance gives. Values of the ratio level may not be negative.
 *
 * The interval resamples units with the given seed; where several units belong together (cells of one play), `clusterOf`
 * says to what, by the unit's number, and they are drawn together: alike as they are, they tell less than as many others.
 *
 * Null when no unit has two values, or all values are the same: without variation agreement means nothing.
 */
export function krippendorffAlpha(
  units: RatedUnits,
  measurement: Measurement,
  draws: BootstrapDraws,
  clusterOf: (unit: number) => string | number = (unit) => unit,
): KrippendorffAlpha | null {
  const { values, placed, numbers } = placedUnits(units);
  const size = values.length;
  const clusters = [...Map.groupBy(placed.keys(), (at) => clusterOf(numbers[at]!)).values()];
  const alphaOfCases = (cases: Int32Array) => {
    const matrix = new Float64Array(size * size);
    for (const cluster of cases) for (const unit of clusters[cluster]!) addUnit(matrix, size, placed[unit]!);
    return alphaOf(matrix, values, measurement);
  };
  const alpha = alphaOfCases(Int32Array.from(clusters, (_, cluster) => cluster));
  if (alpha === null) return null;
  return {
    alpha,
    units: placed.length,
    pairable: placed.reduce((sum, unit) => sum + unit.length, 0),
    interval: percentileBootstrap(clusters.length, alphaOfCases, draws),
  };
}
