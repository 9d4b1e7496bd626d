/** What a process ends with that ran to its end and missed a goal: one that broke off ends with 1. */
export const missedGoal = 3;

/** One figure of a benchmark and the goal it is held to. */
export function benchLine(name: string, value: number, unit: string, op: "<=" | ">=", limit: number): void {
  const passes = op === "<=" ? value <= limit : value >= limit;
  if (!passes) process.exitCode = missedGoal;
  const shown = Math.abs(value) >= 100 ? value.toFixed(0) : value.toPrecision(3);
  console.log(`BENCH ${name} ${shown} ${unit} goal ${op} ${limit} ${passes ? "pass" : "fail"}`);
}
