import { type Finding, type Measured, type Verdict, wholeCrew } from "#core/scoring/finding";
import { scoringVersion } from "#core/scoring/judge-moment";
import { Coverage, LookNumbers } from "./look-numbers.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";
import { phaseNames } from "./words.ts";

const verdictSigns: Record<Verdict, { sign: string; className: string }> = {
  met: { sign: "✓", className: "met" },
  missed: { sign: "✕", className: "missed" },
  "cannot tell": { sign: "?", className: "unsure" },
  "not applicable": { sign: "–", className: "none" },
};

/** What the measurement says against the book, one finding a rule, each with how sure it is. */
export function FindingsPage({ fieldbook }: { readonly fieldbook: Fieldbook }) {
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
          {judged.findings
            .filter((finding) => finding.position === position)
            .map((finding) => (
              <FindingCard key={[finding.ruleId, ...finding.markIds].join(" ")} finding={finding} />
            ))}
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

function NothingYet({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { here, moment, judged, records, film } = fieldbook;
  const next = !here
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

function FindingCard({ finding }: { readonly finding: Finding }) {
  const { sign, className } = verdictSigns[finding.verdict];
  const { measure } = finding;
  return (
    <article
      className={`finding ${className}`}
      data-rule={finding.ruleId}
      data-verdict={finding.verdict}
      tabIndex={0}
      aria-label={`${finding.ruleId}: ${finding.verdict}`}
    >
      <header>
        <span className="sign" aria-hidden="true">
          {sign}
        </span>
        <strong>{finding.verdict}</strong>
        <span className="rule-id">{finding.ruleId}</span>
        {measure ? <span className="sure">{sureness(finding.verdict, measure.probabilityMet)}</span> : null}
      </header>
      <p>{finding.sentence}</p>
      <p className="soft">Book: {finding.asks}.</p>
      {finding.help ? <p className="help">{finding.help}</p> : null}
      {measure?.kind === "look" ? <LookNumbers measure={measure} /> : null}
      {measure?.kind === "station" ? (
        <details>
          <summary>Numbers</summary>
          <table className="numbers">
            <tbody>
              <NumberRow name="Depth" measured={measure.depthYards} unit="yd" outside={measure.depthErrorYards} />
              <NumberRow name="Width" measured={measure.widthYards} unit="yd" outside={measure.widthErrorYards} />
              <NumberRow name="Outside the target" measured={measure.outsideYards} unit="yd" />
              <tr>
                <th scope="row">Inside the target</th>
                <td>{Math.round(measure.probabilityInside * 100)} %</td>
              </tr>
              <tr>
                <th scope="row">Credit</th>
                <td>{finding.score === null ? "–" : `${finding.score.toFixed(0)} of 100`}</td>
              </tr>
            </tbody>
          </table>
        </details>
      ) : null}
    </article>
  );
}

/** How sure the verdict is; sampling cannot tell a certainty, so it never says one. */
function sureness(verdict: Verdict, probabilityMet: number): string {
  const percent = (probability: number) =>
    probability > 0.99 ? "over 99 %" : probability < 0.01 ? "under 1 %" : `${Math.round(probability * 100)} %`;
  switch (verdict) {
    case "met":
      return `${percent(probabilityMet)} sure`;
    case "missed":
      return `${percent(1 - probabilityMet)} sure`;
    case "cannot tell":
    case "not applicable":
      return `${percent(probabilityMet)} likely met`;
  }
}

function NumberRow({
  name,
  measured,
  unit,
  outside,
}: {
  readonly name: string;
  readonly measured: Measured;
  readonly unit: string;
  readonly outside?: number;
}) {
  const figure = (value: number) => value.toFixed(2).replace("-", "−");
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>
        {figure(measured.value)} {unit}{" "}
        <span className="soft">
          ({figure(measured.low)} to {figure(measured.high)})
        </span>
        {outside === undefined || outside === 0 ? null : `, ${figure(outside)} ${unit} outside`}
      </td>
    </tr>
  );
}
