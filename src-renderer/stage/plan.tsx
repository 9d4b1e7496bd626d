import type { ReactNode } from "react";
import type { FieldLayout } from "#core/field/template";
import "./plan.css";
import { planFieldShapes, planMarginYards } from "#core/picture/plan-picture";
import type { PicturePoint, Shape } from "#core/picture/shape";

/** A plan of the field drawn like a plat, in yards. Shapes are painted by their ink's class. */
export function Plan(props: {
  readonly layout: FieldLayout;
  readonly shapes: readonly Shape[];
  readonly label: string;
  readonly children?: ReactNode;
}) {
  const { layout } = props;
  const margin = planMarginYards;
  return (
    <svg
      className="plan"
      viewBox={`${-margin} ${-margin} ${layout.totalLengthYards + 2 * margin} ${layout.widthYards + 2 * margin}`}
      role="img"
      aria-label={props.label}
      preserveAspectRatio="xMidYMid meet"
    >
      <defs>
        <pattern id="hatch-wrong" width="1.2" height="1.2" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path className="hatch" d="M0 0V1.2" />
        </pattern>
        <pattern id="hatch-zone" width="1.3" height="1.3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path className="hatch-zone" d="M0 0V1.3" />
        </pattern>
        <pattern
          id="hatch-no-running"
          width="1.6"
          height="1.6"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(-45)"
        >
          <path className="hatch-faint" d="M0 0V1.6" />
        </pattern>
        <marker
          id="plan-arrow"
          viewBox="0 0 6 6"
          refX="5"
          refY="3"
          markerWidth="5"
          markerHeight="5"
          orient="auto-start-reverse"
        >
          <path d="M0 0L6 3L0 6z" fill="context-stroke" />
        </marker>
      </defs>
      {planFieldShapes(layout).map(paint)}
      {props.shapes.map(paint)}
      {props.children}
    </svg>
  );
}

const joined = (points: readonly PicturePoint[]) => points.map(([x, y]) => `${x.toFixed(3)},${y.toFixed(3)}`).join(" ");

function paint(shape: Shape, key: number): ReactNode {
  const className = `ink-${shape.ink}`;
  switch (shape.kind) {
    case "path":
      return shape.closed ? (
        <polygon key={key} className={className} points={joined(shape.points)} />
      ) : (
        <polyline key={key} className={className} points={joined(shape.points)} />
      );
    case "cross":
      return (
        <path
          key={key}
          className={className}
          d={`M${shape.at[0] - 0.7} ${shape.at[1]}h1.4M${shape.at[0]} ${shape.at[1] - 0.7}v1.4`}
        />
      );
    case "ring":
      return <circle key={key} className={className} cx={shape.at[0]} cy={shape.at[1]} r={0.9} />;
    case "arrow":
      return (
        <line
          key={key}
          className={`${className} arrow`}
          x1={shape.from[0]}
          y1={shape.from[1]}
          x2={shape.to[0]}
          y2={shape.to[1]}
          markerEnd="url(#plan-arrow)"
        />
      );
    case "label":
      return (
        <text
          key={key}
          className={`${className} label`}
          x={shape.at[0]}
          y={shape.at[1]}
          dy="0.36em"
          {...(shape.turned === true ? { transform: `rotate(180 ${shape.at[0]} ${shape.at[1]})` } : {})}
        >
          {shape.text}
        </text>
      );
  }
}
