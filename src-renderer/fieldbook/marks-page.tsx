import type { Mark, MarkSubject } from "#core/game/records";
import { sameSubject } from "#core/game/edits";
import { markingLetters } from "#core/game/marking-letters";
import { glyphOf, subjectName } from "#core/picture/mark-glyph";
import { Button } from "../parts/button.tsx";
import { GhostsSection } from "./ghosts-section.tsx";
import { MomentSlots } from "./moment-slots.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { errorWords, placeWords } from "./words.ts";
import type { CarryHand } from "./use-carry.ts";
import type { Fieldbook } from "./use-fieldbook.ts";

const offence: readonly MarkSubject[] = (["snapper", "passer", "back", "receiver", "blocker"] as const).map((role) => ({
  kind: "player",
  side: "A",
  role,
}));
const defence: readonly MarkSubject[] = (["defender", "rusher"] as const).map((role) => ({
  kind: "player",
  side: "B",
  role,
}));
const ball: MarkSubject = { kind: "ball" };

/** Who is where: choose whom to mark, click between the feet. Every mark is read in yards as soon as it is placed. */
export function MarksPage({
  fieldbook,
  hand,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly hand: CarryHand;
  /** To an instant of the play. */
  readonly onGo: (playSec: number) => void;
}) {
  const { book, records, marks, pen, judged, readOnly, here, ghosts } = fieldbook;
  const setPen = (subject: MarkSubject) => {
    ghosts.choose(null);
    fieldbook.setPen(subject);
  };
  const officials: readonly MarkSubject[] = (book?.positions ?? []).map((position) => ({
    kind: "official",
    position: position.id,
  }));
  const letters = markingLetters((book?.positions ?? []).map(({ id }) => id));
  const { homeName, awayName } = records.game;
  const [aName, bName] = fieldbook.situation.offence === "home" ? [homeName, awayName] : [awayName, homeName];
  return (
    <div className="page">
      <MomentSlots fieldbook={fieldbook} onGo={onGo} />
      {judged.survey.kind === "solved" ? null : (
        <div className="standing-box unsure">
          <p>
            This frame is not surveyed, so marks have no place in yards yet. They are kept, and measured once it is.
          </p>
        </div>
      )}
      {readOnly ? null : (
        <section aria-label="Whom to mark">
          <GhostsSection fieldbook={fieldbook} hand={hand} />
          <p className="ask" aria-live="polite">
            {!here
              ? "Stop the film on a frame to mark people in it."
              : ghosts.next
                ? "Or choose somebody of your own:"
                : `Click between the feet: ${subjectName(pen)}.`}
          </p>
          <Pens
            title="Officials"
            subjects={officials}
            pen={ghosts.next ? null : pen}
            onPen={setPen}
            marks={marks}
            letters={letters}
          />
          <Pens
            title={`A · ${aName}`}
            subjects={offence}
            pen={ghosts.next ? null : pen}
            onPen={setPen}
            marks={marks}
            letters={letters}
          />
          <Pens
            title={`B · ${bName}`}
            subjects={defence}
            pen={ghosts.next ? null : pen}
            onPen={setPen}
            marks={marks}
            letters={letters}
          />
          <Pens
            title="Ball"
            subjects={[ball]}
            pen={ghosts.next ? null : pen}
            onPen={setPen}
            marks={marks}
            letters={letters}
          />
        </section>
      )}
      <section aria-label="Marks">
        <h3>Marks of this frame</h3>
        {marks.length === 0 ? (
          <p className="soft">None yet.</p>
        ) : (
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Who</th>
                <th scope="col">From the line of scrimmage, and across</th>
                <th scope="col" title="Half-lengths of the 95 % region along and across the field">
                  95 %, yd
                </th>
                <th>
                  <span className="visually-hidden">Take away</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {inOrder(marks).map((mark) => (
                <MarkRow key={mark.id} fieldbook={fieldbook} mark={mark} />
              ))}
            </tbody>
          </table>
        )}
      </section>
      <ChosenMark fieldbook={fieldbook} />
    </div>
  );
}

