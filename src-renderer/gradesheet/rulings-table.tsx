import { useState } from "react";
import type { Ruling } from "#core/game/records";
import { rulingWords, spotDifference } from "#core/grading/rulings";
import { Button } from "../parts/button.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** The person's rulings of a game and the one that is open; null is a new one. */
export function useRulings(sheet: GradeSheet) {
  const numberOf = (playId: string) => sheet.plays.find(({ id }) => id === playId)?.number ?? 0;
  const list = sheet.records.rulings
    .filter(({ authorId }) => authorId === sheet.whose.authorId)
    .toSorted((a, b) => numberOf(a.playId) - numberOf(b.playId));
  const [openId, setOpenId] = useState<string | null>(list[0]?.id ?? null);
  return { list, numberOf, open: list.find(({ id }) => id === openId) ?? null, setOpenId };
}

/** Flags and no-calls of the game, and what a person makes of each. They are judged apart from mechanics. */
export function RulingsTable({
  sheet,
  rulings: { list, numberOf, open, setOpenId },
}: {
  readonly sheet: GradeSheet;
  readonly rulings: ReturnType<typeof useRulings>;
}) {
  const { records, plays } = sheet;
  const show = (ruling: Ruling) => {
    setOpenId(ruling.id);
    const moment = records.moments.find(({ id }) => id === ruling.momentId);
    const play = plays.find(({ id }) => id === ruling.playId);
    if (moment) void sheet.goToInstant(moment.filmId, moment.timeSec);
    else if (play) void sheet.goToInstant(play.filmId, play.snapSec ?? play.startSec);
  };
  if (list.length === 0)
    return (
      <p className="legend">
        No rulings yet. Stop the film at a flag, or at a foul that was not called, and say on the right what you make of
        it.
      </p>
    );
  return (
    <>
      <table className="rulings">
        <thead>
          <tr>
            {["Play", "Foul", "Judged as", "Official", "Should have seen", "Spot given", "Comment"].map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {list.map((ruling) => (
            <tr key={ruling.id} aria-current={ruling === open ? "true" : undefined}>
              <th scope="row">{numberOf(ruling.playId)}</th>
              <td>
                <Button look="bare" onPress={() => show(ruling)}>
                  {ruling.foul}
                </Button>
              </td>
              <td>{rulingWords(ruling)}</td>
              <td>{ruling.position ?? "not known"}</td>
              <td>{ruling.seers.join(", ")}</td>
              <td>
                <SpotCell sheet={sheet} ruling={ruling} />
              </td>
              <td>{ruling.comment}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="row legend">
        <Button look="primary" disabled={sheet.readOnly || open === null} onPress={() => setOpenId(null)}>
          New ruling
        </Button>
      </p>
    </>
  );
}

/** Where the spot that was given lies beside the one that was measured, with its error. */
function SpotCell({ sheet, ruling }: { readonly sheet: GradeSheet; readonly ruling: Ruling }) {
  if (ruling.spotGivenXYards === null) return null;
  const measured = sheet.spotOf(ruling);
  if (!measured) return <span className="soft">no ball marked to hold it to</span>;
  const { yards, low, high } = spotDifference(ruling.spotGivenXYards, measured.spot, measured.direction);
  const figure = (value: number) => value.toFixed(1).replace("-", "−");
  return (
    <>
      {figure(Math.abs(yards))} yd {yards >= 0 ? "ahead of" : "short of"} where the ball was measured{" "}
      <span className="soft">
        ({figure(low)} to {figure(high)})
      </span>
    </>
  );
}
