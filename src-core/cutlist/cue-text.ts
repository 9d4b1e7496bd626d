/**
 * What a person reads of a cue's payload: tags fall away, and references stand for their letters (section 6.4 of the W3C
 * recommendation). Of the named references of HTML it knows those that the recommendation lists; others stay as they are.
 */
const named: Record<string, string> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
  nbsp: "\u00A0",
  lrm: "\u200E",
  rlm: "\u200F",
};

export function textOfCue(payload: string): string {
  // A tag that does not end reaches to the end of the cue.
  const untagged = payload.replaceAll(/<[^>]*(?:>|$)/gu, "");
  return untagged.replaceAll(
    /&(?:#(\d+)|#[xX]([\da-fA-F]+)|([a-z]+));/gu,
    (whole, decimal?: string, hex?: string, name?: string) => {
      if (name !== undefined) return named[name] ?? whole;
      return letterOf(decimal === undefined ? Number.parseInt(hex ?? "", 16) : Number(decimal));
    },
  );
}

function letterOf(code: number): string {
  const isLetter = code > 0 && code <= 0x10ffff && !(code >= 0xd800 && code <= 0xdfff);
  return isLetter ? String.fromCodePoint(code) : "\uFFFD";
}
