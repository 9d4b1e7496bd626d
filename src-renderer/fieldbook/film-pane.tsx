import { type KeyboardEvent, type PointerEvent, type RefObject, useMemo, useRef, useState } from "react";
import { proposeLandmark } from "#core/field/propose-landmark";
import { type ImagePoint, imageDistancePx, imagePoint, screenPoint } from "#core/field/units";
import {
  fieldLineShapes,
  ghostShapes,
  markShapes,
  situationShapes,
  stakeShapes,
  targetShapes,
} from "#core/picture/frame-picture";
import { frameSightShapes, sightlines } from "#core/picture/look-picture";
import { frameZoneShapes } from "#core/picture/zone-picture";
import type { PicturePoint, Shape } from "#core/picture/shape";
import { subjectName } from "#core/picture/mark-glyph";
import type { Ghost } from "#core/scoring/ghosts";
import { clicksOf } from "#core/game/edits";
import type { Film, LineClick } from "#core/game/records";
import { FrameOverlay } from "../stage/frame-overlay.tsx";
import { Loupe } from "../stage/loupe.tsx";
import { usePaneView } from "../stage/use-view.ts";
import { toImage, toScreen } from "../stage/view.ts";
import { settled } from "./settle.ts";
import { type Fieldbook, type StakeTarget, targetOf } from "./use-fieldbook.ts";
import { zonesDrawn } from "./zones-drawn.ts";

const grabPx = 13;
const clickSlackPx = 4;
const panStepPx = 60;

type Grip =
  | { readonly kind: "stake"; readonly id: string; readonly click: number; readonly from: ImagePoint }
  | { readonly kind: "mark" | "facing" | "ghost"; readonly id: string; readonly from: ImagePoint };
type Press =
  | { readonly kind: "grip"; readonly grip: Grip; readonly offU: number; readonly offV: number; moved: boolean }
  | {
      readonly kind: "ground";
      readonly xPx: number;
      readonly yPx: number;
      lastX: number;
      lastY: number;
      moved: boolean;
    };

export type FilmPaneHandle = {
  readonly zoom: (factor: number) => void;
  readonly fit: () => void;
  readonly pointer: () => ImagePoint | null;
};

