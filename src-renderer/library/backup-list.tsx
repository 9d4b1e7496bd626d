import { useState } from "react";
import type { Client } from "../app/client.ts";
import { Button } from "../parts/button.tsx";
import { BackupSlip } from "./backup-slip.tsx";
import { sizeWords, timeWords } from "./words.ts";

export type Backup = Awaited<ReturnType<Client["backups"]["list"]>>["backups"][number];

/** The backups of a library, the newest first; each can be looked at, and put in the library's place. */
export function BackupList({
  client,
  backups,
  onReplaced,
}: {
  readonly client: Client;
  readonly backups: readonly Backup[];
  readonly onReplaced: (sentence: string) => void;
}) {
  const [looking, setLooking] = useState<Backup | null>(null);
  if (backups.length === 0) {
    return (
      <div className="empty">
        <p>There are no backups of this library yet.</p>
      </div>
    );
  }
  return (
    <>
      <table className="library-table">
        <caption>The newest first</caption>
        <thead>
          <tr>
            <th scope="col">Made</th>
            <th scope="col">Size</th>
            <th scope="col">File</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {backups.map((backup) => (
            <tr key={backup.name}>
              <th scope="row">{timeWords(backup.madeAt)}</th>
              <td>{sizeWords(backup.sizeBytes)}</td>
              <td className="path">{backup.name}</td>
              <td>
                <Button name={`Look at it: backup of ${timeWords(backup.madeAt)}`} onPress={() => setLooking(backup)}>
                  Look at it…
                </Button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {looking ? (
        <BackupSlip client={client} backup={looking} onClose={() => setLooking(null)} onReplaced={onReplaced} />
      ) : null}
    </>
  );
}