function Pens(props: {
  readonly title: string;
  readonly subjects: readonly MarkSubject[];
  readonly pen: MarkSubject | null;
  readonly onPen: (subject: MarkSubject) => void;
  readonly letters: ReadonlyMap<string, MarkSubject>;
  readonly marks: readonly Mark[];
}) {
  return (
    <div className="pens" role="group" aria-label={props.title}>
      <span>{props.title}</span>
      <div>
        {props.subjects.map((subject) => {
          const count = props.marks.filter((mark) => sameSubject(mark.subject, subject)).length;
          const letter = [...props.letters].find(([, one]) => sameSubject(one, subject))?.[0];
          const shown = subject.kind === "player" ? subject.role : subjectName(subject);
          return (
            <Button
              key={subjectName(subject)}
              name={`Mark ${subjectName(subject)}`}
              {...(letter === undefined ? {} : { shortcut: letter.toUpperCase() })}
              pressed={props.pen !== null && sameSubject(props.pen, subject)}
              onPress={() => props.onPen(subject)}
            >
              {shown}
              {count > 0 ? <sup aria-hidden="true" data-count={subject.kind === "player" ? count : "✓"} /> : null}
            </Button>
          );
        })}
      </div>
    </div>
  );
}

function inOrder(marks: readonly Mark[]): Mark[] {
  const rank = (mark: Mark) =>
    mark.subject.kind === "official" ? 0 : mark.subject.kind === "ball" ? 3 : mark.subject.side === "A" ? 1 : 2;
  return marks.toSorted((a, b) => rank(a) - rank(b));
}

function MarkRow({ fieldbook, mark }: { readonly fieldbook: Fieldbook; readonly mark: Mark }) {
  const { judged, layout, situation, chosen, choose, takeAway, readOnly } = fieldbook;
  const placed = judged.placed.find((candidate) => candidate.markId === mark.id);
  const unplaced = judged.unplaced.find((candidate) => candidate.markId === mark.id);
  const name = subjectName(mark.subject);
  const words = placed ? placeWords(layout, situation, placed.measured) : null;
  return (
    <tr
      className={chosen?.id === mark.id ? "chosen" : ""}
      data-mark={name}
      data-x={placed?.measured.position.xYards}
      data-y={placed?.measured.position.yYards}
    >
      <td>
        <button
          type="button"
          className="link"
          aria-pressed={chosen?.id === mark.id}
          onClick={() => choose({ kind: "mark", id: mark.id })}
        >
          <b className={`glyph ${glyphOf(mark.subject).ink}`}>{glyphOf(mark.subject).text}</b>{" "}
          {mark.subject.kind === "player" ? mark.subject.role : ""}
        </button>
      </td>
      <td>
        {words ? (
          <>
            {words.along}
            <span className="soft across">{words.across}</span>
          </>
        ) : (
          <span className="soft">{unplaced?.message ?? "not measured"}</span>
        )}
      </td>
      <td className="number measured">{placed ? errorWords(placed.measured) : "–"}</td>
      <td>
        <Button
          look="bare"
          name={`Take ${name} away`}
          disabled={readOnly}
          onPress={() => void takeAway({ kind: "mark", id: mark.id })}
        >
          ✕
        </Button>
      </td>
    </tr>
  );
}

const sigmas = [1, 2, 4, 8];

function ChosenMark({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { chosen, marks, edit, face, readOnly } = fieldbook;
  const mark = chosen?.kind === "mark" ? marks.find((candidate) => candidate.id === chosen.id) : undefined;
  if (!mark || readOnly)
    return (
      <p className="soft">
        Choose a mark to move it with the arrow keys, give it a facing, or say how sure the click is.
      </p>
    );
  const name = subjectName(mark.subject);
  return (
    <section className="chosen-mark" aria-label={`Chosen: ${name}`}>
      <h3>Chosen: {name}</h3>
      <div className="row">
        <Labelled label="Click is good to (1 σ)">
          <select
            value={String(mark.sigmaPx)}
            onChange={(event) =>
              void edit(`How sure the click on ${name} is`, [
                { family: "mark", id: mark.id, before: mark, after: { ...mark, sigmaPx: Number(event.target.value) } },
              ])
            }
          >
            {[...new Set([...sigmas, mark.sigmaPx])]
              .toSorted((a, b) => a - b)
              .map((sigma) => (
                <option key={sigma} value={sigma}>
                  {sigma} px{sigma === 1 ? " (seen clearly)" : sigma === 8 ? " (feet hidden)" : ""}
                </option>
              ))}
          </select>
        </Labelled>
        {mark.facing ? <Button onPress={() => void face(mark, null)}>Remove the facing</Button> : null}
      </div>
      <p className="soft">
        {mark.facing
          ? "Drag the arrow’s tip to turn the facing."
          : "For a facing, point at the ground in the direction faced and press"}{" "}
        {mark.facing ? "" : <kbd>V</kbd>}
      </p>
    </section>
  );
}
