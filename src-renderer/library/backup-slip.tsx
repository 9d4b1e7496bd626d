import { useEffect } from "react";
import { counted } from "#core/game/words";
import type { Client } from "../app/client.ts";
import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import type { Backup } from "./backup-list.tsx";
import { useWork } from "./use-work.ts";
import { timeWords } from "./words.ts";
import { WorkBar } from "./work-bar.tsx";

type ResultOf<E> = E extends { kind: "done"; result: infer R } ? R : never;
type LookEvent = Awaited<ReturnType<Client["backups"]["look"]>> extends AsyncIterable<infer E> ? E : never;
type Read = ResultOf<LookEvent>;

/** What a backup holds, as read from it just now, and the way to put it in the library's place. */
export function BackupSlip({
  client,
  backup,
  onClose,
  onReplaced,
}: {
  readonly client: Client;
  readonly backup: Backup;
  readonly onClose: () => void;
  readonly onReplaced: (sentence: string) => void;
}) {
  const look = useWork<Read>();
  const restore = useWork<{ readonly kept: string | null }>();
  const { name } = backup;
  const { run } = look;
  useEffect(() => void run((signal) => client.backups.look({ name }, { signal })), [run, client, name]);
  const read = look.state.kind === "done" ? look.state.result : null;
  const isRestoring = restore.state.kind === "running";
  const putInPlace = async () => {
    const done = await restore.run((signal) => client.backups.restore({ name }, { signal }));
    if (done === null) return;
    onReplaced(
      `The backup of ${timeWords(backup.madeAt)} is the library now.${done.kept === null ? "" : ` What lay there is kept as ${done.kept}.`}`,
    );
  };
  return (
    <Slip title={`Backup of ${timeWords(backup.madeAt)}`} onClose={onClose}>
      <WorkBar state={look.state} doing="Looking it through" onCancel={look.cancel} />
      {read?.ok === false ? (
        <p className="contradiction" role="alert">
          This backup must not be used: {read.fault}. Choose an earlier one.
        </p>
      ) : null}
      {read?.ok === true ? (
        <>
          <p role="status">
            It is whole, and holds {counted(read.holds.games.length, "game", "games")}
            {read.holds.lastEditAt === null ? "." : `; the last edit in it is of ${timeWords(read.holds.lastEditAt)}.`}
          </p>
          <div className="library-holds">
            <table className="library-table">
              <thead>
                <tr>
                  <th scope="col">Game</th>
                  <th scope="col">Plays</th>
                  <th scope="col">Marks</th>
                  <th scope="col">Grades</th>
                </tr>
              </thead>
              <tbody>
                {read.holds.games.map((game, index) => (
                  // Two games may have one title and one day.
                  <tr key={index}>
                    <th scope="row">
                      {game.title}
                      {game.playedOn === null ? "" : `, ${game.playedOn}`}
                    </th>
                    <td>{game.plays}</td>
                    <td>{game.marks}</td>
                    <td>{game.grades}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <p className="caution">
            In the library’s place, it is the library: what was done since is not in it. What lies there now is kept
            beside it under a name that says so, and can be opened like any library.
          </p>
        </>
      ) : null}
      <WorkBar state={restore.state} doing="Putting it in place" onCancel={restore.cancel} />
      <div className="end">
        <Button onPress={onClose}>Leave it</Button>
        <Button look="primary" disabled={read?.ok !== true || isRestoring} onPress={() => void putInPlace()}>
          Put it in the library’s place
        </Button>
      </div>
    </Slip>
  );
}
