/**
 * Whether two records hold the same values. Order of properties does not count, and 0 equals −0, since SQLite and JSON
 * keep no negative zero.
 */
export function sameRecord(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const left = Object.entries(a);
  if (left.length !== Object.keys(b).length) return false;
  return left.every(([key, value]) => Object.hasOwn(b, key) && sameRecord(value, (b as Record<string, unknown>)[key]));
}
