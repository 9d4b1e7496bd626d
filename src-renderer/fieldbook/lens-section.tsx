import { useState } from "react";
import { estimateLens } from "#core/field/estimate-lens";
import { put } from "#core/game/changes";
import { defaultStakeSigmaPx, type Film, snappedStakeSigmaPx } from "#core/game/records";
import { Button } from "../parts/button.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The film's lens: straight until lines clicked three times or more, on any of its frames, show that it bends. */
export function LensSection({ fieldbook }: { readonly fieldbook: Fieldbook }) {
  const { film, readOnly, edit } = fieldbook;
  const [refusal, setRefusal] = useState<string | null>(null);
  if (!film) return null;
  const { lines, sigmaPx } = lensLines(fieldbook, film);
  const measure = () => {
    const result = estimateLens(lines, film, sigmaPx);
    setRefusal(result.ok ? null : result.message);
    if (!result.ok) return;
    const { lens, beforePx, afterPx } = result;
    const measured = { radial: lens.radial, beforePx, afterPx, lines: result.lines };
    void edit("Measure the lens", [put("film", film, { ...film, lens: measured })]);
  };
  const { lens } = film;
  return (
    <section aria-label="Lens">
      <h3>Lens of this film</h3>
      <p className="soft" role="status">
        {lens
          ? `It ${lens.radial < 0 ? "bows lines outward" : "bends lines inward"}: ${lens.lines} lines are straight to ` +
            `${lens.afterPx.toFixed(1)} px with it, ${lens.beforePx.toFixed(1)} px without. Every survey of the film uses it.`
          : "Counts as straight. Where long lines near the edges look bowed, click along two or more of them, three times each, and measure it."}
      </p>
      {refusal ? <p className="standing-box unsure">{refusal}</p> : null}
      <div className="row">
        <Button
          disabled={readOnly || lines.length === 0}
          title={lines.length === 0 ? "No line of this film has three clicks yet" : ""}
          onPress={measure}
        >
          Measure the lens from {lines.length} {lines.length === 1 ? "line" : "lines"}
        </Button>
        {lens ? (
          <Button
            disabled={readOnly}
            onPress={() => void edit("Count the lens as straight", [put("film", film, { ...film, lens: null })])}
          >
            Count it as straight
          </Button>
        ) : null}
      </div>
    </section>
  );
}

/** Every line of the film with three clicks or more, and how well they were clicked. */
function lensLines({ records }: Fieldbook, film: Film) {
  const frames = new Set(records.moments.filter((moment) => moment.filmId === film.id).map((moment) => moment.id));
  const lines = records.stakes.flatMap((stake) =>
    stake.kind === "line" && stake.clicks.length >= 3 && frames.has(stake.momentId) ? [stake] : [],
  );
  const settled = lines.every((line) => line.sigmaPx <= snappedStakeSigmaPx);
  return {
    lines: lines.map((line) => line.clicks.map((click) => click.at)),
    sigmaPx: settled ? snappedStakeSigmaPx : defaultStakeSigmaPx,
  };
}
