/**
 * What discs hide from an eye, as intervals of bearings. Radians, turning from x toward y; a disc of radius r at distance
 * d is seen under a half width of asin(r / d), the angle between the line to its centre and a tangent to it.
 */
const turn = 2 * Math.PI;

/** Half of the angle under which a disc is seen; half a turn, which is everything, from inside it. */
export function halfWidth(distance: number, radius: number): number {
  return distance > radius ? Math.asin(radius / distance) : Math.PI;
}

/** Intervals gathered within one span, ascending by their beginnings. Made once and used again: looks are counted by the million. */
export type GatheredIntervals = { readonly from: Float64Array; readonly to: Float64Array; count: number };

export function gatheredIntervals(most: number): GatheredIntervals {
  // An interval can lie in a span twice, at both of its ends, when together they are more than a turn.
  return { from: new Float64Array(3 * most), to: new Float64Array(3 * most), count: 0 };
}

/** Adds what of `centre ± half`, or of the same a turn further on or back, lies within the span. */
export function gather(into: GatheredIntervals, low: number, high: number, centre: number, half: number): void {
  add(into, low, high, centre - half, centre + half);
  if (centre + half > low + turn) add(into, low, high, centre - turn - half, centre - turn + half);
  if (centre - half < high - turn) add(into, low, high, centre + turn - half, centre + turn + half);
}

function add(into: GatheredIntervals, low: number, high: number, begins: number, ends: number): void {
  const from = begins > low ? begins : low;
  const to = ends < high ? ends : high;
  if (!(to > from)) return;
  let at = into.count++;
  for (; at > 0 && (into.from[at - 1] ?? 0) > from; at--) {
    into.from[at] = into.from[at - 1] ?? 0;
    into.to[at] = into.to[at - 1] ?? 0;
  }
  into.from[at] = from;
  into.to[at] = to;
}

/** Length of the union of what was gathered. */
export function unionLength({ from, to, count }: GatheredIntervals): number {
  let length = 0;
  let reached = -Infinity;
  for (let i = 0; i < count; i++) {
    const end = to[i]!;
    if (end <= reached) continue;
    length += end - Math.max(reached, from[i]!);
    reached = end;
  }
  return length;
}
