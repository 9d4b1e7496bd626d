/**
 * Lengths as people on a field write and say them. Yards inside; feet and inches, or whole yards and a fraction, outside.
 */

const fractionDenominators = [2, 3, 4, 8, 9] as const;

/** "53 1/3", "8", "17.65": yards with a fraction where one of the usual ones is exact, else up to three decimals. */
export function yardsText(yards: number): string {
  const whole = Math.floor(yards + 1e-9);
  const rest = yards - whole;
  if (rest < 1e-9) return String(whole);
  for (const below of fractionDenominators) {
    const above = Math.round(rest * below);
    if (Math.abs(rest - above / below) < 1e-9) return `${whole === 0 ? "" : `${whole} `}${above}/${below}`;
  }
  return String(Math.round(yards * 1000) / 1000);
}

/** "53 ft 4 in", "60 ft", to the nearest half inch. */
export function feetText(yards: number): string {
  const halves = Math.round(yards * 72);
  const feet = Math.floor(halves / 24);
  const inches = (halves - 24 * feet) / 2;
  return inches === 0 ? `${feet} ft` : `${feet} ft ${inches} in`;
}

/** Yards out of "53 1/3", "53.3", "53,3" or "1/2"; null for anything else. */
export function readYards(text: string): number | null {
  const trimmed = text.trim();
  const mixed = /^(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)$/u.exec(trimmed);
  if (mixed) {
    const [, whole = "0", above = "", below = ""] = mixed;
    return Number(below) === 0 ? null : Number(whole) + Number(above) / Number(below);
  }
  return /^\d+(?:[.,]\d+)?$/u.test(trimmed) ? Number(trimmed.replace(",", ".")) : null;
}
