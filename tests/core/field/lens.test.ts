import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type LensResult, estimateLens } from "#core/field/estimate-lens";
import { bend, straighten, straightenScale, straightenStake, straightenedSigma } from "#core/field/lens";
import { type Random, seededRandom } from "#core/field/random";
import { fieldPoint, type ImagePoint, imageDistancePx, imagePoint } from "#core/field/units";
import { inFrame, ncaa, noisy, pressBox, see } from "./cameras.ts";
import { loadVision } from "./opencv.ts";

const hd = { widthPx: 1280, heightPx: 720 };
const anywhere = fc.record({
  uPx: fc.double({ min: 0, max: 1280, noNaN: true }),
  vPx: fc.double({ min: 0, max: 720, noNaN: true }),
});
const anyBend = fc.double({ min: -0.7, max: 0.7, noNaN: true });

/**
 * The film pixel that a lens shows a straight pixel at, by halving the interval of its distance from the middle: only the
 * model's published formula r / (1 + κ r²) and no inverse of it.
 */
function bentByHalving(radial: number, straight: ImagePoint, { widthPx, heightPx } = hd): ImagePoint {
  const unit = Math.hypot(widthPx, heightPx) / 2;
  const [u, v] = [straight.uPx - widthPx / 2, straight.vPx - heightPx / 2];
  const wanted = Math.hypot(u, v) / unit;
  let [low, high] = [0, 1.2];
  for (let i = 0; i < 100; i++) {
    const r = (low + high) / 2;
    if (r / (1 + radial * r * r) < wanted) low = r;
    else high = r;
  }
  const scale = wanted === 0 ? 1 : low / wanted;
  return imagePoint(widthPx / 2 + u * scale, heightPx / 2 + v * scale);
}

/** Clicks along the straight segment between two straight pixels, as the lens shows it. */
function bowed(radial: number, from: ImagePoint, to: ImagePoint, clicks: number, image = hd): ImagePoint[] {
  return Array.from({ length: clicks }, (_, i) => {
    const t = i / (clicks - 1);
    const at = imagePoint(from.uPx + t * (to.uPx - from.uPx), from.vPx + t * (to.vPx - from.vPx));
    return bentByHalving(radial, at, image);
  });
}

/** Four long lines near the edges of a 720p picture and one across it. */
const ends = [
  [imagePoint(40, 120), imagePoint(1240, 90)],
  [imagePoint(30, 640), imagePoint(1250, 600)],
  [imagePoint(150, 60), imagePoint(90, 660)],
  [imagePoint(1150, 60), imagePoint(1200, 660)],
  [imagePoint(100, 400), imagePoint(1150, 300)],
] as const;
const bowedLines = (radial: number, clicks = 5) => ends.map(([from, to]) => bowed(radial, from, to, clicks));
const shaken = (random: Random, lines: readonly (readonly ImagePoint[])[], sigmaPx: number) =>
  lines.map((line) => line.map((click) => noisy(random, click, sigmaPx)));

function refusalOf(result: LensResult): string {
  if (result.ok) throw new Error(`told a lens of ${result.lens.radial}`);
  expect(result.message.length).toBeGreaterThan(40);
  return result.reason;
}

function told(result: LensResult) {
  if (!result.ok) throw new Error(result.message);
  return result;
}