/** The film with what was clicked and measured drawn over it. A click places; a drag moves a point or, zoomed, the picture. */
export function FilmPane(props: {
  readonly fieldbook: Fieldbook;
  readonly film: Film;
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  readonly video: RefObject<HTMLVideoElement | null>;
  readonly paused: boolean;
  /** The frame that plays, or null while the film stands. */
  readonly playingIndex: number | null;
  readonly linesShown: boolean;
  readonly handle: RefObject<FilmPaneHandle | null>;
}) {
  const { fieldbook, film, canvas, video, paused, playingIndex } = props;
  const { page, stakes, marks, chosen } = fieldbook;
  const { paneRef, pane, view, isEnlarged, zoom, fit, pan, imageAt, style } = usePaneView(film);
  const [pointer, showPointer] = useState<ImagePoint | null>(null);
  // A key may come before what the pointer did is drawn.
  const pointerNow = useRef<ImagePoint | null>(null);
  const setPointer = (at: ImagePoint | null) => {
    pointerNow.current = at;
    showPointer(at);
  };
  const [aim, setAim] = useState<ImagePoint | null>(null);
  const press = useRef<Press | null>(null);
  props.handle.current = {
    zoom: (factor) => zoom(factor, pointer),
    fit,
    pointer: () => pointerNow.current,
  };

  const gripNear = (at: ImagePoint): Grip | null => {
    const grips: Grip[] =
      page === "survey"
        ? stakes.flatMap((stake) =>
            clicksOf(stake).map((one, click): Grip => ({ kind: "stake", id: stake.id, click, from: one.at })),
          )
        : page === "marks"
          ? [
              ...marks.map((mark): Grip => ({ kind: "mark", id: mark.id, from: mark.click })),
              ...marks.flatMap((mark): Grip[] =>
                mark.facing ? [{ kind: "facing", id: mark.id, from: mark.facing }] : [],
              ),
              ...fieldbook.ghosts.list.map(({ id, at: from }): Grip => ({ kind: "ghost", id, from })),
            ]
          : [];
    const near = grips.filter((grip) => imageDistancePx(grip.from, at) * view.scale <= grabPx);
    const off = (grip: Grip) => imageDistancePx(grip.from, at) - (grip.id === chosen?.id ? grabPx / view.scale : 0);
    return near.toSorted((a, b) => off(a) - off(b))[0] ?? null;
  };

  const place = (at: ImagePoint, asClicked: boolean) => {
    if (fieldbook.readOnly) return;
    const settle: Settle = (click, target) =>
      asClicked ? { at: click, raw: null } : settled(fieldbook, canvas.current, click, target);
    if (page === "survey") void placeStake(fieldbook, at, settle);
    else if (page === "marks") placePerson(fieldbook, at);
  };

  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0 && event.button !== 1) return;
    paneRef.current?.focus({ preventScroll: true });
    event.currentTarget.setPointerCapture(event.pointerId);
    const at = imageAt(event);
    // With Shift held a click places even where somebody stands close by.
    const grip = event.button === 0 && paused && !fieldbook.readOnly && !event.shiftKey ? gripNear(at) : null;
    setAim(null);
    press.current = grip
      ? { kind: "grip", grip, offU: grip.from.uPx - at.uPx, offV: grip.from.vPx - at.vPx, moved: false }
      : {
          kind: "ground",
          xPx: event.clientX,
          yPx: event.clientY,
          lastX: event.clientX,
          lastY: event.clientY,
          moved: event.button === 1,
        };
    if (grip && grip.kind !== "ghost")
      fieldbook.choose(
        grip.kind === "stake" ? { kind: "stake", id: grip.id, click: grip.click } : { kind: "mark", id: grip.id },
      );
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    const at = imageAt(event);
    setPointer(at);
    const held = press.current;
    if (held?.kind === "grip") {
      const to = imagePoint(at.uPx + held.offU, at.vPx + held.offV);
      if (!held.moved && imageDistancePx(to, held.grip.from) * view.scale < 2) return;
      held.moved = true;
      const { grip } = held;
      fieldbook.setDraft(
        grip.kind === "stake"
          ? { kind: "stake", id: grip.id, click: grip.click, at: to }
          : { kind: grip.kind, id: grip.id, at: to },
      );
    } else if (held?.kind === "ground") {
      if (!held.moved && Math.hypot(event.clientX - held.xPx, event.clientY - held.yPx) < clickSlackPx) return;
      held.moved = true;
      pan(event.clientX - held.lastX, event.clientY - held.lastY);
      held.lastX = event.clientX;
      held.lastY = event.clientY;
    }
  };
  const onPointerUp = (event: PointerEvent<HTMLDivElement>) => {
    const held = press.current;
    press.current = null;
    if (!held) return;
    if (held.kind === "ground") {
      if (!held.moved && paused) place(imageAt(event), event.altKey);
      return;
    }
    const at = imageAt(event);
    if (!held.moved) {
      // Somebody brought over is in nobody's way: a click there places the one whose turn it is.
      if (held.grip.kind === "ghost") place(at, event.altKey);
      return;
    }
    void letGo(fieldbook, held.grip, imagePoint(at.uPx + held.offU, at.vPx + held.offV), (click, target) =>
      event.altKey ? { at: click, raw: null } : settled(fieldbook, canvas.current, click, target),
    );
  };

  const onKeyDown = (event: KeyboardEvent<HTMLDivElement>) => {
    const arrow = arrows[event.key];
    if (arrow && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      event.stopPropagation();
      const size = event.altKey ? 0.1 : event.shiftKey ? 10 : 1;
      const moved = (from: ImagePoint) => imagePoint(from.uPx + arrow[0] * size, from.vPx + arrow[1] * size);
      if (aim) {
        setAim(moved(aim));
        setPointer(moved(aim));
      } else if (chosenAt(fieldbook)) {
        if (!fieldbook.readOnly) void nudge(fieldbook, moved);
      } else if (isEnlarged) {
        // With nobody chosen the arrows move the picture: toward what lies in the arrow's direction.
        pan(-arrow[0] * panStepPx, -arrow[1] * panStepPx);
      }
    } else if (event.key === "Enter" && paused && (page === "survey" || page === "marks")) {
      event.preventDefault();
      if (aim) {
        place(aim, event.altKey);
        setAim(null);
      } else {
        const centre = pointer ?? toImage(view, screenPoint(pane.widthPx / 2, pane.heightPx / 2));
        setAim(centre);
        setPointer(centre);
      }
    } else if (event.key === "Escape") {
      setAim(null);
    }
  };

  const shapes = useMemo(
    () =>
      paused ? shapesOf(fieldbook, props.linesShown) : linesWhilePlaying(fieldbook, playingIndex, props.linesShown),
    [fieldbook, paused, playingIndex, props.linesShown],
  );
  const waiting: Shape[] = [fieldbook.unnamedClick, aim].flatMap((at) =>
    at ? [{ kind: "cross" as const, ink: "note" as const, at: [at.uPx, at.vPx] as const }] : [],
  );
  const placing = paused && (page === "survey" || page === "marks");
  return (
    <div
      ref={paneRef}
      className={`film-pane${placing ? " placing" : ""}`}
      role="application"
      aria-label={paneLabel(fieldbook, film)}
      tabIndex={0}
      data-shown={paused}
      data-scale={view.scale}
      data-x={view.xPx}
      data-y={view.yPx}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerLeave={() => setPointer(null)}
      onKeyDown={onKeyDown}
    >
      <video
        ref={video}
        className="film"
        style={style}
        muted
        playsInline
        preload="auto"
        tabIndex={-1}
        aria-hidden="true"
      />
      <canvas ref={canvas} className={`film${view.scale > 2 ? " close" : ""}`} style={style} aria-hidden="true" />
      <FrameOverlay
        shapes={[...shapes, ...waiting]}
        view={view}
        pane={pane}
        image={film}
        chosen={chosenAt(fieldbook)}
      />
      {placing && pointer ? (
        <Loupe
          source={canvas}
          at={fieldbook.draft?.at ?? pointer}
          onLeft={toScreen(view, pointer).xPx > pane.widthPx / 2}
        />
      ) : null}
    </div>
  );
}

