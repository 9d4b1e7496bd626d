import type { Finding, Verdict } from "#core/scoring/finding";
import { findingFacts, surenessWords } from "#core/scoring/finding-facts";
import { LookNumbers } from "./look-numbers.tsx";

const verdictSigns: Record<Verdict, { sign: string; className: string }> = {
  met: { sign: "✓", className: "met" },
  missed: { sign: "✕", className: "missed" },
  "cannot tell": { sign: "?", className: "unsure" },
  "not applicable": { sign: "–", className: "none" },
};

/** One finding: the verdict, one sentence, and the numbers one click deeper. */
export function FindingCard({ finding }: { readonly finding: Finding }) {
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
        {measure ? <span className="sure">{surenessWords(finding)}</span> : null}
      </header>
      <p>{finding.sentence}</p>
      <p className="soft">Book: {finding.asks}.</p>
      {finding.help ? <p className="help">{finding.help}</p> : null}
      {measure?.kind === "look" ? <LookNumbers measure={measure} /> : <Numbers finding={finding} />}
    </article>
  );
}

function Numbers({ finding }: { readonly finding: Finding }) {
  const facts = findingFacts(finding);
  const { measure } = finding;
  if (facts.length === 0) return null;
  return (
    <details>
      <summary>Numbers</summary>
      <table className="numbers">
        <tbody>
          {facts.map(({ name, figure, interval, outside }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>
                {figure}
                {interval === null ? null : <span className="soft"> ({interval})</span>}
                {outside === null ? null : `, ${outside}`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {measure?.kind === "watch" && measure.lengthSec ? (
        <p className="soft">The interval is what the spacing of the moments leaves open.</p>
      ) : null}
    </details>
  );
}
