import { useEffect, useMemo, useState } from "react";
import { counted } from "#core/game/words";
import { eligibilityOf } from "#core/season/eligibility";
import { noticeLines } from "#core/season/season-words";
import { CopyDetails } from "../app/copy-details.tsx";
import { Button } from "../parts/button.tsx";
import { AgreementPage } from "./agreement-page.tsx";
import { EligibilityPage } from "./eligibility-page.tsx";
import { ObserversPage } from "./observers-page.tsx";
import { areWaiting, PacketsPage } from "./packets-page.tsx";
import { PeoplePage } from "./people-page.tsx";
import { PlacesPage } from "./places-page.tsx";
import { SeasonExport } from "./season-export.tsx";
import "./season.css";
import { TotalsPage } from "./totals-page.tsx";
import { type Season, useSeason } from "./use-season.ts";

const pages = [
  { id: "totals", name: "Totals" },
  { id: "eligible", name: "Eligibility" },
  { id: "agreement", name: "Agreement" },
  { id: "observers", name: "Observers" },
  { id: "places", name: "Places" },
  { id: "people", name: "People" },
  { id: "packets", name: "Packets" },
] as const;
type Page = (typeof pages)[number]["id"];

/** The season: what all grades of the library come to, and how sure that is. */
export function SeasonPlace({ dropped }: { readonly dropped: readonly File[] }) {
  const season = useSeason();
  const [page, setPage] = useState<Page>("totals");
  useEffect(() => {
    if (areWaiting(dropped)) setPage("packets");
  }, [dropped]);
  const [exporting, setExporting] = useState(false);
  const isOfTotals = page !== "packets" && page !== "places";
  const { state, answer, scale, isDemo, setup, change, data } = season;
  const eligibility = useMemo(
    () =>
      answer && scale ? answer.totals.officials.map((total) => eligibilityOf(total, setup.rules, scale.best)) : [],
    [answer, scale, setup.rules],
  );
  return (
    <div className="season">
      <header className="head">
        <h1>{isDemo ? "An invented season" : "Season"}</h1>
        <span className="soft crumbs">
          {data && answer
            ? [
                counted(answer.totals.grades, "grade", "grades"),
                counted(data.games.length, "game", "games"),
                counted(answer.totals.observers.length, "observer", "observers"),
              ].join(" · ")
            : ""}
        </span>
        <nav className="pages" aria-label="Pages of the season">
          {pages.map(({ id, name }) => (
            <Button key={id} pressed={page === id} onPress={() => setPage(id)}>
              {name}
            </Button>
          ))}
        </nav>
        <span className="gap" />
        <Button onPress={season.readAgain}>Read again</Button>
        <Button disabled={!answer} onPress={() => setExporting(true)}>
          Export…
        </Button>
      </header>
      {isDemo ? (
        <p className="season-banner" role="status">
          Thirty officials, eight observers and forty games, all of them made up, until this library has grades of its
          own. <Button onPress={() => change({ demoPutAway: true })}>Put it away</Button>
        </p>
      ) : null}
      <section className="season-page" aria-label={pages.find(({ id }) => id === page)?.name}>
        {page === "packets" ? <PacketsPage dropped={dropped} onTaken={season.readAgain} /> : null}
        {page === "places" ? <PlacesPage /> : null}
        {isOfTotals ? <Waiting season={season} /> : null}
        {answer && scale && isOfTotals ? (
          <>
            <Notices season={season} />
            {page === "totals" ? <TotalsPage season={season} answer={answer} scale={scale} /> : null}
            {page === "eligible" ? (
              <EligibilityPage season={season} answer={answer} scale={scale} eligibility={eligibility} />
            ) : null}
            {page === "agreement" ? <AgreementPage season={season} answer={answer} scale={scale} /> : null}
            {page === "observers" ? <ObserversPage season={season} answer={answer} /> : null}
          </>
        ) : null}
        {page === "people" && state.kind !== "reading" ? <PeoplePage season={season} /> : null}
      </section>
      {exporting && answer && scale ? (
        <SeasonExport
          season={season}
          answer={answer}
          scale={scale}
          eligibility={eligibility}
          onClose={() => setExporting(false)}
        />
      ) : null}
    </div>
  );
}

function Waiting({ season: { state, answer, isDemo, setup, change } }: { readonly season: Season }) {
  switch (state.kind) {
    case "reading":
      return (
        <p className="soft" role="status">
          Reading the library… {state.total > 0 ? `${state.done} of ${state.total} grades` : ""}
        </p>
      );
    case "totalling":
      return (
        <p className="soft" role="status">
          Totalling…
        </p>
      );
    case "failed":
      return (
        <div role="alert">
          <p className="contradiction">The season could not be totalled. {state.message}</p>
          <CopyDetails code="SEASON_FAILED" message={state.message} />
        </div>
      );
    case "done":
      return answer === null ? (
        <div className="empty">
          <p>
            No grades yet. Grade a game in <b>Grades</b>, or take in the packets of your observers.
          </p>
          {!isDemo && setup.demoPutAway ? (
            <Button onPress={() => change({ demoPutAway: false })}>Show the invented season</Button>
          ) : null}
        </div>
      ) : null;
  }
}

/** What a reader must know before comparing anybody. */
function Notices({ season: { answer, observerOf } }: { readonly season: Season }) {
  if (!answer) return null;
  const notices = [
    ...noticeLines(answer.totals, observerOf),
    ...(answer.onOtherScales > 0
      ? [
          `${counted(answer.onOtherScales, "grade is on another scale", "grades are on other scales")} than most, and in no total here.`,
        ]
      : []),
    ...(answer.unnamed > 0
      ? [
          `${counted(answer.unnamed, "grade is of an official whom its game", "grades are of officials whom their game")} does not name, and in no total.`,
        ]
      : []),
  ];
  if (notices.length === 0) return null;
  return (
    <ul className="season-notices">
      {notices.map((notice) => (
        <li key={notice}>{notice}</li>
      ))}
    </ul>
  );
}
