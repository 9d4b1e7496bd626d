import type { LookMeasure, Measured } from "#core/scoring/finding";
import { lookTerms } from "#core/scoring/finding-facts";
import type { Look, MatterLooks, MomentLooks } from "#core/scoring/look";
import { matterName, stepWords } from "#core/scoring/look-words";
import type { MatterScene } from "#core/scoring/matters";

const percent = (share: number) => `${Math.round(share * 100)} %`;
const credit = (value: number) => value.toFixed(2);

/** The terms of each look a finding rests on: measured, then its credit; the quality is the product of the five. */
export function LookNumbers({ measure }: { readonly measure: LookMeasure }) {
  return (
    <details>
      <summary>Numbers</summary>
      <LookTable looks={measure.looks} />
      <p className="soft">
        Quality is the product of the five credits; {measure.seenFrom} counts as seen. Under each, what was measured.
      </p>
    </details>
  );
}

function LookTable({ looks }: { readonly looks: readonly Look[] }) {
  return (
    <table className="numbers looks">
      <thead>
        <tr>
          {["", "Angle", "Gap", "Clear", "Range", "Facing", "Quality"].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {looks.map((look) => (
          <tr key={look.position}>
            <th scope="row">{look.position}</th>
            {lookTerms(look).map(({ name, figure, credit: given }) => (
              <td key={name}>
                {given}
                <br />
                <span className="soft">{figure}</span>
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** How much of what there was to watch the crew could see, what that is made of, and each official's share. */
export function Coverage({ looks, scene }: { readonly looks: MomentLooks; readonly scene: MatterScene }) {
  const { coverage, facingUnknown } = looks;
  if (coverage === null) return null;
  return (
    <section className="coverage" aria-label="Look-through coverage">
      <p>
        <strong>
          {facingUnknown.length > 0 ? "At most " : ""}
          {percent(coverage.value)}
        </strong>{" "}
        of what there was to watch could be seen <span className="soft">({interval(coverage)})</span>
      </p>
      {facingUnknown.length > 0 ? (
        <p className="soft">
          The way {facingUnknown.join(", ")} faced is not marked: counted as turned to each matter.
        </p>
      ) : null}
      <details>
        <summary>Matters and officials</summary>
        <table className="numbers">
          <thead>
            <tr>
              <th scope="col">Matter</th>
              <th scope="col">Weight</th>
              <th scope="col">Best look</th>
            </tr>
          </thead>
          <tbody>
            {looks.matters.map((matter) => (
              <tr key={matter.matter.id}>
                <th scope="row">{matterName(matter.matter, scene)}</th>
                <td>{matter.matter.weight.toFixed(2)}</td>
                <td>{bestOf(matter)}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p className="soft">Coverage is the sum of weight × best quality, over the sum of the weights.</p>
        <ul>
          {looks.officials.map(({ position, own, seen, straightLined, step }) => (
            <li key={position}>
              {position}: {seen} of {own} seen
              {straightLined > 0 ? `, ${straightLined} straight-lined` : ""}
              {step ? `; ${stepWords(step)} opens one more` : ""}
            </li>
          ))}
        </ul>
      </details>
    </section>
  );
}

function bestOf({ best }: MatterLooks): string {
  return best ? `${credit(best.quality)} ${best.position}` : "nobody marked";
}

function interval({ low, high }: Measured): string {
  return `${Math.round(low * 100)}–${percent(high)}`;
}
