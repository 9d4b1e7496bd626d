/**
 * Words in texts, as a person looks for them: capitals and accents make no difference. Texts are folded by Unicode's compatibility
 * decomposition (NFKD, https://www.unicode.org/reports/tr15/) without its combining marks, in lower case. Positions are in UTF-16 units.
 */

/** Where a word stands in a text: from its first unit to past its last. */
export type Place = readonly [from: number, to: number];

export type Excerpt = { readonly text: string; readonly places: readonly Place[] };

const mostWords = 12;

export function folded(text: string): string {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}

/** The words of what was typed, folded: parted by white space; what stands between double quotes is one. */
export function wordsOf(typed: string): string[] {
  const words = [...typed.matchAll(/"([^"]*)"?|[^\s"]+/gu)].map(([all, quoted]) => folded(quoted ?? all).trim());
  return [...new Set(words.filter((word) => word !== ""))].slice(0, mostWords);
}

/** Whether each of the words stands in the text or beside it, and one at least in the text. All are folded. */
export function holdsWords(text: string, beside: string, words: readonly string[]): boolean {
  return (
    words.some((word) => text.includes(word)) && words.every((word) => text.includes(word) || beside.includes(word))
  );
}

/** Where the words stand in a text as it is written, in order, none over another. */
export function placesOf(text: string, words: readonly string[]): Place[] {
  // Each unit of the folded text, and the first and last of what it was folded from.
  let plain = "";
  const from: number[] = [];
  const to: number[] = [];
  let at = 0;
  for (const character of text) {
    const end = at + character.length;
    const part = folded(character);
    plain += part;
    for (let unit = 0; unit < part.length; unit++) {
      from.push(at);
      to.push(end);
    }
    // A mark goes with the letter that it stands on.
    if (part === "" && to.length > 0) to[to.length - 1] = end;
    at = end;
  }
  const places: [number, number][] = [];
  for (const word of words)
    for (let found = plain.indexOf(word); found >= 0; found = plain.indexOf(word, found + word.length))
      places.push([from[found] ?? 0, to[found + word.length - 1] ?? text.length]);
  places.sort((a, b) => a[0] - b[0] || b[1] - a[1]);
  const apart: [number, number][] = [];
  for (const [start, end] of places) {
    const last = apart.at(-1);
    if (last && start < last[1]) last[1] = Math.max(last[1], end);
    else apart.push([start, end]);
  }
  return apart;
}

/** So much of a text as is worth showing, around the first place, cut between words where it can be. */
export function excerptOf(text: string, words: readonly string[], most = 160): Excerpt {
  const places = placesOf(text, words);
  if (text.length <= most) return { text, places };
  const first = places[0]?.[0] ?? 0;
  const earliest = Math.max(0, Math.min(first - Math.floor(most / 3), text.length - most));
  const start = earliest === 0 ? 0 : cutAfterSpace(text, earliest, first);
  const end = Math.min(text.length, start + most);
  const stop =
    end === text.length ? end : Math.max(first + 1, text.lastIndexOf(" ", end), onWhole(text, end) - most / 2);
  const before = start > 0 ? "… " : "";
  const shift = before.length - start;
  return {
    text: `${before}${text.slice(start, onWhole(text, stop))}${stop < text.length ? " …" : ""}`,
    places: places.flatMap(([from, to]) => (from >= start && to <= stop ? [[from + shift, to + shift] as const] : [])),
  };
}

function cutAfterSpace(text: string, earliest: number, latest: number): number {
  const space = text.indexOf(" ", earliest);
  return onWhole(text, space >= 0 && space < latest ? space + 1 : earliest);
}

/** Never between the two halves of one character. */
function onWhole(text: string, at: number): number {
  const whole = Math.floor(at);
  const half = text.charCodeAt(whole);
  return half >= 0xdc00 && half <= 0xdfff ? whole - 1 : whole;
}
