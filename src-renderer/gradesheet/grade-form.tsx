import { useEffect, useRef, useState } from "react";
import { clock } from "#core/game/words";
import { type GradeCell, gradeFault } from "#core/grading/grades";
import { isOnScale, pointsOf, wordsFor } from "#core/grading/scales";
import { keyOf } from "../app/keys.ts";
import { historyActions, usePlaceKeys } from "../app/use-place-keys.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { filmActions } from "../stage/film/film-actions.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** The cell at hand: what was found, what is suggested, and what the observer says. */
export function GradeForm({ sheet, at }: { readonly sheet: GradeSheet; readonly at: GradeCell }) {
  const { scale, play, evidence, readOnly } = sheet;
  const grade = sheet.gradeIn(at);
  const suggested = sheet.suggestedIn(at);
  const [reason, setReason] = useState(grade?.reason ?? "");
  const [comment, setComment] = useState(grade?.comment ?? "");
  // A grade that waits for its reason.
  const [waiting, setWaiting] = useState<number | null>(null);
  useEffect(() => {
    setReason(grade?.reason ?? "");
    setComment(grade?.comment ?? "");
  }, [grade]);
  const reasonField = useRef<HTMLTextAreaElement>(null);
  const give = (points: number | null) => {
    const said = { points, reason, comment };
    if (gradeFault(scale, suggested, said) === null) {
      setWaiting(null);
      sheet.say(said);
    } else {
      setWaiting(points);
      reasonField.current?.focus();
    }
  };
  const fault = waiting === null ? null : gradeFault(scale, suggested, { points: waiting, reason, comment });
  const settle = () => {
    if (waiting !== null && gradeFault(scale, suggested, { points: waiting, reason, comment }) === null) give(waiting);
    else if (waiting === null && grade && (grade.reason !== reason.trim() || grade.comment !== comment.trim()))
      give(grade.points);
  };
  const accept = () => suggested !== null && give(suggested);
  usePlaceKeys(
    "gradesheet",
    {
      ...filmActions(sheet.player),
      ...historyActions(sheet.cache, sheet.state, sheet.attempt),
      "whole-screen": () => sheet.attempt(() => toggleWholeScreen(sheet.filmRoom.current)),
      "grade-accept": accept,
      "grade-cannot": () => give(null),
      delete: sheet.takeBack,
    },
    (event) => {
      // On a scale of two figures a digit would be half a number.
      const points = scale.most < 10 && /^\d$/u.test(keyOf(event)) ? Number(event.key) : null;
      if (points === null || readOnly || !isOnScale(scale, points)) return false;
      give(points);
      return true;
    },
  );
  if (!play) return null;
  const shown = waiting ?? grade?.points;
  return (
    <section aria-label="Grade" className="grade-form">
      <h2>
        {at.position}, {at.criterion} <span className="soft">play {play.number}</span>
      </h2>
      <p>
        {suggested === null
          ? "Nothing is suggested: too little of it could be told from this play."
          : `The findings suggest ${suggested}${wordsFor(scale, suggested) ? `, ${wordsFor(scale, suggested)}` : ""}.`}
      </p>
      {evidence.length === 0 ? (
        <p className="soft">Nothing of this in this play.</p>
      ) : (
        <ul className="evidence">
          {evidence.map((one, index) => {
            const moment = sheet.records.moments.find(({ id }) => id === one.momentId);
            return (
              <li key={index} data-verdict={one.finding.verdict}>
                <b>{one.finding.verdict}</b> {one.finding.sentence}{" "}
                <Button look="bare" name="Show it in the film" onPress={() => sheet.showEvidence(one)}>
                  {moment ? clock(moment.timeSec) : "film"}
                </Button>
              </li>
            );
          })}
        </ul>
      )}
      <div className="points" role="group" aria-label="Points">
        {pointsOf(scale).map((points) => (
          <Button
            key={points}
            name={`${points}${wordsFor(scale, points) ? `: ${wordsFor(scale, points)}` : ""}`}
            title={wordsFor(scale, points)}
            pressed={shown === points}
            disabled={readOnly}
            onPress={() => give(points)}
          >
            {points}
          </Button>
        ))}
        <Button
          name="Cannot judge from film"
          pressed={waiting === null && grade !== null && grade.points === null}
          disabled={readOnly}
          shortcut="C"
          onPress={() => give(null)}
        >
          Cannot judge
        </Button>
      </div>
      <div className="row">
        <Button look="primary" disabled={readOnly || suggested === null} shortcut="A" onPress={accept}>
          Accept{suggested === null ? "" : ` ${suggested}`}
        </Button>
        <Button disabled={readOnly || grade === null} onPress={sheet.takeBack}>
          Take the grade back
        </Button>
      </div>
      {fault === null ? null : (
        <p className="contradiction" role="alert">
          {fault}
        </p>
      )}
      <Labelled label="Reason" field="reason">
        <textarea
          ref={reasonField}
          rows={2}
          maxLength={2000}
          value={reason}
          readOnly={readOnly}
          onChange={(event) => setReason(event.target.value)}
          onBlur={settle}
        />
      </Labelled>
      <Labelled label="Comment" field="comment">
        <textarea
          rows={2}
          maxLength={4000}
          value={comment}
          readOnly={readOnly}
          onChange={(event) => setComment(event.target.value)}
          onBlur={settle}
        />
      </Labelled>
      {grade ? (
        <p className="soft">
          Graded {new Date(grade.gradedAt).toLocaleString()}
          {grade.suggested === null ? "" : `, when ${grade.suggested} was suggested`}.
        </p>
      ) : null}
      <p className="caution">
        A suggestion is evidence for a person, not a verdict on one. Grades are private: they stay in this library, and
        your association’s own manual comes first.
      </p>
    </section>
  );
}
