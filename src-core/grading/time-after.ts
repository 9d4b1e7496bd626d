/** The later of now and a millisecond after each of some times, as ISO 8601 text. It reads and writes times and asks no clock. */
export function timeAfter(now: Date, earlier: readonly string[]): string {
  // oxlint-disable-next-line eslint/no-restricted-globals -- `now` is given; this only reads and writes instants
  const Instant = Date;
  return new Instant(Math.max(now.getTime(), ...earlier.map((at) => Instant.parse(at) + 1))).toISOString();
}
