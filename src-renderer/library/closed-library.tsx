import { useEffect, useState } from "react";
import type { Client } from "../app/client.ts";
import { CopyDetails } from "../app/copy-details.tsx";
import { useFailures } from "../app/failures.tsx";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import { type Backup, BackupList } from "./backup-list.tsx";
import { DiagnosticsPage } from "./diagnostics-page.tsx";
import "./library.css";

type Opening = Extract<Awaited<ReturnType<Client["library"]["opening"]>>, { state: "closed" }>;

/** The window of a library that does not open: why, and everything that can be done about it from here. */
export function ClosedLibrary({
  client,
  opening,
  onReplaced,
}: {
  readonly client: Client;
  readonly opening: Opening;
  readonly onReplaced: (sentence: string) => void;
}) {
  const { attempt } = useFailures();
  const [now, setNow] = useState(opening);
  const [backups, setBackups] = useState<readonly Backup[]>([]);
  const [isAsking, setIsAsking] = useState(false);
  const [tries, setTries] = useState(0);
  useEffect(() => {
    void attempt(() => client.backups.list()).then((answer) => answer && setBackups(answer.backups));
  }, [attempt, client, tries]);
  const tryAgain = () =>
    void attempt(async () => {
      const answer = await client.library.tryAgain();
      if (answer.state === "open") return onReplaced("");
      setNow(answer);
      setTries((before) => before + 1);
    });
  const startAnew = () => {
    setIsAsking(false);
    void attempt(async () => {
      const { kept } = await client.library.startAnew();
      onReplaced(`A new library was begun.${kept === null ? "" : ` What lay there is kept as ${kept}.`}`);
    });
  };
  return (
    <main className="library closed">
      <header className="head">
        <h1>The library did not open</h1>
        <span className="soft crumbs">Crewglass {opening.appVersion}</span>
      </header>
      <section className="library-page" aria-label="Why, and what can be done">
        <p className="library-why" role="alert">
          {now.sentence}
        </p>
        <p className="row">
          <Button look="primary" onPress={tryAgain}>
            Try again
          </Button>
          <CopyDetails code={now.reason} message={now.sentence} />
          {tries > 0 ? (
            <span className="soft" role="status">
              Tried again: it is still so.
            </span>
          ) : null}
        </p>
        {now.canReplace ? (
          <section aria-label="Backups">
            <h2>Backups</h2>
            <p className="soft">
              Any of these can be put in its place. What lies there now is kept under a name that says so, whatever you
              choose.
            </p>
            <BackupList client={client} backups={backups} onReplaced={onReplaced} />
            <p className="row">
              <Button onPress={() => setIsAsking(true)}>Begin a new library…</Button>
            </p>
          </section>
        ) : null}
        <details>
          <summary>Diagnostics</summary>
          <DiagnosticsPage client={client} />
        </details>
      </section>
      {isAsking ? (
        <Slip title="Begin a new library?" onClose={() => setIsAsking(false)}>
          <p>
            It is empty but for the demo game. {backups.length > 0 ? "The backups stay, and so does " : "Kept is "}
            what lies there now, under a name that says so.
          </p>
          <div className="end">
            <Button onPress={() => setIsAsking(false)}>Not now</Button>
            <Button look="primary" onPress={startAnew}>
              Begin a new library
            </Button>
          </div>
        </Slip>
      ) : null}
    </main>
  );
}
