import type { Course } from "#core/scoring/handoff-course";
import type { MatterTimeline, OwnedStretch } from "#core/scoring/handoff-timeline";
import { phaseNames } from "#core/game/words";

const stepSec = 0.05;

/** The play from the snap to its last moment, a row a matter: whose it was, and hatched where nobody had it. */
export function PlayWatchStrip(props: {
  readonly course: Course;
  readonly timelines: readonly MatterTimeline[];
  readonly instantSec: number | null;
  readonly onInstant: (sinceSnapSec: number | null) => void;
  readonly onGo: (timeSec: number) => void;
}) {
  const { course, timelines, instantSec, onInstant, onGo } = props;
  const end = course.times.at(-1) ?? 0;
  const share = (sec: number) => `${((100 * Math.min(end, Math.max(0, sec))) / (end || 1)).toFixed(2)}%`;
  return (
    <div className="watch-strip">
      <div className="watch-moments" role="group" aria-label="Moments of this play">
        {course.moments.map(({ moment }) => {
          const since = moment.timeSec - course.snapAtSec;
          return (
            <button
              key={moment.id}
              type="button"
              style={{ left: share(since) }}
              title={`${phaseNames[moment.phase]}, ${since.toFixed(2)} s after the snap`}
              aria-label={`Go to ${phaseNames[moment.phase]}, ${since.toFixed(2)} s after the snap`}
              onClick={() => onGo(moment.timeSec)}
            />
          );
        })}
      </div>
      {timelines.map((line) => (
        <div key={line.trackId} className="watch-row" role="group" aria-label={line.name}>
          <span className="watch-name">{line.name}</span>
          <div className="watch-track">
            {line.stretches.map((stretch) => (
              <span
                key={stretch.fromSec}
                className={`watch-stretch ${stretch.state}`}
                data-state={stretch.state}
                style={{ left: share(stretch.fromSec), width: share(stretch.toSec - stretch.fromSec) }}
                role="img"
                aria-label={stretchWords(stretch)}
                title={stretchWords(stretch)}
              >
                {stretch.owners.join(" ")}
              </span>
            ))}
            {instantSec === null ? null : <span className="watch-cursor" style={{ left: share(instantSec) }} />}
          </div>
        </div>
      ))}
      {timelines.length === 0 ? <p className="soft">No two opponents came close to each other.</p> : null}
      <label className="watch-instant-at">
        <input
          type="range"
          min={0}
          max={end}
          step={stepSec}
          value={instantSec ?? 0}
          aria-label="Instant of the play, seconds after the snap"
          aria-valuetext={instantSec === null ? "none" : `${instantSec.toFixed(2)} s after the snap`}
          onChange={(event) => onInstant(Number(event.target.value))}
        />
        <output>{instantSec === null ? "–" : `${instantSec.toFixed(2)} s`}</output>
      </label>
      <ul className="watch-legend" aria-label="What the strip shows">
        <li>
          <span className="watch-stretch watched" aria-hidden="true" /> watched by whose it was
        </li>
        <li>
          <span className="watch-stretch by-others" aria-hidden="true" /> by somebody else
        </li>
        <li>
          <span className="watch-stretch gap" aria-hidden="true" /> nobody
        </li>
        <li>
          <span className="watch-stretch unknown" aria-hidden="true" /> not known
        </li>
      </ul>
    </div>
  );
}

function stretchWords({ owners, by, watchers, state, fromSec, toSec }: OwnedStretch): string {
  const whose = owners.length > 0 ? `${owners.join(" and ")}’s by ${by}` : "nobody’s in particular";
  const who = {
    watched: `watched by ${watchers.join(" and ")}`,
    "by-others": `watched by ${watchers.join(" and ")} instead`,
    gap: "nobody had it",
    unknown: "who looked at it is not known",
  }[state];
  return `${fromSec.toFixed(2)} to ${toSec.toFixed(2)} s: ${whose}, ${who}`;
}
