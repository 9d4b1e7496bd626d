import type { PicturePoint, Shape } from "../picture/shape.ts";
import { pointsOf, type Scale } from "../grading/scales.ts";
import { figure, intervalWords, percentWords, type StandingRow } from "../season/season-words.ts";
import type { Figure } from "./document.ts";

/** Pictures of a season, on paper; each stands beside the table of its numbers. Lengths are points of ink. */

const rowHeight = 20;
const namesWidth = 190;
const plotWidth = 400;
const rightRoom = 50;
const topRoom = 12;
const footRoom = 26;

const line = (ink: Shape["ink"], ...points: PicturePoint[]): Shape => ({ kind: "path", ink, points, closed: false });
const label = (text: string, at: PicturePoint, ink: Shape["ink"] = "note"): Shape => ({
  kind: "label",
  ink,
  at,
  text,
  place: "on",
});

/** Letters are drawn about their middle: this is where a text that begins at x has it. */
const begun = (text: string, x: number) => x + text.length * 3.7;

/** A bar for the 95 % interval of each official's adjusted value, a cross at the value, a ring at the raw mean; the best first. */
export function intervalFigure(
  rows: readonly StandingRow[],
  scale: Scale,
  position: string,
  nameOf: (officialId: string) => string,
): Figure {
  const shown = rows.filter(({ total }) => total.adjusted !== null);
  const height = topRoom + shown.length * rowHeight + footRoom;
  const lows = shown.flatMap(({ total }) => [total.adjusted?.interval.low ?? 0, total.mean ?? 0]);
  const highs = shown.flatMap(({ total }) => [total.adjusted?.interval.high ?? 0, total.mean ?? 0]);
  const least = Math.max(scale.least, Math.floor(Math.min(...lows, scale.most) * 2) / 2);
  const most = Math.min(scale.most, Math.ceil(Math.max(...highs, scale.least) * 2) / 2);
  const span = Math.max(most - least, scale.step);
  const x = (value: number) => namesWidth + ((Math.min(most, Math.max(least, value)) - least) / span) * plotWidth;
  const foot = height - footRoom;
  const ticks = ticksBetween(least, least + span, scale);
  const shapes: Shape[] = [
    ...ticks.flatMap((value) => [
      line("field-line", [x(value), topRoom], [x(value), foot]),
      label(String(value), [x(value), foot + 12]),
    ]),
    ...shown.flatMap(({ total }, index): Shape[] => {
      const y = topRoom + (index + 0.5) * rowHeight;
      const adjusted = total.adjusted;
      if (!adjusted) return [];
      const name = nameOf(total.officialId);
      return [
        label(name, [begun(name, 6), y], "offence"),
        line("measured", [x(adjusted.interval.low), y], [x(adjusted.interval.high), y]),
        line("measured", [x(adjusted.interval.low), y - 4], [x(adjusted.interval.low), y + 4]),
        line("measured", [x(adjusted.interval.high), y - 4], [x(adjusted.interval.high), y + 4]),
        { kind: "cross", ink: "official", at: [x(adjusted.value), y] },
        ...(total.mean === null
          ? []
          : [{ kind: "ring" as const, ink: "line-to-gain" as const, at: [x(total.mean), y] as const }]),
      ];
    }),
  ];
  const said = shown.map(
    ({ total }) =>
      `${nameOf(total.officialId)} ${figure(total.adjusted?.value ?? 0)} (${intervalWords(total.adjusted?.interval ?? { low: 0, high: 0 })})`,
  );
  return {
    picture: {
      surface: "paper",
      box: { x: 0, y: 0, width: namesWidth + plotWidth + rightRoom, height },
      inkUnit: 0.85,
      shapes,
      stillKey: null,
    },
    alt: `Adjusted values of ${position} with their 95 % intervals, the best first: ${said.join("; ")}.`,
    caption: `${position}: adjusted value (cross) with its 95 % interval, and the raw mean (ring)`,
  };
}

/** Round values along an axis: the scale's own points where there are few enough of them. */
function ticksBetween(least: number, most: number, scale: Scale): number[] {
  const points = pointsOf(scale).filter((point) => point >= least - 1e-9 && point <= most + 1e-9);
  if (points.length >= 2 && points.length <= 11) return points;
  const step = Math.max(scale.step, Math.ceil((most - least) / 8));
  return Array.from({ length: Math.floor((most - least) / step + 1e-9) + 1 }, (_, index) => least + index * step);
}

/** The chance of being among the best k, a bar each; the same order as the table. */
export function chanceFigure(
  rows: readonly StandingRow[],
  position: string,
  topK: number,
  nameOf: (officialId: string) => string,
): Figure {
  const shown = rows.filter(({ place }) => place !== null);
  const height = topRoom + shown.length * rowHeight + footRoom;
  const x = (share: number) => namesWidth + share * plotWidth;
  const foot = height - footRoom;
  const shapes: Shape[] = [
    ...[0, 0.25, 0.5, 0.75, 1].flatMap((share) => [
      line("field-line", [x(share), topRoom], [x(share), foot]),
      label(percentWords(share), [x(share), foot + 12]),
    ]),
    ...shown.flatMap(({ total, place }, index): Shape[] => {
      const y = topRoom + (index + 0.5) * rowHeight;
      const name = nameOf(total.officialId);
      const to = x(place?.inTopK ?? 0);
      return [
        label(name, [begun(name, 6), y], "offence"),
        {
          kind: "path",
          ink: "measured",
          closed: true,
          points: [
            [x(0), y - 5],
            [to, y - 5],
            [to, y + 5],
            [x(0), y + 5],
          ],
        },
      ];
    }),
  ];
  const said = shown.map(({ total, place }) => `${nameOf(total.officialId)} ${percentWords(place?.inTopK ?? 0)}`);
  return {
    picture: {
      surface: "paper",
      box: { x: 0, y: 0, width: namesWidth + plotWidth + rightRoom, height },
      inkUnit: 0.85,
      shapes,
      stillKey: null,
    },
    alt: `The chance of being among the ${topK} best at ${position}: ${said.join("; ")}.`,
    caption: `${position}: the chance of being among the ${topK} best`,
  };
}
