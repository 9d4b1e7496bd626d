import { useDeferredValue, useMemo, useState } from "react";
import type { PageInput } from "#core/report/page-input";
import { teachingChoices } from "#core/report/teaching-choices";
import { mostTeaching } from "#core/report/teaching-item";
import { teachingPage, type TeachingPage } from "#core/report/teaching-page";
import { useExport } from "../app/use-export.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { ReportView } from "../stage/report/report-view.tsx";
import { ExportBar } from "../app/export-bar.tsx";
import { useExportFolder } from "../app/use-export-folder.ts";
import { usePageInput } from "./pages-panel.tsx";
import { TeachingChoices } from "./teaching-choices.tsx";
import { TeachingList } from "./teaching-list.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";
import { type MovingState, useMovingPictures } from "./use-moving-pictures.ts";
import { useStills } from "./use-stills.ts";
import { type Teaching, useTeaching } from "./use-teaching.ts";
import { type TeachingForm, teachingForms, writeTeaching } from "./write-teaching.ts";

const formNames: Record<TeachingForm, string> = {
  html: "One HTML file: stills and moving pictures inside",
  pdf: "A PDF handout: steps instead of moving pictures",
  folder: "Both, with each picture as PNG and each play as WebM",
};

/** A page to teach with, put together from plays and moments of the game and the person's own words. */
export function TeachingPanel({ sheet }: { readonly sheet: GradeSheet }) {
  // A clinic is nobody's evaluation: who judged the game is not on it either.
  const input = usePageInput(sheet, false);
  const teaching = useTeaching(sheet);
  if (input === null) {
    return (
      <div className="teaching-panel">
        <p className="soft judging">Judging the plays…</p>
      </div>
    );
  }
  return <TeachingRoom input={input} teaching={teaching} />;
}

function TeachingRoom({ input, teaching }: { readonly input: PageInput; readonly teaching: Teaching }) {
  const { title, withGame, items, gone } = teaching;
  const [said, setSaid] = useState("");
  const choices = useMemo(() => teachingChoices(input), [input]);
  // Words are typed faster than a page of pictures is laid out.
  const [shownTitle, shownItems] = [useDeferredValue(title), useDeferredValue(items)];
  const page = useMemo(
    () => teachingPage(input, shownTitle, shownItems, { withGame }),
    [input, shownTitle, shownItems, withGame],
  );
  return (
    <div className="teaching-panel">
      <TeachingChoices
        choices={choices}
        teaching={teaching}
        onAdded={(name) => setSaid(`${name} is on the page, the last of ${items.length + 1}.`)}
      />
      <section className="teaching-list" aria-label="The page to make">
        <h2>On the page</h2>
        <p className="visually-hidden" role="status">
          {said}
        </p>
        {gone > 0 ? (
          <p className="soft" role="status">
            {gone === 1 ? "One thing" : `${gone} things`} of this page {gone === 1 ? "is" : "are"} no longer in the
            game, and {gone === 1 ? "was" : "were"} left out of it.
          </p>
        ) : null}
        <Labelled label="Title">
          <input
            value={title}
            maxLength={mostTeaching.title}
            placeholder="Teaching page"
            onChange={(event) => teaching.setTitle(event.target.value)}
          />
        </Labelled>
        <TeachingList input={input} teaching={teaching} onSaid={setSaid} />
        <TeachingExport input={input} teaching={teaching} page={page} />
      </section>
      <section className="page-view" aria-label="The page">
        {items.length === 0 ? (
          <div className="empty teaching-empty">
            <p>
              <b>Nothing is on the page yet.</b>
            </p>
            <p>
              Open a play at the left and add it, to show it in motion, or add one of its moments, for an annotated
              still with its plan. Put words of your own between them. The page stands here as it will be written.
            </p>
          </div>
        ) : (
          <Shown input={input} page={page} />
        )}
      </section>
    </div>
  );
}

function Shown({ input, page }: { readonly input: PageInput; readonly page: TeachingPage }) {
  const stills = useStills(page.stills);
  const moving = useMovingPictures(input);
  const assets = useMemo(() => new Map([...stills, ...moving.assets]), [stills, moving.assets]);
  return (
    <ReportView
      document={page.document}
      assets={assets}
      insteadOfMoving={(key) => {
        const wanted = page.animations.find((one) => one.key === key);
        return wanted ? <NotMoving state={moving.states.get(key) ?? null} onMake={() => moving.make(wanted)} /> : null;
      }}
    />
  );
}

/** In the place of a moving picture until it is asked for: the written page has it in any case. */
function NotMoving({ state, onMake }: { readonly state: MovingState | null; readonly onMake: () => void }) {
  if (state?.kind === "refused") return <p role="status">There is no moving picture here. {state.why}</p>;
  if (state?.kind === "making") {
    return (
      <p className="not-moving">
        <progress aria-label="The moving picture" max={state.total} value={state.done} />
        <span className="soft">
          Frame {state.done} of {state.total}
        </span>
      </p>
    );
  }
  return (
    <p className="not-moving">
      <Button onPress={onMake}>Show it in motion</Button>
      <span className="soft">The written page has it in motion.</span>
    </p>
  );
}

function TeachingExport({
  input,
  teaching,
  page,
}: {
  readonly input: PageInput;
  readonly teaching: Teaching;
  readonly page: TeachingPage;
}) {
  const { title, withGame, items } = teaching;
  const [form, setForm] = useState<TeachingForm>("html");
  const [folder, setFolder] = useExportFolder();
  const { state, start, cancel, show } = useExport();
  const write = () => {
    // What is written is what stands in the list now, and not what the view has come to.
    const now = teachingPage(input, title, items, { withGame });
    if (now.refusal !== null) return;
    void start(folder.trim(), now.document.title, (work) => writeTeaching(work, now, form, input));
  };
  return (
    <div className="teaching-export">
      <fieldset>
        <legend>Write it as</legend>
        {teachingForms.map((one) => (
          <label key={one} className="check">
            <input type="radio" name="teaching-form" checked={form === one} onChange={() => setForm(one)} />
            {formNames[one]}
          </label>
        ))}
      </fieldset>
      <label className="check">
        <input type="checkbox" checked={withGame} onChange={() => teaching.setWithGame(!withGame)} />
        Say which game it is of
      </label>
      <Labelled label="Into a new folder in">
        <input value={folder} spellCheck={false} onChange={(event) => setFolder(event.target.value)} />
      </Labelled>
      {page.named.length > 0 ? (
        <p className="contradiction" role="status">
          Your own words name {page.named.join(", ")}: read them again before the page goes out.
        </p>
      ) : null}
      {page.refusal !== null ? (
        <p className="contradiction" role="status">
          {page.refusal}
        </p>
      ) : null}
      <Button
        look="primary"
        disabled={items.length === 0 || folder.trim() === "" || state.kind === "running" || page.refusal !== null}
        onPress={write}
      >
        Write the page
      </Button>
      <ExportBar state={state} onCancel={cancel} onShow={show} />
      <p className="caution">
        Officials are on it by their positions; it names none of them and holds no grade. Who knows the game still knows
        the crew, and a still shows them.
      </p>
    </div>
  );
}