const arrows: Record<string, readonly [number, number] | undefined> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

function paneLabel(fieldbook: Fieldbook, film: Film): string {
  const doing = {
    play: "",
    survey: ". Click a field point to place a stake",
    marks: ". Click between the feet to place a mark",
    findings: "",
  }[fieldbook.page];
  return `Film ${film.label}${doing}`;
}

function shapesOf(fieldbook: Fieldbook, linesShown: boolean): Shape[] {
  const { judged, page, layout, stakes, marks, situation, pointed, shade } = fieldbook;
  const survey = judged.survey.kind === "solved" ? judged.survey.survey : null;
  const off = new Set(
    judged.survey.kind === "refused"
      ? judged.survey.refusal.code === "too-few-stakes"
        ? []
        : judged.survey.refusal.stakeIds
      : (survey?.warnings ?? [])
          .filter((warning) => warning.code === "wrong-name" || warning.code === "stake-off")
          .flatMap((warning) => warning.stakeIds),
  );
  const zones = zonesDrawn(fieldbook);
  const findings = judged.findings.filter(
    (finding) => finding.target && (page === "findings" ? pointed === null || pointed === finding.position : false),
  );
  return [
    ...(shade?.frame ?? []),
    ...(survey && (linesShown || page === "survey") ? fieldLineShapes(layout, survey) : []),
    ...(survey && page !== "survey" ? situationShapes(layout, survey, situation) : []),
    ...(survey ? targetShapes(survey, findings) : []),
    ...(survey && zones ? frameZoneShapes(survey, zones) : []),
    ...(survey && page === "findings"
      ? frameSightShapes(survey, sightlines(judged.looks, judged.findings, pointed))
      : []),
    ...(page === "survey" ? stakeShapes(layout, stakes, survey, off) : []),
    ...(page === "marks" ? ghostShapes(ghostsDrawn(fieldbook), fieldbook.ghosts.next?.id ?? null) : []),
    ...(page === "survey" ? [] : markShapes(marks, judged)),
  ];
}

/** The one that is being dragged where it is dragged to. */
function ghostsDrawn({ ghosts, draft }: Fieldbook): readonly Ghost[] {
  if (draft?.kind !== "ghost") return ghosts.list;
  return ghosts.list.map((ghost) => (ghost.id === draft.id ? { ...ghost, at: draft.at, facing: null } : ghost));
}

/** The field's lines on the frame that plays, where a survey was carried to it. */
function linesWhilePlaying({ surveys, layout }: Fieldbook, playingIndex: number | null, linesShown: boolean): Shape[] {
  if (playingIndex === null || !linesShown || !surveys) return [];
  const state = surveys.at(playingIndex);
  return state.kind === "solved" ? fieldLineShapes(layout, state.survey) : [];
}

