import { directionSign } from "../field/frames.ts";
import type { PicturePoint, Shape } from "../picture/shape.ts";
import { percentWords } from "../season/season-words.ts";
import type { Figure } from "./document.ts";
import type { PageInput } from "./page-input.ts";

/** Where somebody stood before a snap: yards downfield of the line of scrimmage, and from the middle toward their own side. */
export type StoodAt = {
  readonly position: string;
  readonly downfieldYards: number;
  /** Positive on the side of the line judge, by the game's own setting. */
  readonly towardYards: number;
};

/** A look at a matter that was somebody's own, and where it was, in the same frame. */
export type LookedAt = StoodAt & { readonly isSeen: boolean };

type Judged = Pick<PageInput, "records" | "layout" | "judged">;

/** Every official before every snap of a game, turned so that all plays go the same way and the line judge's side is one side. */
export function stoodIn({ records, layout, judged }: Judged): StoodAt[] {
  return records.plays.flatMap((play) => {
    const sign = directionSign(play.situation.direction);
    const side = records.game.lineJudgeSide === "far" ? 1 : -1;
    return (judged.get(play.id)?.moments ?? [])
      .filter(({ moment }) => moment.phase === "pre-snap")
      .flatMap(({ judged: { placed } }) =>
        placed.flatMap(({ subject, measured: { position: at } }): StoodAt[] =>
          subject.kind === "official"
            ? [
                {
                  position: subject.position,
                  downfieldYards: sign * (at.xYards - play.situation.scrimmageXYards),
                  towardYards: side * (at.yYards - layout.widthYards / 2),
                },
              ]
            : [],
        ),
      );
  });
}

/** Every look that was somebody's by the book, and whether they had it. */
export function lookedIn({ records, layout, judged }: Judged): LookedAt[] {
  return records.plays.flatMap((play) => {
    const sign = directionSign(play.situation.direction);
    const side = records.game.lineJudgeSide === "far" ? 1 : -1;
    return (judged.get(play.id)?.moments ?? []).flatMap(({ judged: { looks } }) =>
      (looks?.matters ?? []).flatMap(({ matter, isAssigned, looks: those }) =>
        isAssigned && matter.opponent !== null
          ? those
              .filter(({ isWatcher }) => isWatcher)
              .map(({ position, quality }): LookedAt => ({
                position,
                downfieldYards: sign * (matter.at.xYards - play.situation.scrimmageXYards),
                towardYards: side * (matter.at.yYards - layout.widthYards / 2),
                isSeen: quality >= (looks?.rule.seenFrom ?? 1),
              }))
          : [],
      ),
    );
  });
}

export type Spread = {
  readonly position: string;
  readonly count: number;
  readonly downfieldYards: number;
  readonly towardYards: number;
  /** Standard deviations and their covariance; null with fewer than three. */
  readonly spread: { readonly xx: number; readonly xy: number; readonly yy: number } | null;
};

/** The mean place of each position and its spread. */
export function spreads(stood: readonly StoodAt[]): Spread[] {
  return [...Map.groupBy(stood, ({ position }) => position)]
    .map(([position, own]): Spread => {
      const count = own.length;
      const x = own.reduce((sum, one) => sum + one.downfieldYards, 0) / count;
      const y = own.reduce((sum, one) => sum + one.towardYards, 0) / count;
      const of = (a: (one: StoodAt) => number, b: (one: StoodAt) => number) =>
        own.reduce((sum, one) => sum + a(one) * b(one), 0) / (count - 1);
      const dx = (one: StoodAt) => one.downfieldYards - x;
      const dy = (one: StoodAt) => one.towardYards - y;
      return {
        position,
        count,
        downfieldYards: x,
        towardYards: y,
        spread: count < 3 ? null : { xx: of(dx, dx), xy: of(dx, dy), yy: of(dy, dy) },
      };
    })
    .toSorted((a, b) => (a.position < b.position ? -1 : 1));
}

/** Squared radius that holds 95 % of a normal distribution in the plane: the 0.95 quantile of chi-square with two degrees of freedom. */
const squaredRadius95 = -2 * Math.log(0.05);

/** The ellipse that holds 95 % of places, if they spread normally. */
function ellipse({ downfieldYards, towardYards, spread }: Spread): PicturePoint[] | null {
  if (!spread) return null;
  const { xx, xy, yy } = spread;
  const middle = (xx + yy) / 2;
  const reach = Math.hypot((xx - yy) / 2, xy);
  const turn = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [a, b] = [middle + reach, Math.max(0, middle - reach)].map((one) => Math.sqrt(one * squaredRadius95));
  return Array.from({ length: 48 }, (_, index) => {
    const angle = (index / 48) * 2 * Math.PI;
    const [u, v] = [(a ?? 0) * Math.cos(angle), (b ?? 0) * Math.sin(angle)];
    return [
      downfieldYards + u * Math.cos(turn) - v * Math.sin(turn),
      -(towardYards + u * Math.sin(turn) + v * Math.cos(turn)),
    ];
  });
}

