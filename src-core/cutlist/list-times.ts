/** How the times of a list are written: as seconds or by the clock, or as frames counted at a rate. */
export type TimeReading =
  | { readonly kind: "clock" }
  /** `perSec` frames a second, the first of the film being frame 0. */
  | { readonly kind: "frames"; readonly perSec: number };

export const byClock: TimeReading = { kind: "clock" };

/** Longer than any film of a game: a date or a wrong column is not taken for a time. Seconds. */
const mostSec = 200_000;

/** Seconds of the film; null where the word is no time. */
export function readTime(word: string, reading: TimeReading = byClock): number | null {
  const sec = reading.kind === "frames" ? byFrames(word, reading.perSec) : bySeconds(word);
  return sec !== null && sec <= mostSec ? sec : null;
}

/** From "12.5", "1:04.27" or "0:01:04.270", with a point or a comma; what stands right of a colon is below sixty. */
function bySeconds(word: string): number | null {
  const found = /^(?:(?:(\d+):)?(\d+):)?(\d+(?:[.,]\d+)?)$/u.exec(word);
  if (!found) return null;
  const [hours, minutes, seconds] = [found[1], found[2], found[3]].map((part) =>
    part === undefined ? null : Number(part.replace(",", ".")),
  );
  if (minutes != null && (seconds ?? 0) >= 60) return null;
  if (hours != null && (minutes ?? 0) >= 60) return null;
  return (hours ?? 0) * 3600 + (minutes ?? 0) * 60 + (seconds ?? 0);
}

function byFrames(word: string, perSec: number): number | null {
  return /^\d+$/u.test(word) && perSec > 0 && Number.isFinite(perSec) ? Number(word) / perSec : null;
}
