import { useState } from "react";
import type { Scale } from "#core/grading/scales";
import type { Eligibility, EligibilityRules } from "#core/season/eligibility";
import { proposeCrews, type ProposedCrew } from "#core/season/propose-crews";
import { figure, positionsOf } from "#core/season/season-words";
import { Button } from "../parts/button.tsx";
import { Choice, NumberField } from "../parts/labelled.tsx";
import type { SeasonAnswer } from "../stage/season/season-messages.ts";
import type { Season } from "./use-season.ts";

const nobody = "-";

/** Rules an assigner fills in, held against everybody, each with its reason; and crews proposed from who holds them. */
export function EligibilityPage({
  season,
  answer,
  scale,
  eligibility,
}: {
  readonly season: Season;
  readonly answer: SeasonAnswer;
  readonly scale: Scale;
  readonly eligibility: readonly Eligibility[];
}) {
  const { setup, change, nameOf } = season;
  const { rules } = setup;
  const rule = (part: Partial<EligibilityRules>) => change({ rules: { ...rules, ...part } });
  const number = (name: string, value: number | null, most: number, put: (value: number | null) => void) => (
    <NumberField label={name} value={value} min={0} max={most} allowEmpty onChange={put} />
  );
  const eligible = eligibility.filter(({ isEligible }) => isEligible);
  return (
    <>
      <fieldset className="season-tools">
        <legend>Rules; one that is left empty asks nothing</legend>
        {number("Games at the position, at least", rules.leastGames, 1000, (leastGames) => rule({ leastGames }))}
        {number("Distinct observers, at least", rules.leastObservers, 1000, (leastObservers) =>
          rule({ leastObservers }),
        )}
        {number("Grades, at least", rules.leastGrades, 10_000, (leastGrades) => rule({ leastGrades }))}
        <NumberField
          label={`Adjusted value, at ${scale.best === "most" ? "least" : "most"}`}
          value={rules.worstValue}
          min={scale.least}
          max={scale.most}
          allowEmpty
          onChange={(worstValue) => rule({ worstValue })}
        />
        <label className="check">
          <input
            type="checkbox"
            checked={rules.bySureValue}
            onChange={() => rule({ bySureValue: !rules.bySureValue })}
          />
          by the sure end of its interval
        </label>
        {number(
          "Could not be judged, at most %",
          rules.mostUnjudged === null ? null : rules.mostUnjudged * 100,
          100,
          (percent) => rule({ mostUnjudged: percent === null ? null : percent / 100 }),
        )}
      </fieldset>
      <table className="season-table">
        <caption>
          {eligible.length} of {eligibility.length} officials at their positions hold all rules
        </caption>
        <thead>
          <tr>
            {["Official", "Position", "Eligible", "Rules"].map((name) => (
              <th key={name} scope="col" className="words">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {eligibility.map((one) => (
            <tr key={`${one.position} ${one.officialId}`}>
              <th scope="row">{nameOf(one.officialId)}</th>
              <td className="words">{one.position}</td>
              <td className="words">{one.isEligible ? "✓ yes" : "✕ no"}</td>
              <td className="words">
                {one.ticks.map(({ rule: asked, holds, why }) => (
                  <span key={asked} className="tick" data-holds={holds}>
                    {holds ? "✓" : "✕"} {asked} <span className="soft">({why})</span>
                  </span>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Crews season={season} answer={answer} scale={scale} eligible={eligible} />
    </>
  );
}

/** Crews for games to come: proposed under the rules and who is not to work together, and changed by hand. */
function Crews({
  season: { setup, change, nameOf },
  answer: { totals },
  scale,
  eligible,
}: {
  readonly season: Season;
  readonly answer: SeasonAnswer;
  readonly scale: Scale;
  readonly eligible: readonly Eligibility[];
}) {
  const positions = positionsOf(totals);
  const [count, setCount] = useState(2);
  const [crews, setCrews] = useState<readonly ProposedCrew[]>([]);
  const [pair, setPair] = useState<readonly [string, string]>([nobody, nobody]);
  const worthOf = (officialId: string, position: string) => {
    const value = totals.officials.find((one) => one.officialId === officialId && one.position === position)?.adjusted
      ?.value;
    return value === undefined ? 0 : scale.best === "most" ? value : -value;
  };
  const propose = () =>
    setCrews(
      proposeCrews(
        eligible.map(({ officialId, position }) => ({ officialId, position, worth: worthOf(officialId, position) })),
        positions,
        count,
        setup.conflicts,
      ),
    );
  const put = (crew: number, position: string, officialId: string) =>
    setCrews(
      crews.map((one, index) =>
        index === crew
          ? {
              ...one,
              members: one.members.map((member) =>
                member.position === position
                  ? { position, officialId: officialId === nobody ? null : officialId }
                  : member,
              ),
            }
          : one,
      ),
    );
  const faults = crewFaults(crews, setup.conflicts, nameOf);
  const everybody = [...new Set(totals.officials.map(({ officialId }) => officialId))].toSorted((a, b) =>
    nameOf(a).localeCompare(nameOf(b)),
  );
  const options = [{ value: nobody, name: "–" }, ...everybody.map((id) => ({ value: id, name: nameOf(id) }))];
  return (
    <section aria-label="Crews">
      <h2>Crews for games to come</h2>
      <p className="soft">
        An aid, and no more: the first crew is the best by adjusted values among those who are eligible, the next the
        best of who is left. Change whom you like.
      </p>
      <div className="season-tools">
        <NumberField
          label="Crews"
          value={count}
          min={1}
          max={20}
          onChange={(next) => setCount(Math.round(next ?? 1))}
        />
        <Button look="primary" onPress={propose}>
          Propose
        </Button>
        <Choice
          label="Not together"
          value={pair[0]}
          options={options}
          onChange={(first) => setPair([first, pair[1]])}
        />
        <Choice label="and" value={pair[1]} options={options} onChange={(second) => setPair([pair[0], second])} />
        <Button
          disabled={pair.includes(nobody) || pair[0] === pair[1]}
          onPress={() => {
            change({ conflicts: [...setup.conflicts, pair] });
            setPair([nobody, nobody]);
          }}
        >
          Keep them apart
        </Button>
      </div>
      {setup.conflicts.length > 0 ? (
        <ul>
          {setup.conflicts.map(([a, b]) => (
            <li key={`${a} ${b}`}>
              {nameOf(a)} and {nameOf(b)} are kept apart.{" "}
              <Button
                look="bare"
                onPress={() => change({ conflicts: setup.conflicts.filter((one) => one[0] !== a || one[1] !== b) })}
              >
                Let them
              </Button>
            </li>
          ))}
        </ul>
      ) : null}
      {faults.length > 0 ? (
        <p className="contradiction" role="status">
          {faults.join(" ")}
        </p>
      ) : null}
      {crews.length > 0 ? (
        <table className="season-table">
          <caption>Proposed crews</caption>
          <thead>
            <tr>
              <th scope="col">Crew</th>
              {positions.map((position) => (
                <th key={position} scope="col" className="words">
                  {position}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {crews.map((crew, index) => (
              <tr key={index}>
                <th scope="row">{index + 1}</th>
                {crew.members.map(({ position, officialId }) => (
                  <td key={position} className="words">
                    <select
                      aria-label={`Crew ${index + 1}, ${position}`}
                      value={officialId ?? nobody}
                      onChange={(event) => put(index, position, event.target.value)}
                    >
                      <option value={nobody}>open</option>
                      {totals.officials
                        .filter((one) => one.position === position)
                        .map((one) => (
                          <option key={one.officialId} value={one.officialId}>
                            {nameOf(one.officialId)}
                            {one.adjusted ? ` ${figure(one.adjusted.value)}` : ""}
                          </option>
                        ))}
                    </select>
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      ) : null}
    </section>
  );
}

/** What a crew changed by hand goes against, in words. */
function crewFaults(
  crews: readonly ProposedCrew[],
  conflicts: Season["setup"]["conflicts"],
  nameOf: (id: string) => string,
): string[] {
  const all = crews.flatMap(({ members }) => members.flatMap(({ officialId }) => officialId ?? []));
  const twice = [...new Set(all.filter((id, index) => all.indexOf(id) !== index))];
  return [
    ...twice.map((id) => `${nameOf(id)} is put down twice.`),
    ...crews.flatMap(({ members }, index) => {
      const ids = new Set(members.map(({ officialId }) => officialId));
      return conflicts
        .filter(([a, b]) => ids.has(a) && ids.has(b))
        .map(([a, b]) => `${nameOf(a)} and ${nameOf(b)} are to be kept apart, and are both in crew ${index + 1}.`);
    }),
  ];
}
