import { useState } from "react";
import type { Scale } from "#core/grading/scales";
import { seasonPage } from "#core/report/season-page";
import type { Eligibility } from "#core/season/eligibility";
import { csvTable, observersCsv, seasonJson, totalsCsv } from "#core/season/season-tables";
import { ExportBar } from "../app/export-bar.tsx";
import { useService } from "../app/service.tsx";
import { useExport } from "../app/use-export.ts";
import { useExportFolder } from "../app/use-export-folder.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import type { SeasonAnswer } from "../stage/season/season-messages.ts";
import type { Season } from "./use-season.ts";

const auditColumns = ["game", "game_id", "play", "position", "family", "act", "said", "reason", "author_id", "at"];

/** The season on paper and as tables, into a new folder. */
export function SeasonExport({
  season,
  answer,
  scale,
  eligibility,
  onClose,
}: {
  readonly season: Season;
  readonly answer: SeasonAnswer;
  readonly scale: Scale;
  readonly eligibility: readonly Eligibility[];
  readonly onClose: () => void;
}) {
  const { client } = useService();
  const { state, start, cancel, show } = useExport();
  const [folder, setFolder] = useExportFolder();
  const [withObservers, setWithObservers] = useState(false);
  const [withAudit, setWithAudit] = useState(!season.isDemo);
  const { totals } = answer;
  const names = { nameOf: season.nameOf, observerOf: season.observerOf };
  const title = season.isDemo ? "An invented season" : "Season totals";
  const write = () =>
    void start(folder.trim(), title, async (work) => {
      const madeOn = new Date().toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
      work.say("The report", 0, 3);
      const document = seasonPage({
        title,
        madeOn,
        totals,
        scale,
        topK: season.setup.topK,
        games: season.data?.games.length ?? 0,
        eligibility,
        withObservers,
        ...names,
      });
      await work.report("season", document, ["pdf", "html"]);
      work.say("Tables", 1, 3);
      await work.file("totals.csv", totalsCsv(totals, eligibility, names));
      if (withObservers) await work.file("observers.csv", observersCsv(totals, names));
      await work.file("season.json", seasonJson(totals, eligibility, scale.id, names));
      if (!withAudit) return;
      work.say("Who said what and when", 2, 3);
      const rows: (string | number | null)[][] = [];
      for await (const piece of await client.season.audit(undefined, { signal: work.signal }))
        for (const one of piece)
          rows.push([
            one.game,
            one.gameId,
            one.play,
            one.position,
            one.family,
            one.act,
            one.said,
            one.reason,
            one.authorId,
            one.at,
          ]);
      await work.file("audit.csv", csvTable(auditColumns, rows));
    });
  return (
    <Slip title="Export the season" onClose={onClose}>
      <p>
        The report as PDF and HTML, the totals as CSV and JSON. Evaluations are private: whoever has the folder reads
        them all.
      </p>
      <label className="check">
        <input type="checkbox" checked={withObservers} onChange={() => setWithObservers(!withObservers)} />
        With the observers’ severity, which is for their own training
      </label>
      <label className="check">
        <input type="checkbox" checked={withAudit} onChange={() => setWithAudit(!withAudit)} />
        With the list of who said what and when
      </label>
      <Labelled label="Into a new folder in">
        <input value={folder} spellCheck={false} onChange={(event) => setFolder(event.target.value)} />
      </Labelled>
      <ExportBar state={state} onCancel={cancel} onShow={show} />
      <div className="end">
        <Button onPress={onClose}>Close</Button>
        <Button look="primary" disabled={state.kind === "running" || folder.trim() === ""} onPress={write}>
          Write the season
        </Button>
      </div>
    </Slip>
  );
}
