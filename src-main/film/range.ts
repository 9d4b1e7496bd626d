/**
 * The part of a file that a Range header asks for, by RFC 9110 section 14.
 *
 * - "whole": no header, a unit other than bytes (14.2: must be ignored), or several ranges (14.2: may be ignored).
 * - "part": one range, both ends included, within the file.
 * - "unsatisfiable": invalid, or beyond the end of the file (15.5.17: answer 416).
 */
export type RequestedRange =
  | { readonly kind: "whole" }
  | { readonly kind: "part"; readonly firstByte: number; readonly lastByte: number }
  | { readonly kind: "unsatisfiable" };

const whole: RequestedRange = { kind: "whole" };
const unsatisfiable: RequestedRange = { kind: "unsatisfiable" };

export function parseRange(header: string | null, sizeBytes: number): RequestedRange {
  if (header === null) return whole;
  const equals = header.indexOf("=");
  if (equals < 0) return unsatisfiable;
  // Range units are case-insensitive (14.1).
  if (header.slice(0, equals).trim().toLowerCase() !== "bytes") return whole;
  const ranges = header.slice(equals + 1).trim();
  if (ranges.includes(",")) return whole;
  const match = /^(\d*)-(\d*)$/.exec(ranges);
  if (match === null) return unsatisfiable;
  const [, first = "", last = ""] = match;
  if (first === "") return suffix(last, sizeBytes);
  const firstByte = Number(first);
  const lastByte = last === "" ? sizeBytes - 1 : Math.min(Number(last), sizeBytes - 1);
  // An end before the start makes the range invalid (14.1.2), a start at or past the end cannot be satisfied.
  if (last !== "" && Number(last) < firstByte) return unsatisfiable;
  if (firstByte >= sizeBytes) return unsatisfiable;
  return { kind: "part", firstByte, lastByte };
}

/** "-N" is the last N bytes, all of them when the file is shorter (14.1.2). */
function suffix(length: string, sizeBytes: number): RequestedRange {
  if (length === "" || Number(length) === 0) return unsatisfiable;
  if (sizeBytes === 0) return whole;
  return {
    kind: "part",
    firstByte: Math.max(0, sizeBytes - Number(length)),
    lastByte: sizeBytes - 1,
  };
}
