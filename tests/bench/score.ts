/**
 * Looks: agreement with a general geometry library, and moments a second: `node tests/bench/score.ts`.
 *
 * A moment is a crew and two teams laid out around the ball and seen from a press box, read once from clicks; what is
 * timed is everything that follows from the places: matters, looks with their samples, coverage, steps and findings.
 */
import { heldToLibrary } from "../core/scoring/look-scenes.ts";
import { crowdedMoments } from "../core/scoring/look-crowds.ts";
import { benchLine } from "./line.ts";

function momentsPerSecond(officials: number, perSide: number): number {
  const moments = crowdedMoments(officials, perSide, 24);
  const rates: number[] = [];
  for (let round = 0; round < 30; round++) {
    const start = performance.now();
    for (const judge of moments) judge();
    rates.push((moments.length / (performance.now() - start)) * 1000);
  }
  // The first rounds run before the compilers have settled.
  const settled = rates.slice(5).toSorted((a, b) => a - b);
  return settled[Math.floor(settled.length / 2)]!;
}

export function bench(): void {
  const { worst } = heldToLibrary(10_000);
  benchLine("look-angle-over-library", worst.angleDegrees, "deg", "<=", 1e-6);
  benchLine("look-gap-over-library", worst.gapDegrees, "deg", "<=", 1e-6);
  benchLine("look-clear-share-over-library", worst.clearShare, "share", "<=", 1e-5);
  benchLine("look-moments-4-officials-16-players", momentsPerSecond(4, 8), "1/s", ">=", 500);
  benchLine("look-moments-7-officials-22-players", momentsPerSecond(7, 11), "1/s", ">=", 200);
}

if (import.meta.main) bench();