/** The ground around a line of scrimmage that all plays are laid on: yards, downfield to the right, the line judge's side at the top. */
function ground(halfWidthYards: number): { readonly box: Figure["picture"]["box"]; readonly shapes: Shape[] } {
  const back = -20;
  const downfield = 40;
  const edge = halfWidthYards + 5;
  const line = (ink: Shape["ink"], ...points: PicturePoint[]): Shape => ({ kind: "path", ink, points, closed: false });
  return {
    box: { x: back, y: -edge, width: downfield - back, height: 2 * edge },
    shapes: [
      {
        kind: "path",
        ink: "grass",
        closed: true,
        points: [
          [back + 1, -halfWidthYards],
          [downfield - 1, -halfWidthYards],
          [downfield - 1, halfWidthYards],
          [back + 1, halfWidthYards],
        ],
      },
      ...[-10, 10, 20, 30].flatMap((x): Shape[] => [
        line("field-line", [x, -halfWidthYards], [x, halfWidthYards]),
        {
          kind: "label",
          ink: "field-line",
          at: [x, halfWidthYards + 2.5],
          text: `${x > 0 ? "+" : "−"}${Math.abs(x)}`,
          place: "on",
        },
      ]),
      line("scrimmage", [0, -halfWidthYards], [0, halfWidthYards]),
    ],
  };
}

/** All stations before the snap of a season on one plan: each place a cross, the mean by its letters, and the ellipse of 95 %. */
export function stationsFigure(stood: readonly StoodAt[], halfWidthYards: number): Figure {
  const { box, shapes } = ground(halfWidthYards);
  const all = spreads(stood);
  return {
    picture: {
      surface: "paper",
      box,
      inkUnit: box.width / 640,
      stillKey: null,
      shapes: [
        ...shapes,
        ...stood.map((one): Shape => ({ kind: "cross", ink: "note", at: [one.downfieldYards, -one.towardYards] })),
        ...all.flatMap((one): Shape[] => {
          const points = ellipse(one);
          return [
            ...(points ? [{ kind: "path" as const, ink: "measured" as const, points, closed: true }] : []),
            {
              kind: "label",
              ink: "official",
              at: [one.downfieldYards, -one.towardYards],
              text: one.position,
              place: "on",
            },
          ];
        }),
      ],
    },
    alt: `Stations before the snap: ${all.map((one) => `${one.position} ${placeWords(one)}`).join("; ")}.`,
    caption: "Before the snap: every place, the mean by its letters, and where 95 % of them lie",
  };
}

export function placeWords({ downfieldYards, towardYards, count, spread }: Spread): string {
  const depth = `${Math.abs(downfieldYards).toFixed(1)} yd ${downfieldYards < 0 ? "behind" : "downfield of"} the line`;
  const side = `${Math.abs(towardYards).toFixed(1)} yd from the middle ${towardYards >= 0 ? "toward" : "away from"} the line judge’s side`;
  const sd = spread ? `, spread ${Math.sqrt(spread.xx).toFixed(1)} and ${Math.sqrt(spread.yy).toFixed(1)} yd` : "";
  return `${depth}, ${side}${sd}, ${count} times`;
}

export type Zone = {
  readonly name: string;
  readonly looks: number;
  readonly seen: number;
};

const depths = [
  { name: "behind the line", least: Number.NEGATIVE_INFINITY, most: 0 },
  { name: "to 10 yd", least: 0, most: 10 },
  { name: "beyond 10 yd", least: 10, most: Number.POSITIVE_INFINITY },
] as const;

/** Own looks by where the matter was: three depths by three lanes of the field. */
export function looksByZone(looked: readonly LookedAt[], halfWidthYards: number): Zone[] {
  const third = halfWidthYards / 3;
  const lanes = [
    { name: "line judge’s side", holds: (y: number) => y > third },
    { name: "middle", holds: (y: number) => Math.abs(y) <= third },
    { name: "other side", holds: (y: number) => y < -third },
  ];
  return depths.flatMap((depth) =>
    lanes.map((lane): Zone => {
      const own = looked.filter(
        ({ downfieldYards: x, towardYards: y }) => x > depth.least && x <= depth.most && lane.holds(y),
      );
      return {
        name: `${depth.name}, ${lane.name}`,
        looks: own.length,
        seen: own.filter(({ isSeen }) => isSeen).length,
      };
    }),
  );
}

/** The same on a plan: in each zone how many of the looks there were had. */
export function looksFigure(looked: readonly LookedAt[], halfWidthYards: number, position: string): Figure {
  const { box, shapes } = ground(halfWidthYards);
  const zones = looksByZone(looked, halfWidthYards);
  const xs = [-10, 5, 25];
  const ys = [-halfWidthYards * (2 / 3), 0, halfWidthYards * (2 / 3)];
  const third = halfWidthYards / 3;
  const line = (...points: PicturePoint[]): Shape => ({ kind: "path", ink: "key-line", points, closed: false });
  const labels = zones.flatMap(({ looks, seen }, index): Shape[] => {
    const x = xs[Math.floor(index / 3)] ?? 0;
    const y = ys[index % 3] ?? 0;
    return looks === 0
      ? []
      : [
          { kind: "label", ink: "official", at: [x, y - 1.2], text: percentWords(seen / looks), place: "on" },
          { kind: "label", ink: "note", at: [x, y + 2], text: `${seen} of ${looks}`, place: "on" },
        ];
  });
  return {
    picture: {
      surface: "paper",
      box,
      inkUnit: box.width / 640,
      stillKey: null,
      shapes: [
        ...shapes,
        line([10, -halfWidthYards], [10, halfWidthYards]),
        ...[-third, third].map((y) => line([-19, y], [39, y])),
        ...labels,
      ],
    },
    alt: `Own looks of ${position} that were had, by zone: ${zones.map(({ name, looks, seen }) => `${name} ${seen} of ${looks}`).join("; ")}.`,
    caption: `${position}: own looks that were had, by where they were`,
  };
}
