import { listColumns } from "#core/cutlist/list-columns";
import { writtenOf } from "#core/cutlist/listed-play";
import type { ImportPlan } from "#core/cutlist/plan-import";
import type { LeftOut } from "#core/cutlist/web-vtt";
import type { Film, Play } from "#core/game/records";
import { clock, downAndDistance } from "#core/game/words";

/** What an import will do, play by play, before it is done. `unread` are rows that could not be read at all. */
export function CutListPlan(props: {
  readonly plan: ImportPlan;
  readonly unread: readonly LeftOut[];
  readonly films: readonly Film[];
  readonly replaces: boolean;
  readonly onReplaces: (replaces: boolean) => void;
}) {
  const { plan, unread, films, replaces, onReplaces } = props;
  const byLine = (a: LeftOut, b: LeftOut) => a.line - b.line;
  const clashes = plan.clashes.toSorted(byLine);
  const left = [...unread, ...plan.leftOut].toSorted(byLine);
  const filmOf = (play: Play) =>
    films.length > 1 ? ` on ${films.find(({ id }) => id === play.filmId)?.label ?? "a film"}` : "";
  const isEmpty = plan.added.length + plan.changed.length + clashes.length + left.length === 0;
  return (
    <section aria-label="What it will do">
      <h3>What it will do</h3>
      <p role="status">
        {plan.added.length} new, {plan.changed.length} changed, {plan.same} there already, {clashes.length}{" "}
        {clashes.length === 1 ? "clash" : "clashes"}, {left.length} left out.
      </p>
      <label className="check">
        <input type="checkbox" checked={replaces} onChange={(event) => onReplaces(event.target.checked)} />
        Change plays that are there to what the list says
      </label>
      {isEmpty ? (
        <p className="soft">{plan.same > 0 ? "Every play of the list is there already." : "The list has no plays."}</p>
      ) : (
        // It scrolls, so that the keyboard must reach it.
        <ul className="import-list" tabIndex={0} aria-label="Play by play">
          {plan.added.map((play) => (
            <li key={play.id}>
              <b>new</b> {clock(play.startSec)} to {clock(play.endSec)}
              {filmOf(play)}, {downAndDistance(play.situation)}
            </li>
          ))}
          {plan.changed.map(({ before, after }) => (
            <li key={after.id}>
              <b>play {before.number}</b> {differences(before, after)}
            </li>
          ))}
          {clashes.map(({ line, reason }) => (
            <li key={`${line} ${reason}`} className="left-out">
              <b>clash</b> line {line}: {reason}
            </li>
          ))}
          {left.map(({ line, reason }) => (
            <li key={`${line} ${reason}`} className="left-out">
              <b>left out</b> line {line}: {reason}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** "down 2 → 4, end_s 10.2 → 10.4" */
function differences(before: Play, after: Play): string {
  const [was, is] = [writtenOf(before, ""), writtenOf(after, "")];
  return listColumns
    .filter(({ field }) => was[field] !== is[field])
    .map(({ field, heading }) => `${heading} ${was[field] ?? "unsaid"} → ${is[field] ?? "unsaid"}`)
    .join(", ");
}
