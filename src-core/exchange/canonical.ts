/**
 * A value as the one text that says it: properties sorted, nothing between the parts. Equal values have equal texts, so that
 * files of equal content have equal bytes and a hash of the text stands for the content.
 */
export function canonicalText(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalText).join(",")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value) ?? "null";
  const fields = Object.entries(value)
    .filter(([, item]) => item !== undefined)
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, item]) => `${JSON.stringify(key)}:${canonicalText(item)}`);
  return `{${fields.join(",")}}`;
}

/** SHA-256 of a text in UTF-8, in hexadecimal: given, as the core has none of its own. */
export type Hash = (text: string) => string;
