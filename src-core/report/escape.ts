/**
 * Text for HTML and SVG, in elements and in quoted attributes alike. What neither may hold (control characters, halves of
 * surrogate pairs) becomes the mark for a character that cannot be shown, and is not dropped.
 */
export function escaped(text: string): string {
  return shown(text).replace(/[&<>"']/gu, (character) => entities[character] ?? "");
}

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** Text as it may stand in a document; line ends and tabs are spaces. */
export function shown(text: string): string {
  return text
    .toWellFormed()
    .replace(/[\t\n\r\u2028\u2029]+/gu, " ")
    .replace(/[\p{Cc}\uFFFE\uFFFF]/gu, "\uFFFD");
}
