import { type FormEvent, useCallback, useEffect, useState } from "react";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import type { Client } from "./client.ts";
import { useFailuresHere } from "./failures.tsx";
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
}) {
  const { client, info } = useService();
  const { attempt, notice } = useFailuresHere();
  const [listing, setListing] = useState<Listing | null>(null);
  const [typed, setTyped] = useState("");
  const [busy, setBusy] = useState(false);
  const browse = useCallback(
    async (folder: string | null) => {
      const listed = await attempt(() => client.files.browse({ folder }));
      if (listed) setListing(listed);
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
    if (typed.trim() !== "") void choose(typed.trim());
  };
  return (
    <Slip title={props.title} onClose={props.onClose}>
      <div className="browse">
        <form onSubmit={submit} className="typed-path">
          <Labelled label="Path of the film file">
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
                <li key={entry.path}>
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
      </div>
      <div className="end">
        <Button onPress={props.onClose}>Cancel</Button>
      </div>
    </Slip>
  );
}
