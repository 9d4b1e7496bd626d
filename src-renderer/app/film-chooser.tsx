import { type FormEvent, useCallback, useEffect, useRef, useState } from "react";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import type { Client } from "./client.ts";
import { readFailure, useFailuresHere } from "./failures.tsx";
import { useService } from "./service.tsx";

type Listing = Awaited<ReturnType<Client["files"]["browse"]>>;

/** Names a film file: by the system's dialog where there is one, by a typed path, or by browsing this machine's folders. */
export function FilmChooser(props: {
  readonly title: string;
  /** Whether a folder may be chosen too, in which the film is looked for. */
  readonly takesFolder?: boolean;
  readonly onClose: () => void;
  /** Does it and closes the dialog; what it throws is told inside the dialog. */
  readonly onChosen: (path: string) => Promise<void>;
  /** Given where several may be chosen: does one of them, and leaves the dialog open. */
  readonly onEach?: (path: string) => Promise<void>;
}) {
  const { client, info } = useService();
  const { attempt, notice } = useFailuresHere();
  const [listing, setListing] = useState<Listing | null>(null);
  const [typed, setTyped] = useState("");
  const [busy, setBusy] = useState(false);
  const [picked, setPicked] = useState<ReadonlySet<string>>(new Set());
  const many = useMany(props.onEach ?? null);
  const browse = useCallback(
    async (folder: string | null) => {
      const listed = await attempt(() => client.files.browse({ folder }));
      if (listed) setListing(listed);
      setPicked(new Set());
    },
    [attempt, client],
  );
  useEffect(() => void browse(null), [browse]);
  const choose = async (path: string) => {
    setBusy(true);
    await attempt(() => props.onChosen(path));
    setBusy(false);
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const path = typed.trim();
    // A path that ends as a folder's does is looked into.
    if (/[\\/]$/u.test(path)) void browse(path);
    else if (path !== "") void choose(path);
  };
  return (
    <Slip title={props.title} onClose={props.onClose}>
      <div className="browse">
        <form onSubmit={submit} className="typed-path">
          <Labelled label="Path of the film file, or of a folder with / at its end">
            <input
              value={typed}
              placeholder={listing ? `${listing.folder}/…` : ""}
              onChange={(event) => setTyped(event.target.value)}
              spellCheck={false}
            />
          </Labelled>
          <button type="submit" className="button primary" disabled={busy || typed.trim() === ""}>
            {busy ? "Looking at it…" : "Use this file"}
          </button>
          {info.systemDialog ? (
            <Button
              onPress={() =>
                void attempt(async () => {
                  const path = await client.files.pickFilm();
                  if (path !== null) await choose(path);
                })
              }
            >
              System dialog…
            </Button>
          ) : null}
        </form>
        {notice}
        {listing ? (
          <>
            <p className="path soft">{listing.folder}</p>
            {props.takesFolder === true ? (
              <Button disabled={busy} onPress={() => void choose(listing.folder)}>
                Look for it in this folder
              </Button>
            ) : null}
            <ul aria-label={`Folders and films in ${listing.folder}`}>
              {listing.parent === null ? null : (
                <li>
                  <button type="button" onClick={() => void browse(listing.parent)}>
                    ↑ up one folder
                  </button>
                </li>
              )}
              {listing.entries.map((entry) => (
                <li key={entry.path} className={props.onEach && entry.kind === "film" ? "with-box" : ""}>
                  {props.onEach && entry.kind === "film" ? (
                    <input
                      type="checkbox"
                      aria-label={`Choose ${entry.name}`}
                      checked={picked.has(entry.path)}
                      disabled={many.work !== null}
                      onChange={(event) => {
                        const next = new Set(picked);
                        if (event.target.checked) next.add(entry.path);
                        else next.delete(entry.path);
                        setPicked(next);
                      }}
                    />
                  ) : null}
                  <button
                    type="button"
                    disabled={busy}
                    onClick={() => void (entry.kind === "folder" ? browse(entry.path) : choose(entry.path))}
                  >
                    <span>{entry.kind === "folder" ? `${entry.name}/` : entry.name}</span>
                    <span className="soft">
                      {entry.sizeBytes === null ? "" : `${(entry.sizeBytes / 1e6).toFixed(1)} MB`}
                    </span>
                  </button>
                </li>
              ))}
              {listing.entries.length === 0 ? <li className="soft nothing">No folders or films here.</li> : null}
            </ul>
          </>
        ) : null}
        {many.attached > 0 && many.refused.length > 0 ? (
          <p role="status">
            {many.attached} {many.attached === 1 ? "film" : "films"} attached; not these:
          </p>
        ) : null}
        {many.refused.length > 0 ? (
          <ul className="refused" aria-label="Not attached">
            {many.refused.map(({ path, sentence }) => (
              <li key={path}>
                <b>{path.split(/[\\/]/u).at(-1)}</b>: {sentence}
              </li>
            ))}
          </ul>
        ) : null}
        {props.onEach && listing ? (
          <ManyBar
            films={listing.entries.filter(({ kind }) => kind === "film").map(({ path }) => path)}
            picked={picked}
            many={many}
            onPick={setPicked}
            onDone={props.onClose}
          />
        ) : null}
      </div>
      <div className="end">
        <Button onPress={props.onClose}>{many.refused.length > 0 ? "Close" : "Cancel"}</Button>
      </div>
    </Slip>
  );
}