describe("a lens", () => {
  test("moves the corner of the picture by the division model's own figures", () => {
    // r = 1 at the corner: (−640, −360) / (1 − 0.2) = (−800, −450); at the middle of the left edge r² = 640² / 734.3².
    expect(straighten({ radial: -0.2 }, hd, imagePoint(0, 0))).toEqual(imagePoint(-160, -90));
    const edge = straighten({ radial: -0.2 }, hd, imagePoint(0, 360));
    expect(edge.uPx).toBeCloseTo(640 - 640 / (1 - (0.2 * 640 ** 2) / (640 ** 2 + 360 ** 2)), 9);
    expect(edge.vPx).toBe(360);
    expect(straighten({ radial: 0.3 }, hd, imagePoint(640, 360))).toEqual(imagePoint(640, 360));
  });

  test("bends back what it straightens, anywhere in the picture", () => {
    fc.assert(
      fc.property(anyBend, anywhere, (radial, at) => {
        const point = imagePoint(at.uPx, at.vPx);
        const back = bend({ radial }, hd, straighten({ radial }, hd, point))!;
        expect(imageDistancePx(back, point)).toBeLessThan(1e-9);
        const forth = bentByHalving(radial, straighten({ radial }, hd, point));
        expect(imageDistancePx(forth, point)).toBeLessThan(1e-9);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  test("shows no straight point past the rim of a cushion", () => {
    // Greatest straight distance r / (1 + κ r²) is 1 / (2 √κ) half-diagonals: 1 for κ = 1/4.
    const rim = Math.hypot(640, 360);
    expect(bend({ radial: 0.25 }, hd, imagePoint(640 + rim * 0.999, 360))).not.toBeNull();
    expect(bend({ radial: 0.25 }, hd, imagePoint(640 + rim * 1.001, 360))).toBeNull();
  });

  test("knows by how much it stretches the picture, as differences of it show", () => {
    fc.assert(
      fc.property(anyBend, anywhere, (radial, at) => {
        const [u, v] = [at.uPx - 640, at.vPx - 360];
        const r = Math.hypot(u, v);
        fc.pre(r > 1);
        const moved = (du: number, dv: number) => straighten({ radial }, hd, imagePoint(at.uPx + du, at.vPx + dv));
        const step = 1e-4;
        const apart = (du: number, dv: number) => imageDistancePx(moved(du, dv), moved(-du, -dv)) / (2 * step);
        const { outward, around } = straightenScale({ radial }, hd, imagePoint(at.uPx, at.vPx));
        expect(apart((step * u) / r, (step * v) / r) / outward).toBeCloseTo(1, 5);
        expect(apart((-step * v) / r, (step * u) / r) / around).toBeCloseTo(1, 5);
      }),
      { seed: 2, numRuns: 200 },
    );
  });

  test("straightens a stake with its error", () => {
    const lens = { radial: -0.2 };
    const click = imagePoint(0, 0);
    const point = straightenStake(lens, hd, { kind: "point", id: "a", landmarkId: "x", click, sigmaPx: 2 });
    // At the corner: around 1 / 0.8, outward (1 + 0.2) / 0.8²; the circle of the same area.
    expect(point).toMatchObject({ click: imagePoint(-160, -90) });
    expect(point.sigmaPx).toBeCloseTo(2 * Math.sqrt((1.2 / 0.64) * (1 / 0.8)), 9);
    const clicks = [click, imagePoint(640, 360)];
    const line = straightenStake(lens, hd, { kind: "line", id: "b", lineId: "y", clicks, sigmaPx: 2 });
    expect(line.sigmaPx).toBeCloseTo(Math.sqrt((point.sigmaPx ** 2 + 2 ** 2) / 2), 9);
    const bare = { kind: "point", id: "a", landmarkId: "x", click, sigmaPx: 2 } as const;
    expect(straightenStake({ radial: 0 }, hd, bare)).toBe(bare);
    expect(straightenedSigma({ radial: 0 }, hd, click, 2)).toBe(2);
  });
});

describe("the bend of bowed lines", () => {
  test("is found again where nothing else is off", () => {
    for (const radial of [-0.5, -0.15, -0.01, 0.01, 0.08, 0.2]) {
      const found = told(estimateLens(bowedLines(radial), hd, 1));
      expect(found.lens.radial).toBeCloseTo(radial, 6);
      expect(found.afterPx).toBeLessThan(1e-4);
      expect(found.beforePx).toBeGreaterThan(0.1);
      expect(found.lines).toBe(5);
    }
  });

  test("has an error as large as it says", () => {
    for (const [radial, clicks] of [
      [-0.12, 5],
      [-0.3, 4],
      [0.15, 8],
    ] as const) {
      const random = seededRandom(8);
      const lines = bowedLines(radial, clicks);
      let squares = 0;
      let held = 0;
      const rounds = 300;
      for (let round = 0; round < rounds; round++) {
        const found = told(estimateLens(shaken(random, lines, 1.5), hd, 1.5));
        const off = (found.lens.radial - radial) / found.radialSd;
        squares += off ** 2;
        if (Math.abs(off) <= 1.96) held++;
      }
      expect(Math.sqrt(squares / rounds)).toBeGreaterThan(0.85);
      expect(Math.sqrt(squares / rounds)).toBeLessThan(1.1);
      expect(held / rounds).toBeGreaterThan(0.925);
      expect(held / rounds).toBeLessThan(0.985);
    }
  }, 60_000);

  test("does not shrink the picture to make its lines look straight", () => {
    // The mean over many rounds: a bias of a tenth of one standard deviation would show.
    const random = seededRandom(12);
    const lines = bowedLines(-0.1);
    let sum = 0;
    let sd = 0;
    for (let round = 0; round < 400; round++) {
      const found = told(estimateLens(shaken(random, lines, 2), hd, 2));
      sum += found.lens.radial + 0.1;
      sd = found.radialSd;
    }
    expect(Math.abs(sum / 400)).toBeLessThan(0.2 * sd);
  }, 60_000);

  test("is told on a press box's yard lines and sidelines as clicked through a lens", () => {
    const random = seededRandom(4);
    const lines = ncaa.lines
      .filter(({ kind }) => kind === "yard-line" || kind === "sideline")
      .map(({ from, to }) =>
        Array.from({ length: 41 }, (_, i) => i / 40)
          .map((t) =>
            fieldPoint(from.xYards + t * (to.xYards - from.xYards), from.yYards + t * (to.yYards - from.yYards)),
          )
          .filter((at) => inFrame(pressBox, at))
          .map((at) => bentByHalving(-0.1, see(pressBox, at), pressBox.image)),
      )
      .filter((line) => line.length > 8)
      .map((line) => [0, 0.25, 0.5, 0.75, 1].map((share) => line[Math.round(share * (line.length - 1))]!));
    expect(lines.length).toBeGreaterThan(4);
    const found = told(estimateLens(shaken(random, lines, 1), pressBox.image, 1));
    expect(Math.abs(found.lens.radial + 0.1)).toBeLessThan(3 * found.radialSd);
    expect(found.radialSd).toBeLessThan(0.01);
    expect(found.afterPx).toBeLessThan(1.2);
    expect(found.beforePx).toBeGreaterThan(2 * found.afterPx);
  });
});

describe("refuses to tell a lens", () => {
  test("from straight lines, as often as two standard deviations should", () => {
    const random = seededRandom(5);
    let straight = 0;
    for (let round = 0; round < 300; round++) {
      const result = estimateLens(shaken(random, bowedLines(0), 1.5), hd, 1.5);
      if (result.ok) continue;
      straight++;
      // Chance makes clicks wavier than their sigma now and then, never a line short or a middle line.
      expect(["straight", "not-a-bow"]).toContain(result.reason);
    }
    expect(straight / 300).toBeGreaterThan(0.92);
    expect(straight / 300).toBeLessThan(0.99);
  }, 60_000);

  test("from fewer than two lines of three clicks", () => {
    const [first, ...rest] = bowedLines(-0.2);
    expect(refusalOf(estimateLens([first!], hd, 1))).toBe("too-few-lines");
    expect(refusalOf(estimateLens([first!, ...rest.map((line) => line.slice(0, 2))], hd, 1))).toBe("too-few-lines");
  });

  test("from short lines, and from lines through the middle", () => {
    const random = seededRandom(6);
    const short = [
      bowed(-0.1, imagePoint(100, 100), imagePoint(250, 110), 4),
      bowed(-0.1, imagePoint(900, 600), imagePoint(1050, 560), 4),
    ];
    expect(refusalOf(estimateLens(shaken(random, short, 1.5), hd, 1.5))).toBe("too-short");
    const middle = [
      bowed(-0.1, imagePoint(100, 100), imagePoint(1180, 630), 4),
      bowed(-0.1, imagePoint(100, 600), imagePoint(1180, 110), 4),
    ];
    expect(refusalOf(estimateLens(shaken(random, middle, 1.5), hd, 1.5))).toBe("through-middle");
  });

  test("from a click beside its line", () => {
    const lines = bowedLines(0).map((line) => [...line]);
    const [click] = lines[4]!.splice(2, 1);
    lines[4]!.splice(2, 0, imagePoint(click!.uPx, click!.vPx + 25));
    expect(refusalOf(estimateLens(lines, hd, 1))).toBe("not-a-bow");
  });
});

describe("against OpenCV's own lens model", async () => {
  const vision = await loadVision();
  const bentBy = (focalPx: number, middle: readonly [number, number], coefficients: readonly number[]) => {
    const camera = { focalPx, middle, bend: coefficients };
    return (line: readonly ImagePoint[]): ImagePoint[] =>
      vision
        .bent(
          camera,
          line.map(({ uPx, vPx }) => [uPx, vPx] as const),
        )
        .map(([u, v]) => imagePoint(u, v));
  };

  test("one cubic term is the division model to first order", () => {
    // bent = straight (1 + k1 s²) with s over the focal length; bent ≈ straight (1 + κ r²), so κ ≈ k1 (half-diagonal / f)².
    const focalPx = 1100;
    for (const k1 of [-0.05, -0.02, 0.02]) {
      const expected = (k1 * (640 ** 2 + 360 ** 2)) / focalPx ** 2;
      const found = told(estimateLens(bowedLines(0).map(bentBy(focalPx, [640, 360], [k1, 0, 0, 0])), hd, 0.1));
      expect(found.lens.radial / expected).toBeGreaterThan(0.93);
      expect(found.lens.radial / expected).toBeLessThan(1.07);
      expect(found.afterPx).toBeLessThan(0.05);
      expect(found.beforePx).toBeGreaterThan(0.3);
    }
  });

  test.each([
    // Source: the reference note on worked geometry, section 5: published intrinsics, each with its own picture's middle.
    ["plane calibration data", 832.5, [303.959, 206.585], [-0.228601, 0.190353, 0, 0], 6],
    [
      "a public sample, left camera",
      535.91573396163199,
      [342.28315473308373, 235.57082909788173],
      [
        -0.26637260909660682, -0.038588898922304653, 0.0017831947042852964, -0.00028122100441115472,
        0.23839153080878486,
      ],
      20,
    ],
  ] as const)(
    "the one term takes most of a published lens's bow away: %s",
    (_, focalPx, middle, coefficients, least) => {
      const vga = { widthPx: 640, heightPx: 480 };
      const segments = [
        [40, 60, 600, 50],
        [30, 430, 610, 410],
        [70, 40, 60, 440],
        [570, 40, 590, 440],
      ] as const;
      const lines = segments
        .map(([u1, v1, u2, v2]) => bowed(0, imagePoint(u1, v1), imagePoint(u2, v2), 7, vga))
        .map(bentBy(focalPx, middle, coefficients));
      const found = told(estimateLens(lines, vga, 0.5));
      expect(found.lens.radial).toBeLessThan(0);
      expect(found.beforePx / found.afterPx).toBeGreaterThan(least);
    },
  );
});
