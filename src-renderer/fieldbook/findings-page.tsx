import { useState } from "react";
import { type Finding, wholeCrew } from "#core/scoring/finding";
import { scoringVersion } from "#core/scoring/judge-moment";
import { FindingCard } from "./finding-card.tsx";
import { Coverage } from "./look-numbers.tsx";
import { PlayWatch } from "./play-watch.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";
import { phaseNames } from "#core/game/words";

/** What the measurement says against the book, one finding a rule, each with how sure it is. */
export function FindingsPage({
  fieldbook,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  readonly onGo: (timeSec: number) => void;
}) {
  const { judged, moment, book, records, point, pointed, layout, situation } = fieldbook;
  const crew = new Map(records.game.crew.map((member) => [member.position, member.name]));
  const positions = [...new Set(judged.findings.map((finding) => finding.position))];
  return (
    <div className="page">
      {moment ? (
        <p className="soft">
          {phaseNames[moment.phase]} · held against “{book?.name}”
        </p>
      ) : null}
      <PlayWatch fieldbook={fieldbook} onGo={onGo} />
      {judged.looks ? <Coverage looks={judged.looks} scene={{ layout, situation }} /> : null}
      {judged.findings.length === 0 && judged.looks === null ? <NothingYet fieldbook={fieldbook} /> : null}
      {positions.map((position) => (
        <section
          key={position}
          className={`official-findings${pointed === position ? " pointed" : ""}`}
          aria-label={`Findings for ${position === wholeCrew ? "the crew" : position}`}
          onPointerEnter={() => point(position)}
          onPointerLeave={() => point(null)}
          onFocus={() => point(position)}
          onBlur={() => point(null)}
        >
          <h2>
            {position === wholeCrew ? "Crew" : position} <span className="soft">{crew.get(position)}</span>
          </h2>
          <Cards findings={judged.findings.filter((finding) => finding.position === position)} />
        </section>
      ))}
      {book ? (
        <p className="caution">
          Evidence for a person, not a verdict on one. {book.caution} Book “{book.name}”, edition {book.edition};
          scoring version {scoringVersion}.
        </p>
      ) : null}
    </div>
  );
}

/** Looks that were as they should be are many: they wait behind one line. */
function Cards({ findings }: { readonly findings: readonly Finding[] }) {
  const [open, setOpen] = useState(false);
  const seen = findings.filter(({ measure, verdict }) => measure?.kind === "look" && verdict === "met");
  const shown = findings.filter((finding) => !seen.includes(finding));
  const card = (finding: Finding) => (
    <FindingCard key={[finding.ruleId, ...finding.markIds].join(" ")} finding={finding} />
  );
  return (
    <>
      {shown.map(card)}
      {seen.length > 0 ? (
        <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary>
            {seen.length} {seen.length === 1 ? "look" : "looks"} met
          </summary>
          {open ? seen.map(card) : null}
        </details>
      ) : null}
    </>
  );
}

function NothingYet({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { here, moment, judged, records, film } = fieldbook;
  const next = !film
    ? "Attach the game’s film first."
    : !here
      ? "Stop the film on a frame."
      : !moment
        ? "This frame is not a moment yet. Turn to a play’s moment on the strip below the film, or survey this frame (page 2)."
        : judged.survey.kind !== "solved"
          ? "Survey this frame first (page 2): four stakes or more."
          : `The book has no rules for “${phaseNames[moment.phase]}” yet, or nobody is marked.`;
  const moments = records.moments.filter((candidate) => candidate.filmId === film?.id).length;
  return (
    <div className="empty">
      <p>{next}</p>
      {moments > 0 && !moment ? <p>{moments} moments of this film are marked on the strip.</p> : null}
    </div>
  );
}
