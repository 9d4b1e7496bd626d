import { type FormEvent, useEffect, useMemo, useState } from "react";
import { asTheTemplate } from "#core/field/field-choices";
import type { FieldSide } from "#core/game/records";
import type { Client } from "../app/client.ts";
import { useFailuresHere } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice, Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import { type FieldDraft, draftOf, readFieldDraft } from "./field-draft.ts";
import { FieldEditor, focusFirstProblem } from "./field-editor.tsx";

type BookListing = Awaited<ReturnType<Client["books"]["list"]>>[number];

type Draft = {
  homeName: string;
  awayName: string;
  playedOn: string;
  level: string;
  bookId: string;
  lineJudgeSide: FieldSide;
  playersPerSide: string;
};

/** One short form: everything but the two team names has a sensible answer already. */
export function NewGame({
  onClose,
  onMade,
}: {
  readonly onClose: () => void;
  readonly onMade: (gameId: string) => Promise<void>;
}) {
  const { client } = useService();
  const { attempt, notice } = useFailuresHere();
  const [books, setBooks] = useState<readonly BookListing[]>([]);
  const [draft, setDraft] = useState<Draft>({
    homeName: "",
    awayName: "",
    playedOn: "",
    level: "",
    bookId: "flag-crew-of-four",
    lineJudgeSide: "far",
    playersPerSide: "7",
  });
  const [field, setField] = useState<FieldDraft>(() =>
    draftOf({ templateId: "flag-100x40", fieldChoices: asTheTemplate }),
  );
  const reading = useMemo(() => readFieldDraft(field), [field]);
  const [crewNames, setCrewNames] = useState<Record<string, string>>({});
  const [positions, setPositions] = useState<readonly { id: string; name: string }[]>([]);
  useEffect(() => {
    void attempt(async () => setBooks(await client.books.list()));
  }, [attempt, client]);
  useEffect(() => {
    void attempt(async () => setPositions((await client.books.open({ bookId: draft.bookId })).positions));
  }, [attempt, client, draft.bookId]);
  const set = (part: Partial<Draft>) => setDraft((before) => ({ ...before, ...part }));

  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    if (!reading.ok) return focusFirstProblem(event.currentTarget);
    void attempt(async () => {
      const game = await client.games.create({
        title: `${draft.homeName.trim()} v ${draft.awayName.trim()}`,
        playedOn: draft.playedOn === "" ? null : draft.playedOn,
        level: draft.level.trim(),
        homeName: draft.homeName.trim(),
        awayName: draft.awayName.trim(),
        playersPerSide: Number(draft.playersPerSide),
        ...reading.field,
        bookId: draft.bookId,
        lineJudgeSide: draft.lineJudgeSide,
        crew: positions.map((position) => ({ position: position.id, name: (crewNames[position.id] ?? "").trim() })),
      });
      await onMade(game.id);
    });
  };

  return (
    <Slip title="New game" onClose={onClose}>
      <form onSubmit={submit} className="slip-form">
        <div className="grid2">
          <Labelled label="Home team">
            <input
              required
              maxLength={60}
              value={draft.homeName}
              onChange={(event) => set({ homeName: event.target.value })}
              autoFocus
            />
          </Labelled>
          <Labelled label="Visitors">
            <input
              required
              maxLength={60}
              value={draft.awayName}
              onChange={(event) => set({ awayName: event.target.value })}
            />
          </Labelled>
          <Labelled label="Played on">
            <input type="date" value={draft.playedOn} onChange={(event) => set({ playedOn: event.target.value })} />
          </Labelled>
          <Labelled label="Level or league">
            <input maxLength={80} value={draft.level} onChange={(event) => set({ level: event.target.value })} />
          </Labelled>
          <Choice
            label="Mechanics book"
            value={draft.bookId}
            options={books.map((book) => ({ value: book.id, name: `${book.name} (${book.edition})` }))}
            onChange={(bookId) => set({ bookId })}
          />
          <Choice
            label="Line judge works"
            value={draft.lineJudgeSide}
            options={[
              { value: "far", name: "the far sideline, across from the press box" },
              { value: "near", name: "the near sideline, at the press box" },
            ]}
            onChange={(lineJudgeSide) => set({ lineJudgeSide })}
          />
          <Choice
            label="Players a side"
            value={draft.playersPerSide}
            options={["4", "5", "6", "7", "8", "9", "11"].map((count) => ({ value: count, name: count }))}
            onChange={(playersPerSide) => set({ playersPerSide })}
          />
        </div>
        <FieldEditor draft={field} reading={reading} onChange={setField} />
        <fieldset className="crew">
          <legend>Crew (names may be left out)</legend>
          <div className="grid2">
            {positions.map((position) => (
              <Labelled key={position.id} label={`${position.id}, ${position.name.toLowerCase()}`}>
                <input
                  maxLength={80}
                  value={crewNames[position.id] ?? ""}
                  onChange={(event) => setCrewNames((before) => ({ ...before, [position.id]: event.target.value }))}
                />
              </Labelled>
            ))}
          </div>
        </fieldset>
        {notice}
        <div className="end">
          <Button onPress={onClose}>Cancel</Button>
          <button type="submit" className="button primary">
            Make the game
          </button>
        </div>
      </form>
    </Slip>
  );
}
