import { useRef } from "react";
import { imageOf } from "#core/field/seen-through";
import { fieldPoint, type FieldPoint } from "#core/field/units";
import {
  planMarginYards,
  planMarkShapes,
  planPoint,
  planSituationShapes,
  planTargetShapes,
} from "#core/picture/plan-picture";
import { planInstantShapes } from "#core/picture/instant-picture";
import { planSightShapes, sightlines } from "#core/picture/look-picture";
import { subjectName } from "#core/picture/mark-glyph";
import type { Shape } from "#core/picture/shape";
import { planZoneShapes } from "#core/picture/zone-picture";
import { Plan } from "../stage/plan.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";
import { zonesDrawn } from "./zones-drawn.ts";

/** The same marks from above. A mark dragged here moves in the frame too, to where that spot is seen. */
export function PlanPane({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const {
    layout,
    judged,
    page,
    play,
    moment,
    pointed,
    chosen,
    choose,
    setDraft,
    readOnly,
    records,
    shade,
    judgedPlay,
    instantSec,
  } = fieldbook;
  const held = useRef<string | null>(null);
  const survey = judged.survey.kind === "solved" ? judged.survey.survey : null;
  const findings =
    page === "findings" || page === "marks"
      ? judged.findings.filter((finding) => pointed === null || finding.position === pointed)
      : [];
  const visible: Shape[] =
    survey && survey.visible.length > 2
      ? [{ kind: "path", ink: "note", points: survey.visible.map((point) => planPoint(layout, point)), closed: true }]
      : [];
  const course = page === "findings" ? (judgedPlay?.course ?? null) : null;
  const instant = course && instantSec !== null ? planInstantShapes(layout, course, instantSec) : null;
  const zones = zonesDrawn(fieldbook);
  const shapes: Shape[] = [
    ...(shade?.plan ?? []),
    ...visible,
    ...(zones ? planZoneShapes(layout, zones) : []),
    ...(play ? planSituationShapes(layout, play.situation) : []),
    ...(instant ?? [
      ...planTargetShapes(layout, findings),
      ...(page === "findings" ? planSightShapes(layout, sightlines(judged.looks, judged.findings, pointed)) : []),
      ...planMarkShapes(layout, judged.placed),
    ]),
  ];
  const imageAt = (element: Element, event: { clientX: number; clientY: number }) => {
    const svg = element.closest("svg");
    const matrix = svg?.getScreenCTM();
    if (!svg || !matrix || !survey) return null;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    const ground: FieldPoint = fieldPoint(at.x, layout.widthYards - at.y);
    return imageOf(survey, ground);
  };
  return (
    <div className="plan-pane">
      <Plan layout={layout} shapes={shapes} label={planLabel(fieldbook)}>
        {(instant ? [] : judged.placed).map((mark) => {
          const [x, y] = planPoint(layout, mark.measured.position);
          return (
            <circle
              key={mark.markId}
              className={`plan-grip${chosen?.id === mark.markId ? " chosen" : ""}`}
              cx={x}
              cy={y}
              r={1.6}
              onPointerDown={(event) => {
                event.currentTarget.setPointerCapture(event.pointerId);
                choose({ kind: "mark", id: mark.markId });
                if (page === "marks" && !readOnly) held.current = mark.markId;
              }}
              onPointerMove={(event) => {
                if (held.current !== mark.markId || event.movementX + event.movementY === 0) return;
                const at = imageAt(event.currentTarget, event);
                if (at) setDraft({ kind: "mark", id: mark.markId, at });
              }}
              onPointerUp={(event) => {
                if (held.current !== mark.markId) return;
                held.current = null;
                const at = imageAt(event.currentTarget, event);
                const record = records.marks.find((candidate) => candidate.id === mark.markId);
                if (fieldbook.draft && record && at) void fieldbook.moveMark(record, at).then(() => setDraft(null));
              }}
            >
              <title>{subjectName(mark.subject)}</title>
            </circle>
          );
        })}
        {moment || instant || judged.placed.length > 0 ? null : (
          <text className="ink-note label" x={layout.totalLengthYards / 2} y={-planMarginYards / 2} dy="0.36em">
            nothing measured in this frame
          </text>
        )}
      </Plan>
    </div>
  );
}

function planLabel({ judged, judgedPlay, instantSec, page }: Fieldbook): string {
  if (page === "findings" && judgedPlay?.course && instantSec !== null) {
    const people = judgedPlay.course
      .standings(instantSec)
      .map(({ track, at }) => `${subjectName(track.subject)} at ${at.xYards.toFixed(1)}, ${at.yYards.toFixed(1)}`);
    return `Plan of the field ${instantSec.toFixed(2)} s after the snap, yards along and across: ${people.join("; ")}`;
  }
  const placed = judged.placed.map(
    (mark) =>
      `${subjectName(mark.subject)} at ${mark.measured.position.xYards.toFixed(1)}, ${mark.measured.position.yYards.toFixed(1)}`,
  );
  return placed.length === 0
    ? "Plan of the field; nothing measured in this frame"
    : `Plan of the field, yards along and across: ${placed.join("; ")}`;
}
