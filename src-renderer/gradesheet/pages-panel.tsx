import { useMemo, useState } from "react";
import { crewPage, gamePage } from "#core/report/crew-page";
import type { StillWanted } from "#core/report/document";
import {
  columnWords,
  csvOf,
  evaluationJson,
  findingTable,
  gradeTable,
  rulingTable,
} from "#core/report/evaluation-table";
import { fileName } from "#core/report/file-name";
import { officialPage } from "#core/report/official-page";
import { gameScores } from "#core/report/trend";
import { officialName, othersNamed, type Page, type PageInput } from "#core/report/page-input";
import { useService } from "../app/service.tsx";
import { ExportBar } from "../app/export-bar.tsx";
import { type ExportWork, useExport } from "../app/use-export.ts";
import { useExportFolder } from "../app/use-export-folder.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { makeStills } from "../stage/report/make-stills.ts";
import { ReportView } from "../stage/report/report-view.tsx";
import { ownFirst } from "#core/grading/grade-sheet";
import { ofSameOfficial, useEarlierGames } from "./use-earlier-games.ts";
import type { GradeSheet } from "./use-grade-sheet.ts";
import { filmAddress, useStills } from "./use-stills.ts";

/** What pages of the game are made from; null until its plays are judged. */
export function usePageInput(sheet: GradeSheet, isNamed: boolean): PageInput | null {
  const { settings } = useService();
  const { records, layout, book, judged, scale, whose } = sheet;
  const { authorId } = whose;
  const observerName = isNamed ? (whose.isOwn ? settings.observerName : whose.nameOf(authorId)) : null;
  const [madeOn] = useState(() =>
    new Date().toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" }),
  );
  return useMemo(
    () =>
      book && judged.isDone
        ? {
            records,
            layout,
            book,
            judged: judged.judged,
            scale,
            authorId,
            observerName,
            madeOn,
          }
        : null,
    [records, layout, book, judged, scale, authorId, observerName, madeOn],
  );
}

/** A page of one official by their letters, or the crew's or the game's. */
type PageId = { readonly kind: "official" | "crew" | "game"; readonly position: string };
const idOf = ({ kind, position }: PageId) => `${kind} ${position}`.trim();
const wholes: readonly PageId[] = [
  { kind: "crew", position: "" },
  { kind: "game", position: "" },
];

