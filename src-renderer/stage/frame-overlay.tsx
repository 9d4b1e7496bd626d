import { Arrow, Circle, Group, Label, Layer, Line, Stage, Tag, Text } from "react-konva";
import { filmInks } from "#core/picture/inks";
import type { PicturePoint, Shape } from "#core/picture/shape";
import { imagePoint } from "#core/field/units";
import { type Size, toScreen, type View } from "./view.ts";

/** Paints shapes given in image pixels over the frame. Strokes and letters keep their size whatever the zoom. */
export function FrameOverlay(props: {
  readonly shapes: readonly Shape[];
  readonly view: View;
  readonly pane: Size;
  readonly image: Size;
  readonly chosen: PicturePoint | null;
}) {
  const at = (point: PicturePoint): [number, number] => {
    const screen = toScreen(props.view, imagePoint(point[0], point[1]));
    return [screen.xPx, screen.yPx];
  };
  return (
    <Stage width={props.pane.widthPx} height={props.pane.heightPx} listening={false} className="overlay">
      <Layer
        listening={false}
        clipX={props.view.xPx}
        clipY={props.view.yPx}
        clipWidth={props.image.widthPx * props.view.scale}
        clipHeight={props.image.heightPx * props.view.scale}
      >
        {props.shapes.map((shape, index) => (
          // The list is redrawn whole whenever it changes; a shape has no identity of its own.
          <PaintedShape key={index} shape={shape} at={at} />
        ))}
        {props.chosen ? <Chosen at={at(props.chosen)} /> : null}
      </Layer>
    </Stage>
  );
}

function Chosen({ at: [x, y] }: { readonly at: [number, number] }) {
  return <Circle x={x} y={y} radius={13} stroke="#f0a24a" strokeWidth={2} dash={[4, 3]} />;
}

const halo = "#10181acc";

function PaintedShape({
  shape,
  at,
}: {
  readonly shape: Shape;
  readonly at: (point: PicturePoint) => [number, number];
}) {
  const ink = filmInks[shape.ink];
  switch (shape.kind) {
    case "path":
      return (
        <Line
          points={shape.points.flatMap(at)}
          closed={shape.closed}
          stroke={ink.colour}
          strokeWidth={ink.widthPx}
          strokeEnabled={ink.widthPx > 0}
          {...(ink.dash ? { dash: [...ink.dash] } : {})}
          {...(ink.fill && shape.closed ? { fill: ink.fill } : {})}
          shadowColor={halo}
          shadowBlur={shape.closed ? 0 : 2}
        />
      );
    case "cross": {
      const [x, y] = at(shape.at);
      const arms = 6;
      return (
        <Group x={x} y={y} rotation={ink.slanted === true ? 45 : 0}>
          <Line points={[-arms, 0, arms, 0]} stroke={halo} strokeWidth={ink.widthPx + 2} />
          <Line points={[0, -arms, 0, arms]} stroke={halo} strokeWidth={ink.widthPx + 2} />
          <Line points={[-arms, 0, arms, 0]} stroke={ink.colour} strokeWidth={ink.widthPx} />
          <Line points={[0, -arms, 0, arms]} stroke={ink.colour} strokeWidth={ink.widthPx} />
        </Group>
      );
    }
    case "ring": {
      const [x, y] = at(shape.at);
      return (
        <Circle
          x={x}
          y={y}
          radius={8}
          stroke={ink.colour}
          strokeWidth={ink.widthPx}
          {...(ink.dash ? { dash: [...ink.dash] } : {})}
        />
      );
    }
    case "arrow":
      return (
        <Arrow
          points={[...at(shape.from), ...at(shape.to)]}
          stroke={ink.colour}
          fill={ink.colour}
          strokeWidth={1.6}
          pointerLength={7}
          pointerWidth={6}
          shadowColor={halo}
          shadowBlur={2}
        />
      );
    case "label":
      return <PaintedLabel shape={shape} at={at(shape.at)} />;
  }
}

const labelDropPx = { above: -18, on: 0, below: 16 };

function PaintedLabel({
  shape,
  at: [x, y],
}: {
  readonly shape: Extract<Shape, { kind: "label" }>;
  readonly at: [number, number];
}) {
  const ink = filmInks[shape.ink];
  const centre = { x, y: y + labelDropPx[shape.place] };
  if (shape.ink === "official") {
    const width = 8 + shape.text.length * 8;
    return (
      <Label x={centre.x - width / 2} y={centre.y - 8}>
        <Tag fill="#10181ae0" stroke={ink.colour} strokeWidth={1} cornerRadius={2} />
        <Text
          text={shape.text}
          width={width}
          height={16}
          align="center"
          verticalAlign="middle"
          fontStyle="bold"
          fontSize={11}
          fill={ink.colour}
        />
      </Label>
    );
  }
  return (
    <Text
      x={centre.x - 30}
      y={centre.y - 8}
      width={60}
      height={16}
      align="center"
      verticalAlign="middle"
      text={shape.text}
      fontStyle="bold"
      fontSize={13}
      fill={ink.colour}
      stroke={halo}
      strokeWidth={3}
      fillAfterStrokeEnabled
    />
  );
}
