import { useCallback, useEffect, useMemo, useState } from "react";
import { criteria } from "#core/game/records";
import { type Scale, scaleById } from "#core/grading/scales";
import { demoSeason } from "#core/season/demo-season";
import { officialsOf, type Person, type SeasonData, type SeasonRow } from "#core/season/season-data";
import type { Client } from "../app/client.ts";
import { readFailure, useFailures } from "../app/failures.tsx";
import { type Settings, useService } from "../app/service.tsx";
import type { SeasonAnswer } from "../stage/season/season-messages.ts";
import { totalSeason } from "../stage/season/total-season.ts";

export type SeasonState =
  | { readonly kind: "reading"; readonly done: number; readonly total: number }
  | { readonly kind: "totalling" }
  | { readonly kind: "done"; readonly answer: SeasonAnswer | null }
  | { readonly kind: "failed"; readonly message: string };

export type Season = ReturnType<typeof useSeason>;

/** The season of the library, or the invented one until it has any of its own: read, totalled in a worker, and what a person set up. */
export function useSeason() {
  const { client, settings, set } = useService();
  const { attempt } = useFailures();
  const [own, setOwn] = useState<SeasonData | null>(null);
  const [state, setState] = useState<SeasonState>({ kind: "reading", done: 0, total: 0 });
  const [reads, setReads] = useState(1);
  useEffect(() => {
    const control = new AbortController();
    setOwn(null);
    readSeason(client, settings.scales, control.signal, (done, total) => setState({ kind: "reading", done, total }))
      .then(setOwn)
      .catch((error: unknown) => {
        if (!control.signal.aborted) setState({ kind: "failed", message: readFailure(error).message });
      });
    return () => control.abort();
  }, [client, settings.scales, reads]);

  // Grades of the demo game and of one's own are a season of one game and one observer: that is not yet one to total.
  const isDemo = own !== null && own.rows.length === 0 && !settings.season.demoPutAway;
  const data = useMemo(() => (isDemo ? demoSeason() : own), [isDemo, own]);
  const { officials, observers, games, minimum, topK } = settings.season;
  const [criterion, setCriterion] = useState<string | null>(null);
  useEffect(() => {
    if (data === null) return;
    const control = new AbortController();
    setState({ kind: "totalling" });
    totalSeason({ data, officials, observers, games, minimum, topK, criterion }, control.signal)
      .then((answer) => setState({ kind: "done", answer }))
      .catch((error: unknown) => {
        if (!control.signal.aborted) setState({ kind: "failed", message: readFailure(error).message });
      });
    return () => control.abort();
  }, [data, officials, observers, games, minimum, topK, criterion]);

  const people = useMemo(() => (data ? officialsOf(data.games, officials) : []), [data, officials]);
  const names = useMemo(() => new Map(people.map(({ id, name }) => [id, name])), [people]);
  const observerNames = useMemo(() => new Map(data?.observers.map(({ id, name }) => [id, name])), [data]);
  const change = useCallback(
    (part: Partial<Settings["season"]>) => void attempt(() => set({ season: { ...settings.season, ...part } })),
    [attempt, set, settings.season],
  );
  const answer = state.kind === "done" ? state.answer : null;
  const scale: Scale | null = answer ? (scaleById(answer.scaleId, settings.scales) ?? null) : null;
  return {
    state,
    data,
    isDemo,
    answer,
    scale,
    people: people as readonly Person[],
    nameOf: (id: string) => names.get(id) ?? id,
    observerOf: (id: string) => observerNames.get(id) ?? id,
    observers: data?.observers ?? [],
    criterion,
    setCriterion,
    setup: settings.season,
    change,
    readAgain: () => setReads((count) => count + 1),
  };
}

async function readSeason(
  client: Client,
  scales: SeasonData["scales"],
  signal: AbortSignal,
  onProgress: (done: number, total: number) => void,
): Promise<SeasonData> {
  const rows: SeasonRow[] = [];
  let lists: Extract<
    Awaited<ReturnType<Client["season"]["data"]>> extends AsyncIterable<infer P> ? P : never,
    { kind: "lists" }
  > | null = null;
  for await (const piece of await client.season.data(undefined, { signal })) {
    if (piece.kind === "lists") {
      lists = piece;
      continue;
    }
    if (!lists) continue;
    const { games, positions, criteria: named, scaleIds, authors } = lists;
    for (const [game, play, position, criterion, scale, points, author] of piece.rows) {
      const known = criteria.find((one) => one === named[criterion]);
      if (known === undefined) continue;
      rows.push({
        gameId: games[game]?.id ?? "",
        play,
        position: positions[position] ?? "",
        criterion: known,
        scaleId: scaleIds[scale] ?? "",
        points,
        authorId: authors[author]?.id ?? "",
      });
    }
    onProgress(rows.length, lists.grades);
  }
  return { games: lists?.games ?? [], rows, observers: lists?.authors ?? [], scales };
}