function chosenAt(fieldbook: Fieldbook): PicturePoint | null {
  const { chosen, page, stakes, marks } = fieldbook;
  if (chosen?.kind === "stake" && page === "survey") {
    const stake = stakes.find((candidate) => candidate.id === chosen.id);
    const at = stake && clicksOf(stake)[chosen.click]?.at;
    return at ? [at.uPx, at.vPx] : null;
  }
  if (chosen?.kind !== "mark" || page !== "marks") return null;
  const mark = marks.find((candidate) => candidate.id === chosen.id);
  return mark ? [mark.click.uPx, mark.click.vPx] : null;
}

/** The person whose turn it is of those brought over, or the one that was chosen. */
function placePerson(fieldbook: Fieldbook, click: ImagePoint): void {
  const { next } = fieldbook.ghosts;
  if (next) void fieldbook.placeGhosts(`Mark ${subjectName(next.subject)}`, [{ ...next, click }]);
  else void fieldbook.markAt(click, fieldbook.pen);
}

/** Where a click on a point or a line counts. */
type Settle = (click: ImagePoint, target: StakeTarget) => LineClick;

async function placeStake(fieldbook: Fieldbook, at: ImagePoint, settle: Settle): Promise<void> {
  const { target, layout, stakes, judged, records, here, film } = fieldbook;
  if (target !== null) return fieldbook.stakeAt(settle(at, target), target);
  const survey = judged.survey.kind === "solved" ? judged.survey.survey.homography : null;
  const proposed = proposeLandmark(
    layout,
    stakes.filter((stake) => stake.kind === "point"),
    at,
    {
      survey,
      otherFrame: survey || !here || !film ? null : nearestSurvey(fieldbook),
    },
  );
  const named: StakeTarget | null = proposed ? { kind: "point", id: proposed.id } : null;
  if (named && records) await fieldbook.stakeAt(settle(at, named), named);
  else fieldbook.setUnnamedClick(at);
}

/** The survey of the film's surveyed moment nearest in time: what two stakes move into place. */
function nearestSurvey({ records, here, film, surveys }: Fieldbook) {
  if (!here || !film || !surveys) return null;
  const others = records.moments
    .filter((moment) => moment.filmId === film.id && moment.frameIndex !== here.frameIndex)
    .toSorted((a, b) => Math.abs(a.timeSec - here.timeSec) - Math.abs(b.timeSec - here.timeSec));
  for (const moment of others) {
    const solved = surveys.at(moment.frameIndex);
    if (solved.kind === "solved") return solved.survey.homography;
  }
  return null;
}

async function letGo(fieldbook: Fieldbook, grip: Grip, at: ImagePoint, settle: Settle): Promise<void> {
  if (grip.kind === "stake") {
    const stake = fieldbook.records.stakes.find((candidate) => candidate.id === grip.id);
    if (stake) await fieldbook.moveStake(stake, grip.click, settle(at, targetOf(stake)));
  } else if (grip.kind === "ghost") {
    const ghost = fieldbook.ghosts.list.find((candidate) => candidate.id === grip.id);
    if (ghost) await fieldbook.placeGhosts(`Mark ${subjectName(ghost.subject)}`, [{ ...ghost, click: at }]);
  } else {
    const mark = fieldbook.records.marks.find((candidate) => candidate.id === grip.id);
    if (mark) await (grip.kind === "mark" ? fieldbook.moveMark(mark, at) : fieldbook.face(mark, at));
  }
  fieldbook.setDraft(null);
}

async function nudge(fieldbook: Fieldbook, moved: (from: ImagePoint) => ImagePoint): Promise<void> {
  const { chosen, records } = fieldbook;
  if (chosen?.kind === "stake") {
    const stake = records.stakes.find((candidate) => candidate.id === chosen.id);
    const from = stake && clicksOf(stake)[chosen.click]?.at;
    if (stake && from) await fieldbook.moveStake(stake, chosen.click, { at: moved(from), raw: null });
  } else if (chosen?.kind === "mark") {
    const mark = records.marks.find((candidate) => candidate.id === chosen.id);
    if (mark) await fieldbook.moveMark(mark, moved(mark.click));
  }
}
