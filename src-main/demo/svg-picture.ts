import type { Ink, PicturePoint, Shape } from "#core/picture/shape";

const colours: Partial<Record<Ink, string>> = {
  "field-line": "#6aa9cf",
  "field-edge": "#2f7fb3",
  grass: "#1f2a30",
  stake: "#d99a00",
  "stake-off": "#a5321c",
  measured: "#14598f",
  "target-met": "#14598f",
  "target-missed": "#d0341a",
  "target-unsure": "#8a751f",
  scrimmage: "#1f2a30",
  "line-to-gain": "#8a751f",
};

const joined = (points: readonly PicturePoint[]) => points.map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join(" ");

/** Shapes as an SVG document. `unit` is the length of one line's width in the picture's own measure. */
export function svgPicture(
  shapes: readonly Shape[],
  box: readonly [number, number, number, number],
  unit: number,
  still: string | null,
): string {
  const [x, y, width, height] = box;
  const picture = still === null ? "" : `<image href="${still}" x="0" y="0" width="${width}" height="${height}"/>`;
  const drawn = shapes.map((shape) => svgShape(shape, unit)).join("\n");
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${x} ${y} ${width} ${height}">
<rect x="${x}" y="${y}" width="${width}" height="${height}" fill="#fbf8ef"/>${picture}
${drawn}
</svg>
`;
}

function svgShape(shape: Shape, unit: number): string {
  const colour = colours[shape.ink] ?? "#1f2a30";
  const stroke = `stroke="${colour}" stroke-width="${(1.6 * unit).toFixed(3)}" fill="none"`;
  switch (shape.kind) {
    case "path":
      return `<${shape.closed ? "polygon" : "polyline"} points="${joined(shape.points)}" ${stroke}/>`;
    case "cross": {
      const arm = 6 * unit;
      const [x, y] = shape.at;
      return `<path d="M${x - arm} ${y}h${2 * arm}M${x} ${y - arm}v${2 * arm}" ${stroke}/>`;
    }
    case "ring":
      return `<circle cx="${shape.at[0]}" cy="${shape.at[1]}" r="${8 * unit}" ${stroke}/>`;
    case "arrow":
      return `<polyline points="${joined([shape.from, shape.to])}" ${stroke}/>`;
    case "label": {
      const drop = { above: -12, on: 5, below: 20 }[shape.place] * unit;
      return `<text x="${shape.at[0]}" y="${shape.at[1] + drop}" font-family="sans-serif" font-weight="700" font-size="${15 * unit}" text-anchor="middle" fill="${colour}" stroke="#fbf8ef" stroke-width="${3 * unit}" paint-order="stroke">${shape.text}</text>`;
    }
  }
}
