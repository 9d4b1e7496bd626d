import { useState } from "react";
import { formationWords } from "#core/scoring/formation-words";
import type { Finding, Verdict } from "#core/scoring/finding";
import { matterName } from "#core/scoring/look-words";
import { asMatter, type Course } from "#core/scoring/handoff-course";
import { timelineStateAt } from "#core/scoring/handoff-timeline";
import type { JudgedPlay } from "#core/scoring/judge-play";
import { Button } from "../parts/button.tsx";
import { FindingCard } from "./finding-card.tsx";
import { PlayScores } from "./play-watch-scores.tsx";
import { PlayWatchStrip } from "./play-watch-strip.tsx";
import "./play-watch.css";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The play as a whole: who had what when, what of it was amiss, and what it comes to. */
export function PlayWatch({
  fieldbook,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly onGo: (timeSec: number) => void;
}) {
  const { judgedPlay, play, zonesShown, showZones, book } = fieldbook;
  if (!judgedPlay || !play || judgedPlay.moments.length === 0) return null;
  const of = (wanted: Verdict) => judgedPlay.findings.filter(({ verdict }) => verdict === wanted);
  const amiss = [...of("missed"), ...of("cannot tell")];
  const met = of("met");
  const idle = of("not applicable").length;
  return (
    <section className="play-watch" aria-label={`Play ${play.number} as a whole`}>
      <h2>
        Play {play.number} <span className="soft">as a whole</span>
      </h2>
      {judgedPlay.formation ? (
        <details>
          <summary>Formation at the snap</summary>
          <ul className="watch-instant">
            {formationWords(judgedPlay.formation, play.situation).map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      ) : null}
      {judgedPlay.course ? (
        <Watched fieldbook={fieldbook} judgedPlay={judgedPlay} course={judgedPlay.course} onGo={onGo} />
      ) : (
        <p className="soft">
          Who watched what shows once a moment at the snap and one after it are surveyed and marked.
        </p>
      )}
      {book && book.zones.length > 0 ? (
        <label className="check">
          <input type="checkbox" checked={zonesShown} onChange={(event) => showZones(event.target.checked)} />
          Zones on the plan and over the frame
        </label>
      ) : null}
      {judgedPlay.leftOut.map((line) => (
        <p key={line} className="soft">
          {line}
        </p>
      ))}
      {amiss.map((finding) => (
        <FindingCard key={keyOf(finding)} finding={finding} />
      ))}
      {met.length > 0 || idle > 0 ? <Met met={met} idle={idle} /> : null}
      <PlayScores fieldbook={fieldbook} judgedPlay={judgedPlay} />
    </section>
  );
}

/** What was as it should be, once it is asked for. */
function Met({ met, idle }: { readonly met: readonly Finding[]; readonly idle: number }) {
  const [open, setOpen] = useState(false);
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        {met.length} met{idle > 0 ? `, ${idle} with nothing to go by in this play` : ""}
      </summary>
      {open ? met.map((finding) => <FindingCard key={keyOf(finding)} finding={finding} />) : null}
    </details>
  );
}

const keyOf = ({ ruleId, position, sentence }: Finding) => [ruleId, position, sentence].join(" ");

function Watched(props: {
  readonly fieldbook: Fieldbook;
  readonly judgedPlay: JudgedPlay;
  readonly course: Course;
  readonly onGo: (timeSec: number) => void;
}) {
  const { fieldbook, judgedPlay, course } = props;
  const { instantSec, setInstantSec } = fieldbook;
  return (
    <>
      <PlayWatchStrip
        course={course}
        timelines={judgedPlay.timelines}
        instantSec={instantSec}
        onInstant={setInstantSec}
        onGo={props.onGo}
      />
      {instantSec === null ? (
        <p className="soft">Move along the strip: the plan shows everybody in between the moments.</p>
      ) : (
        <>
          <InstantList course={course} instantSec={instantSec} />
          <Button onPress={() => setInstantSec(null)}>Back to the marks of this frame</Button>
        </>
      )}
      {course.snapSec === null ? (
        <p className="soft">
          Nobody has said when the snap was: it is taken at the last moment before it. Set it on the Play page.
        </p>
      ) : null}
    </>
  );
}

/** What the plan shows at an instant, in words. */
function InstantList({ course, instantSec }: { readonly course: Course; readonly instantSec: number }) {
  const matters = course.players.flatMap((track) => {
    const matter = course.matterAt(track, instantSec);
    return matter?.isLive ? [matter] : [];
  });
  return (
    <ul className="watch-instant" aria-label="Who has what at this instant">
      {matters.length === 0 ? <li>No two opponents are close to each other.</li> : null}
      {matters.map((matter) => {
        const { owners, watchers, by } = timelineStateAt(matter, course);
        const whose = owners.length > 0 ? `${owners.join(" and ")}’s by ${by}` : "nobody’s in particular";
        return (
          <li key={matter.player.track.id}>
            {matterName(asMatter(matter), course)}: {whose};{" "}
            {watchers.length > 0 ? `${watchers.join(", ")} on it` : "nobody on it"}
          </li>
        );
      })}
    </ul>
  );
}
