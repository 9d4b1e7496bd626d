import { useEffect, useRef, useState } from "react";
import { clock } from "#core/game/words";
import { type GradeCell, gradeFault } from "#core/grading/grades";
import { isOnScale, pointsOf, wordsFor } from "#core/grading/scales";
import { keyOf } from "../app/keys.ts";
import { historyActions, usePlaceKeys } from "../app/use-place-keys.ts";
import { isAmended } from "#core/grading/seal";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { filmActions } from "../stage/film/film-actions.ts";
import { toggleWholeScreen } from "../stage/film/whole-screen.ts";
import { GradeHistory } from "./grade-history.tsx";
import { PrivateNote } from "./private-note.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** The cell at hand: what was found, what is suggested, and what the observer says. */
export function GradeForm({ sheet, at }: { readonly sheet: GradeSheet; readonly at: GradeCell }) {
  const { scale, play, evidence, readOnly } = sheet;
  const grade = sheet.gradeIn(at);
  const suggested = sheet.suggestedIn(at);
  const [reason, setReason] = useState(grade?.reason ?? "");
  const [comment, setComment] = useState(grade?.comment ?? "");
  // A grade that waits for its reason; its points are null where it cannot be judged.
  const [waiting, setWaiting] = useState<{ readonly points: number | null } | null>(null);
  useEffect(() => {
    setReason(grade?.reason ?? "");
    setComment(grade?.comment ?? "");
  }, [grade]);
  const reasonField = useRef<HTMLTextAreaElement>(null);
  const isSealed = sheet.sealed !== null;
  const faultOf = (points: number | null) => gradeFault(scale, suggested, { points, reason }, isSealed);
  const momentIds = grade?.momentIds ?? [];
  const give = (points: number | null, moments = momentIds) => {
    const said = { points, reason, comment, momentIds: moments };
    if (faultOf(points) === null) {
      setWaiting(null);
      sheet.say(said);
    } else {
      setWaiting({ points });
      reasonField.current?.focus();
    }
  };
  const fault = waiting === null ? null : faultOf(waiting.points);
  const settle = () => {
    if (waiting !== null && faultOf(waiting.points) === null) give(waiting.points);
    else if (waiting === null && grade && (grade.reason !== reason.trim() || grade.comment !== comment.trim()))
      give(grade.points);
  };
  const here = sheet.momentHere;
  const toggleMoment = () => {
    if (!here || !grade) return;
    give(
      grade.points,
      momentIds.includes(here.id) ? momentIds.filter((id) => id !== here.id) : [...momentIds, here.id],
    );
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
  if (!play && at.playId !== null) return null;
  const shown = waiting === null ? grade?.points : waiting.points;
  const saysNothing = waiting === null && grade === null;
  return (
    <section aria-label="Grade" className="grade-form">
      <h2>
        {at.position}, {at.criterion} <span className="soft">{play ? `play ${play.number}` : "the whole game"}</span>
      </h2>
      <p>
        {suggested === null
          ? `Nothing is suggested: too little of it could be told from ${play ? "this play" : "the game"}.`
          : `The findings suggest ${suggested}${wordsFor(scale, suggested) ? `, ${wordsFor(scale, suggested)}` : ""}.`}
      </p>
      {play === null ? (
        <p className="soft">{sheet.gameEvidence(at)}</p>
      ) : evidence.length === 0 ? (
        <p className="soft">Nothing of this in this play.</p>
      ) : (
        <ul className="evidence">
          {evidence.map((one, index) => {
            const moment = sheet.records.moments.find(({ id }) => id === one.momentId);
            const where = moment ? clock(moment.timeSec) : "film";
            return (
              <li key={index} data-verdict={one.finding.verdict}>
                <b>{one.finding.verdict}</b> {one.finding.sentence}{" "}
                <Button look="bare" name={`${where}: show it in the film`} onPress={() => sheet.showEvidence(one)}>
                  {where}
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
          pressed={!saysNothing && shown === null}
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
        <Button disabled={readOnly || grade === null || isSealed} onPress={sheet.takeBack}>
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
        <>
          <div className="row">
            <Button
              disabled={readOnly || !here || isSealed}
              pressed={here !== null && momentIds.includes(here.id)}
              title="The moment that the film stands at goes to the official's page with this grade"
              onPress={toggleMoment}
            >
              Evidence{here ? `: ${clock(here.timeSec)}` : ""}
            </Button>
            <span className="soft">
              {momentIds.length === 0
                ? here
                  ? "The moment in view can be taken as evidence."
                  : "Stop at a moment to take it as evidence."
                : `Taken: ${sheet.records.moments
                    .filter(({ id }) => momentIds.includes(id))
                    .map(({ timeSec }) => clock(timeSec))
                    .join(", ")}`}
            </span>
          </div>
          <p className="soft">
            Graded {new Date(grade.gradedAt).toLocaleString()}
            {grade.suggested === null ? "" : `, when ${grade.suggested} was suggested`}
            {isAmended(sheet.records, { authorId: grade.authorId, at: grade.gradedAt }) ? "; amended" : ""}.
          </p>
          <GradeHistory sheet={sheet} recordId={grade.id} />
        </>
      ) : null}
      <PrivateNote
        sheet={sheet}
        subject={{ playId: at.playId, position: at.position }}
        label={`Private note on ${at.position}${play ? `, play ${play.number}` : ""}: stays here`}
      />
      <p className="caution">
        A suggestion is evidence for a person, not a verdict on one. Grades are private: they stay in this library, and
        your association’s own manual comes first.
      </p>
    </section>
  );
}
