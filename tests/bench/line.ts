/** One figure of a benchmark and the goal it is held to; a missed goal makes the process end with 1. */
export function benchLine(name: string, value: number, unit: string, op: "<=" | ">=", limit: number): void {
  const passes = op === "<=" ? value <= limit : value >= limit;
  if (!passes) process.exitCode = 1;
  const shown = Math.abs(value) >= 100 ? value.toFixed(0) : value.toPrecision(3);
  console.log(`BENCH ${name} ${shown} ${unit} goal ${op} ${limit} ${passes ? "pass" : "fail"}`);
}