type Refused = { readonly path: string; readonly sentence: string };

/** Several films one after the other; what cannot be attached is kept with the reason while the others go on. */
function useMany(each: ((path: string) => Promise<void>) | null) {
  const [work, setWork] = useState<{ readonly done: number; readonly total: number } | null>(null);
  const [refused, setRefused] = useState<readonly Refused[]>([]);
  const [attached, setAttached] = useState(0);
  const stopped = useRef(false);
  // Closing the dialog stops after the film that is being looked at.
  useEffect(() => () => void (stopped.current = true), []);
  const run = async (paths: readonly string[]): Promise<boolean> => {
    if (!each) return false;
    stopped.current = false;
    const failed: Refused[] = [];
    let taken = 0;
    for (const [done, path] of paths.entries()) {
      if (stopped.current) break;
      setWork({ done, total: paths.length });
      try {
        await each(path);
        taken++;
      } catch (error) {
        failed.push({ path, sentence: readFailure(error).message });
      }
    }
    setWork(null);
    setRefused(failed);
    setAttached(taken);
    return failed.length === 0 && !stopped.current;
  };
  return { work, refused, attached, run, stop: () => void (stopped.current = true) };
}

function ManyBar(props: {
  readonly films: readonly string[];
  readonly picked: ReadonlySet<string>;
  readonly many: ReturnType<typeof useMany>;
  readonly onPick: (picked: ReadonlySet<string>) => void;
  readonly onDone: () => void;
}) {
  const { films, picked, many, onPick, onDone } = props;
  if (many.work)
    return (
      <div className="row" role="status">
        <progress max={many.work.total} value={many.work.done} aria-label="Films attached" />
        <span>
          Film {many.work.done + 1} of {many.work.total}…
        </span>
        <Button onPress={many.stop}>Stop after this one</Button>
      </div>
    );
  if (films.length === 0) return null;
  // In the order of the folder, which is that of their names with numbers counted as numbers.
  const chosen = films.filter((path) => picked.has(path));
  return (
    <div className="row">
      <Button onPress={() => onPick(new Set(chosen.length === films.length ? [] : films))}>
        {chosen.length === films.length ? "Choose none" : `Choose all ${films.length}`}
      </Button>
      <Button
        look="primary"
        disabled={chosen.length === 0}
        onPress={() =>
          void many.run(chosen).then((isWhole) => {
            onPick(new Set());
            if (isWhole) onDone();
          })
        }
      >
        Attach {chosen.length} {chosen.length === 1 ? "film" : "films"}
      </Button>
    </div>
  );
}
