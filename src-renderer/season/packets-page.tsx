import { useEffect, useRef, useState } from "react";
import { counted } from "#core/game/words";
import { CopyDetails } from "../app/copy-details.tsx";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { usePackets, type Waiting } from "./use-packets.ts";

/** Drops that were taken in, or cleared off the list: the window holds the last drop on, and this place is come back to. */
const doneWith = new WeakSet<readonly File[]>();

/** Whether packets that were dropped onto the window still wait for a person to say what becomes of them. */
export function areWaiting(dropped: readonly File[]): boolean {
  return dropped.length > 0 && !doneWith.has(dropped);
}

/** Packets of observers: looked at, taken in all or nothing, and what two sides say otherwise. */
export function PacketsPage({
  dropped,
  onTaken,
}: {
  /** Files that were dropped onto the window. */
  readonly dropped: readonly File[];
  readonly onTaken: () => void;
}) {
  const packets = usePackets(onTaken);
  const { waiting, list, conflicts, progress, addFiles, addPath, addFolder } = packets;
  const [typed, setTyped] = useState("");
  const [watched, setWatched] = useState(packets.watchedFolder);
  const taken = useRef<readonly File[]>([]);
  useEffect(() => {
    if (dropped === taken.current || !areWaiting(dropped)) return;
    taken.current = dropped;
    void addFiles(dropped);
  }, [dropped, addFiles]);
  const ready = waiting.filter(({ state }) => state.kind === "ready").length;
  const add = () => {
    const path = typed.trim();
    if (path === "") return;
    void (/[\\/]$/u.test(path) ? addFolder(path) : addPath(path));
    setTyped("");
  };
  return (
    <>
      <p className="soft">
        A packet is one evaluation of one game from another library. Drop as many as you like onto the window, or name
        them here. Each is looked at first; nothing is taken in until you say so, and then all of it or nothing.
      </p>
      <form
        className="season-tools"
        onSubmit={(event) => {
          event.preventDefault();
          add();
        }}
      >
        <Labelled label="Path of a packet, or of a folder with / at its end">
          <input className="path" value={typed} spellCheck={false} onChange={(event) => setTyped(event.target.value)} />
        </Labelled>
        <Button onPress={add}>Look at it</Button>
        <Labelled label="Watch a folder; empty watches none">
          <input
            className="path"
            value={watched}
            spellCheck={false}
            onChange={(event) => setWatched(event.target.value)}
            onBlur={() => packets.watch(watched.trim())}
          />
        </Labelled>
      </form>
      {waiting.length > 0 ? (
        <section aria-label="Waiting to be taken in">
          <ul className="packets-waiting">
            {waiting.map((one) => (
              <WaitingPacket key={one.key} one={one} />
            ))}
          </ul>
          {progress ? (
            <div className="export-bar">
              <label htmlFor="packets-progress">
                Taking in {progress.done + 1} of {progress.total}…
              </label>
              <progress id="packets-progress" max={progress.total} value={progress.done} />
              <Button onPress={packets.cancel}>Cancel</Button>
            </div>
          ) : (
            <p className="row">
              {ready > 0 ? (
                <Button
                  look="primary"
                  onPress={() => {
                    doneWith.add(dropped);
                    void packets.takeAll();
                  }}
                >
                  Take in {counted(ready, "packet", "packets")}
                </Button>
              ) : null}
              <Button
                onPress={() => {
                  doneWith.add(dropped);
                  packets.clear();
                }}
              >
                Clear the list
              </Button>
            </p>
          )}
        </section>
      ) : null}
      {conflicts.length > 0 ? (
        <section aria-label="Two sides">
          <h2>What two sides say otherwise</h2>
          <p className="soft">Both are kept. The first counts until you choose; the other stays among the versions.</p>
          <ul className="packets-conflicts">
            {conflicts.map(({ gameId, family, subject, sides }) => (
              <li key={`${gameId} ${family} ${subject}`}>
                <b>
                  {family} {subject}
                </b>
                <ul>
                  {sides.map((side) => (
                    <li key={side.versionId}>
                      {side.said}
                      {side.reason === "" ? "" : `: ${side.reason}`}{" "}
                      <span className="soft">
                        {side.at === null ? "" : new Date(side.at).toLocaleString()}
                        {side.isStanding ? " · counts now" : ""}
                      </span>{" "}
                      <Button
                        name={`This one: ${side.said}, for ${family} ${subject}`}
                        onPress={() => void packets.settle({ gameId, family, subject, versionId: side.versionId })}
                      >
                        This one
                      </Button>
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <table className="season-table">
        <caption>{list.length === 0 ? "No packets have been taken in yet." : "Taken in, the last first"}</caption>
        {list.length === 0 ? null : (
          <>
            <thead>
              <tr>
                {["Game", "Observer", "Made", "Taken in", "New", "Conflicts"].map((name) => (
                  <th key={name} scope="col" className="words">
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {list.map((one) => (
                <tr key={one.packetId}>
                  <th scope="row">{one.title}</th>
                  <td className="words">{one.observerName ?? `Observer ${one.observerId.slice(0, 8)}`}</td>
                  <td className="words">{new Date(one.madeAt).toLocaleString()}</td>
                  <td className="words">{new Date(one.importedAt).toLocaleString()}</td>
                  <td>{one.counts.reduce((sum, part) => sum + part.new, 0)}</td>
                  <td>{one.counts.reduce((sum, part) => sum + part.conflicts, 0)}</td>
                </tr>
              ))}
            </tbody>
          </>
        )}
      </table>
    </>
  );
}

function WaitingPacket({ one: { name, state } }: { readonly one: Waiting }) {
  switch (state.kind) {
    case "looking":
      return <li>{name}: looking at it…</li>;
    case "taking":
      return <li>{name}: taking it in…</li>;
    case "refused":
      return (
        <li className="refused" role="alert">
          <b>{name}</b> is not taken in. {state.message} <CopyDetails code="PACKET_REFUSED" message={state.message} />
        </li>
      );
    case "taken":
      return (
        <li>
          <b>{name}</b> is taken in. {state.did.join(" ")}
        </li>
      );
    case "ready":
      return (
        <li>
          <details>
            <summary>
              <b>{name}</b>: {state.look.title},{" "}
              {state.look.observerName ?? `observer ${state.look.observerId.slice(0, 8)}`}. {state.look.would.join(" ")}
            </summary>
            <ul>
              {state.look.holds.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </details>
        </li>
      );
  }
}
