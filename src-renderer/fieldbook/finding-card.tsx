import type { ReactNode } from "react";
import type { Finding, Measured, Verdict, WatchMeasure } from "#core/scoring/finding";
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
        {measure ? <span className="sure">{sureness(finding.verdict, measure.probabilityMet)}</span> : null}
      </header>
      <p>{finding.sentence}</p>
      <p className="soft">Book: {finding.asks}.</p>
      {finding.help ? <p className="help">{finding.help}</p> : null}
      {measure?.kind === "look" ? <LookNumbers measure={measure} /> : null}
      {measure?.kind === "watch" ? <WatchNumbers measure={measure} finding={finding} /> : null}
      {measure?.kind === "facing" ? (
        <details>
          <summary>Numbers</summary>
          <table className="numbers">
            <tbody>
              <NumberRow name="Turned off by" measured={measure.offDegrees} unit="°" />
              <Row name="The book allows">{measure.limitDegrees.toFixed(0)}°</Row>
              <CreditRow finding={finding} />
            </tbody>
          </table>
        </details>
      ) : null}
      {measure?.kind === "count" ? (
        <details>
          <summary>Numbers</summary>
          <table className="numbers">
            <tbody>
              <Row name="On the field for certain">{measure.least}</Row>
              <Row name="On the field, or may be">{measure.most}</Row>
              <Row name="Play on a side">{measure.asked}</Row>
              <CreditRow finding={finding} />
            </tbody>
          </table>
        </details>
      ) : null}
      {measure?.kind === "station" ? (
        <details>
          <summary>Numbers</summary>
          <table className="numbers">
            <tbody>
              <NumberRow name="Depth" measured={measure.depthYards} unit="yd" outside={measure.depthErrorYards} />
              <NumberRow name="Width" measured={measure.widthYards} unit="yd" outside={measure.widthErrorYards} />
              <NumberRow name="Outside the target" measured={measure.outsideYards} unit="yd" />
              <Row name="Inside the target">{Math.round(measure.probabilityInside * 100)} %</Row>
              <CreditRow finding={finding} />
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

function Row({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{children}</td>
    </tr>
  );
}

/** What the finding gives to a score. */
function CreditRow({ finding: { score } }: { readonly finding: Finding }) {
  return <Row name="Credit">{score === null ? "–" : `${score.toFixed(0)} of 100`}</Row>;
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

/** How long something went on, against how long the book lets it. */
function WatchNumbers({ measure, finding }: { readonly measure: WatchMeasure; readonly finding: Finding }) {
  return (
    <details>
      <summary>Numbers</summary>
      <table className="numbers">
        <tbody>
          {measure.lengthSec ? <NumberRow name="It went on" measured={measure.lengthSec} unit="s" /> : null}
          <Row name="The book allows">{measure.allowedSec.toFixed(2)} s</Row>
          <Row name="After the snap">
            {measure.fromSec.toFixed(2)} to {measure.toSec.toFixed(2)} s
          </Row>
          <CreditRow finding={finding} />
        </tbody>
      </table>
      {measure.lengthSec ? <p className="soft">The interval is what the spacing of the moments leaves open.</p> : null}
    </details>
  );
}