/** Pages of the game: looked at here, and written as PDF, HTML and tables. */
export function PagesPanel({ sheet }: { readonly sheet: GradeSheet }) {
  const { records } = sheet;
  const { settings } = useService();
  const [isNamed, setNamed] = useState(false);
  const input = usePageInput(sheet, isNamed);
  const earlier = useEarlierGames(records.game.id);
  const [folder, setFolder] = useExportFolder();
  const [forms, setForms] = useState<readonly ("pdf" | "html")[]>(["pdf", "html"]);
  // Whoever reviews their own film finds their own page first.
  const officials = ownFirst(records.game.crew, settings.ownPosition).map(({ position }): PageId => ({
    kind: "official",
    position,
  }));
  const all: readonly PageId[] = [...officials, ...wholes];
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set(["crew", "game"]));
  const [withTables, setWithTables] = useState(false);
  const [shownId, setShownId] = useState(all[0] ? idOf(all[0]) : "");
  const { state, start, cancel, show } = useExport();
  const nameOf = (page: PageId) =>
    page.kind === "crew"
      ? "The crew"
      : page.kind === "game"
        ? "The game"
        : input
          ? officialName(input, page.position)
          : page.position;
  const pageOf = (page: PageId, from: PageInput): Page => {
    if (page.kind === "crew") return crewPage(from);
    if (page.kind === "game") return gamePage(from);
    const name = from.records.game.crew.find(({ position }) => position === page.position)?.name ?? "";
    const games = ofSameOfficial(earlier, name, page.position);
    return officialPage(
      from,
      page.position,
      games.map((game) => gameScores(game, page.position)),
    );
  };
  const shown = all.find((page) => idOf(page) === shownId) ?? all[0];
  // Made anew at each drawing it would be too slow: what it is made from says when.
  const page = useMemo(
    () => (input && shown ? pageOf(shown, input) : null),
    // eslint-disable-next-line react-hooks/exhaustive-deps
    [input, shownId, earlier],
  );
  const chosen = all.filter((one) => !left.has(idOf(one)));
  const toggle = (id: string) => {
    const next = new Set(left);
    if (!next.delete(id)) next.add(id);
    setLeft(next);
  };
  const named = input && shown?.kind === "official" ? othersNamed(input, shown.position) : [];
  const isRunning = state.kind === "running";
  const write = () => {
    if (!input) return;
    const { game } = records;
    const name = ["Evaluation", game.title, game.playedOn].filter(Boolean).join(", ");
    void start(folder.trim(), name, async (work) => {
      for (const [index, one] of chosen.entries()) {
        work.say(`The page of ${nameOf(one)}`, index, chosen.length + 1);
        await writePage(work, fileName(nameOf(one)), pageOf(one, input), forms);
      }
      if (!withTables) return;
      work.say("Tables", chosen.length, chosen.length + 1);
      const own = settings.scales;
      await work.file("findings.csv", csvOf(findingTable(input)));
      await work.file("grades.csv", csvOf(gradeTable(input, own)));
      await work.file("rulings.csv", csvOf(rulingTable(input)));
      await work.file("evaluation.json", evaluationJson(input, own));
      await work.file("columns.txt", columnWords(input, own));
    });
  };
  return (
    <div className="pages-panel">
      <section className="page-choices" aria-label="Pages to write">
        <table>
          <thead>
            <tr>
              <th scope="col">Write</th>
              <th scope="col">Page</th>
            </tr>
          </thead>
          <tbody>
            {all.map((one) => (
              <tr key={idOf(one)} aria-current={idOf(one) === shownId ? "true" : undefined}>
                <td>
                  <input
                    type="checkbox"
                    aria-label={`Write the page of ${nameOf(one)}`}
                    checked={!left.has(idOf(one))}
                    onChange={() => toggle(idOf(one))}
                  />
                </td>
                <td>
                  <Button look="bare" onPress={() => setShownId(idOf(one))}>
                    {nameOf(one)}
                  </Button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        <fieldset>
          <legend>As</legend>
          {(["pdf", "html"] as const).map((form) => (
            <label key={form} className="check">
              <input
                type="checkbox"
                checked={forms.includes(form)}
                onChange={() => setForms(forms.includes(form) ? forms.filter((one) => one !== form) : [...forms, form])}
              />
              {form === "pdf" ? "PDF, for paper" : "HTML, one file for a browser"}
            </label>
          ))}
          <label className="check">
            <input type="checkbox" checked={withTables} onChange={() => setWithTables(!withTables)} />
            Findings, grades and rulings as CSV and JSON
          </label>
          <label className="check">
            <input
              type="checkbox"
              checked={isNamed}
              disabled={sheet.whose.isOwn && settings.observerName === ""}
              onChange={() => setNamed(!isNamed)}
            />
            With the observer’s name
          </label>
        </fieldset>
        <Labelled label="Into a new folder in">
          <input value={folder} spellCheck={false} onChange={(event) => setFolder(event.target.value)} />
        </Labelled>
        {named.length > 0 ? (
          <p className="contradiction" role="status">
            Your own words on this official name {named.map(({ name, where }) => `${name} (${where})`).join(", ")}: read
            them again before the page goes out.
          </p>
        ) : null}
        <Button
          look="primary"
          disabled={
            !input || isRunning || folder.trim() === "" || (chosen.length === 0 ? !withTables : forms.length === 0)
          }
          onPress={write}
        >
          Write {chosen.length} {chosen.length === 1 ? "page" : "pages"}
        </Button>
        <ExportBar state={state} onCancel={cancel} onShow={show} />
        <p className="caution">
          Evaluations are private. What you write leaves this library and is yours to guard: a page of one official
          holds nothing of any other, the crew’s and the game’s pages hold all.
        </p>
      </section>
      <section className="page-view" aria-label="The page">
        {page ? <Shown page={page} /> : <p className="soft">Judging the plays…</p>}
      </section>
    </div>
  );
}

function Shown({ page }: { readonly page: Page }) {
  return <ReportView document={page.document} assets={useStills(page.stills)} />;
}

/** One page in each form: its stills first, which are let go of again with it. */
export async function writePage(
  work: ExportWork,
  file: string,
  { document, stills }: { readonly document: Page["document"]; readonly stills: readonly StillWanted[] },
  forms: readonly ("pdf" | "html")[],
): Promise<void> {
  const sent: Promise<void>[] = [];
  const { missing } = await makeStills(stills, {
    urlOf: filmAddress,
    signal: work.signal,
    onStill: ({ key, bytes }) => void sent.push(work.keep(key, { type: "image/jpeg", bytes })),
  });
  await Promise.all(sent);
  work.missing(missing);
  await work.report(file, document, forms);
  await work.forget();
}
