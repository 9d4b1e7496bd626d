import { useCallback, useEffect, useState } from "react";
import { counted } from "#core/game/words";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { type Backup, BackupList } from "./backup-list.tsx";
import { useWork } from "./use-work.ts";
import { timeWords } from "./words.ts";
import { WorkBar } from "./work-bar.tsx";

type Listed = Awaited<ReturnType<Client["backups"]["list"]>>;

/** The library as a file: where it lies, whether it is whole, and its backups. */
export function BackupsPage({ onReplaced }: { readonly onReplaced: (sentence: string) => void }) {
  const { client, info } = useService();
  const { attempt } = useFailures();
  const [listed, setListed] = useState<Listed | null>(null);
  const check = useWork<readonly string[]>();
  const make = useWork<Backup>();
  const refresh = useCallback(async () => {
    const answer = await attempt(() => client.backups.list());
    if (answer) setListed(answer);
  }, [attempt, client]);
  useEffect(() => void refresh(), [refresh]);
  return (
    <>
      <section aria-label="The file">
        <h2>The file</h2>
        <p>
          All of it lies in <span className="path">{info.path}</span>, and nowhere else.
        </p>
        <p className="row">
          <Button onPress={() => void check.run((signal) => client.library.check(undefined, { signal }))}>
            Look it through
          </Button>
        </p>
        <WorkBar state={check.state} doing="Looking the library through" onCancel={check.cancel} />
        {check.state.kind === "done" ? <Checked faults={check.state.result} /> : null}
      </section>
      <section aria-label="Backups">
        <h2>Backups</h2>
        <p className="soft">
          Made by themselves while you work, every ten minutes at most, and at the end. Each is opened and looked
          through before it counts. Kept are the newest three, the last of each of seven days, and of each of five
          weeks.
        </p>
        <p>
          They lie in <span className="path">{listed?.folder ?? "…"}</span>. Copy that folder to another disk now and
          then: a disk that is lost takes its backups with it.
        </p>
        {listed?.failure == null ? null : (
          <p className="contradiction" role="alert">
            {listed.failure}
          </p>
        )}
        <p className="row">
          <Button
            disabled={info.readOnly || make.state.kind === "running"}
            onPress={() =>
              void make.run((signal) => client.backups.make(undefined, { signal })).then(() => void refresh())
            }
          >
            Make one now
          </Button>
        </p>
        <WorkBar state={make.state} doing="Making a backup" onCancel={make.cancel} />
        {make.state.kind === "done" ? (
          <p role="status">Made and looked through: {timeWords(make.state.result.madeAt)}.</p>
        ) : null}
        {listed === null ? (
          <p className="soft">Reading the folder…</p>
        ) : (
          <BackupList client={client} backups={listed.backups} onReplaced={onReplaced} />
        )}
      </section>
    </>
  );
}

function Checked({ faults }: { readonly faults: readonly string[] }) {
  if (faults.length === 0) return <p role="status">The library is whole: every table, index and row.</p>;
  return (
    <div role="alert">
      <p className="contradiction">
        The library is damaged ({counted(faults.length, "fault", "faults")}). Make no more edits; put a backup in its
        place below, and keep the damaged file.
      </p>
      <ul>
        {faults.map((fault) => (
          <li key={fault}>{fault}</li>
        ))}
      </ul>
    </div>
  );
}
