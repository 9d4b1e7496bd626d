import type { FieldPoint, ImagePoint } from "./units.ts";

/** A stake with its name looked up: what the solver needs and nothing else. */
export type Sighting =
  | { readonly kind: "point"; readonly at: FieldPoint; readonly click: ImagePoint; readonly sigmaPx: number }
  | {
      readonly kind: "line";
      readonly from: FieldPoint;
      readonly to: FieldPoint;
      readonly clicks: readonly ImagePoint[];
      readonly sigmaPx: number;
    };

/** A shift, then a scale: normalised = (raw − centre) · scale. */
export type Similarity = { readonly scale: number; readonly x: number; readonly y: number };

/**
 * Every click as one column of numbers, both sides normalised (Hartley and Zisserman, Multiple View Geometry,
 * section 4.4: centroid 0, mean distance √2). A point has its field position in (px, py). A click on a line has two
 * field points of that line in (px, py) and (qx, qy).
 */
export type Observations = {
  readonly count: number;
  readonly stakeCount: number;
  readonly isLine: Uint8Array;
  readonly stakeOf: Uint16Array;
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** 1 / sigma, in normalised image units. */
  readonly weight: Float64Array;
  readonly px: Float64Array;
  readonly py: Float64Array;
  readonly qx: Float64Array;
  readonly qy: Float64Array;
  /** Independent equations that each stake gives: 2 for a point, at most 2 for a line. */
  readonly equationsOf: Uint8Array;
  /** Residuals that each stake gives: 2 for a point, 1 for each click on a line. */
  readonly residualsOf: Uint16Array;
  readonly field: Similarity;
  readonly image: Similarity;
};

function similarityOf(xs: readonly number[], ys: readonly number[]): Similarity {
  const n = xs.length;
  let x = 0;
  let y = 0;
  for (let i = 0; i < n; i++) {
    x += xs[i]!;
    y += ys[i]!;
  }
  x /= n;
  y /= n;
  let distance = 0;
  for (let i = 0; i < n; i++) distance += Math.sqrt((xs[i]! - x) ** 2 + (ys[i]! - y) ** 2);
  return { scale: distance > 0 ? (Math.SQRT2 * n) / distance : 1, x, y };
}

/** Where the sightings are on the field: points, and crossings of the lines (line ends lie far out of the frame). */
function fieldAnchors(sightings: readonly Sighting[]): { xs: number[]; ys: number[] } {
  const xs: number[] = [];
  const ys: number[] = [];
  const lines: Extract<Sighting, { kind: "line" }>[] = [];
  for (const sighting of sightings) {
    if (sighting.kind === "point") {
      xs.push(sighting.at.xYards);
      ys.push(sighting.at.yYards);
    } else lines.push(sighting);
  }
  for (let i = 0; i < lines.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = lines[i]!;
      const b = lines[j]!;
      const ax = a.to.xYards - a.from.xYards;
      const ay = a.to.yYards - a.from.yYards;
      const bx = b.to.xYards - b.from.xYards;
      const by = b.to.yYards - b.from.yYards;
      const cross = ax * by - ay * bx;
      if (Math.abs(cross) < 1e-3 * Math.hypot(ax, ay) * Math.hypot(bx, by)) continue;
      const t = ((b.from.xYards - a.from.xYards) * by - (b.from.yYards - a.from.yYards) * bx) / cross;
      xs.push(a.from.xYards + t * ax);
      ys.push(a.from.yYards + t * ay);
    }
  }
  if (xs.length < 2) {
    for (const line of lines) {
      xs.push(line.from.xYards, line.to.xYards);
      ys.push(line.from.yYards, line.to.yYards);
    }
  }
  return { xs, ys };
}

export function observe(sightings: readonly Sighting[]): Observations {
  let count = 0;
  for (const sighting of sightings) count += sighting.kind === "point" ? 1 : sighting.clicks.length;
  const us: number[] = [];
  const vs: number[] = [];
  for (const sighting of sightings) {
    if (sighting.kind === "point") {
      us.push(sighting.click.uPx);
      vs.push(sighting.click.vPx);
    } else {
      for (const click of sighting.clicks) {
        us.push(click.uPx);
        vs.push(click.vPx);
      }
    }
  }
  const anchors = fieldAnchors(sightings);
  const field = similarityOf(anchors.xs, anchors.ys);
  const image = similarityOf(us, vs);

  const isLine = new Uint8Array(count);
  const stakeOf = new Uint16Array(count);
  const columns = new Float64Array(7 * count);
  const column = (index: number): Float64Array => columns.subarray(index * count, (index + 1) * count);
  const u = column(0);
  const v = column(1);
  const weight = column(2);
  const px = column(3);
  const py = column(4);
  const qx = column(5);
  const qy = column(6);
  const equationsOf = new Uint8Array(sightings.length);
  const residualsOf = new Uint16Array(sightings.length);

  let next = 0;
  const place = (stake: number, line: 0 | 1, sigmaPx: number): number => {
    isLine[next] = line;
    stakeOf[next] = stake;
    weight[next] = 1 / (sigmaPx * image.scale);
    u[next] = (us[next]! - image.x) * image.scale;
    v[next] = (vs[next]! - image.y) * image.scale;
    return next++;
  };
  for (let stake = 0; stake < sightings.length; stake++) {
    const sighting = sightings[stake]!;
    if (sighting.kind === "point") {
      const at = place(stake, 0, sighting.sigmaPx);
      px[at] = (sighting.at.xYards - field.x) * field.scale;
      py[at] = (sighting.at.yYards - field.y) * field.scale;
      equationsOf[stake] = 2;
      residualsOf[stake] = 2;
      continue;
    }
    const dx = sighting.to.xYards - sighting.from.xYards;
    const dy = sighting.to.yYards - sighting.from.yYards;
    const length = Math.hypot(dx, dy);
    const ex = dx / length;
    const ey = dy / length;
    const fromX = (sighting.from.xYards - field.x) * field.scale;
    const fromY = (sighting.from.yYards - field.y) * field.scale;
    const along = fromX * ex + fromY * ey;
    const footX = fromX - along * ex;
    const footY = fromY - along * ey;
    for (let k = 0; k < sighting.clicks.length; k++) {
      const at = place(stake, 1, sighting.sigmaPx);
      px[at] = footX - ex;
      py[at] = footY - ey;
      qx[at] = footX + ex;
      qy[at] = footY + ey;
    }
    equationsOf[stake] = Math.min(2, sighting.clicks.length);
    residualsOf[stake] = sighting.clicks.length;
  }
  return {
    count,
    stakeCount: sightings.length,
    isLine,
    stakeOf,
    u,
    v,
    weight,
    px,
    py,
    qx,
    qy,
    equationsOf,
    residualsOf,
    field,
    image,
  };
}
