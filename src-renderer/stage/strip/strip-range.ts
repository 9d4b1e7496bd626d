/** The stretch of film that a strip shows. Seconds. */
export type StripRange = { readonly fromSec: number; readonly toSec: number };

/** Closer than this nothing is seen better. Seconds. */
const leastSpanSec = 4;
/** Distances of pictures: on these every zoom finds those of the last one again. */
const steps = [0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600] as const;

export function zoomRange(range: StripRange, atSec: number, factor: number, durationSec: number): StripRange {
  const span = Math.min(
    durationSec,
    Math.max(Math.min(leastSpanSec, durationSec), (range.toSec - range.fromSec) / factor),
  );
  const share = (atSec - range.fromSec) / (range.toSec - range.fromSec || 1);
  return withinFilm({ fromSec: atSec - share * span, toSec: atSec + (1 - share) * span }, durationSec);
}

/** The same span, moved so that this instant is in it: a page on, as a book is turned. */
export function following(range: StripRange, atSec: number, durationSec: number): StripRange {
  if (atSec >= range.fromSec && atSec <= range.toSec) return range;
  const span = range.toSec - range.fromSec;
  const fromSec = atSec > range.toSec ? atSec - 0.1 * span : atSec - 0.9 * span;
  return withinFilm({ fromSec, toSec: fromSec + span }, durationSec);
}

export function withinFilm({ fromSec, toSec }: StripRange, durationSec: number): StripRange {
  const span = Math.min(toSec - fromSec, durationSec);
  const from = Math.min(Math.max(0, fromSec), Math.max(0, durationSec - span));
  return { fromSec: from, toSec: from + span };
}

/** The range a play fills, with a little film on either side. Seconds. */
export function rangeOf(play: { readonly startSec: number; readonly endSec: number }, durationSec: number): StripRange {
  const margin = Math.max(0.1 * (play.endSec - play.startSec), leastSpanSec / 8);
  const span = Math.max(play.endSec - play.startSec + 2 * margin, leastSpanSec);
  const middle = (play.startSec + play.endSec) / 2;
  return withinFilm({ fromSec: middle - span / 2, toSec: middle + span / 2 }, durationSec);
}

/** The instant of the grid's picture under the pointer: the finest grid on which each pixel need not have its own. */
export function pictureUnder(atSec: number, { fromSec, toSec }: StripRange, widthPx: number): number {
  const step = steps.find((one) => one >= (toSec - fromSec) / Math.max(1, widthPx)) ?? steps.at(-1)!;
  return Math.max(0, Math.floor(atSec / step + 1e-9) * step);
}

/** A picture every ten seconds of the whole film; of a very long one fewer, so that there are never over a thousand. */
export function wholeFilmTimes(durationSec: number): number[] {
  const step = steps.find((one) => one >= 10 && durationSec / one <= 1000) ?? steps.at(-1)!;
  return Array.from({ length: Math.max(1, Math.ceil(durationSec / step)) }, (_, k) => k * step);
}

/** Instants of the pictures that fill a strip: on a grid of their own, so many that each has its width. */
export function pictureTimes({ fromSec, toSec }: StripRange, widthPx: number, pictureWidthPx: number): number[] {
  const span = toSec - fromSec;
  const most = Math.max(1, Math.floor(widthPx / pictureWidthPx));
  const step = steps.find((one) => span / one <= most) ?? steps.at(-1) ?? span;
  const times: number[] = [];
  for (let k = Math.floor(fromSec / step + 1e-9); k * step < toSec; k++) times.push(k * step);
  return times;
}
