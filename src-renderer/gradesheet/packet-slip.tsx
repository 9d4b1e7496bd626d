import { useEffect, useState } from "react";
import type { PacketOptions } from "#core/exchange/packet";
import type { Client } from "../app/client.ts";
import { useFailuresHere } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { useExportFolder } from "../app/use-export-folder.ts";
import { Button } from "../parts/button.tsx";
import { Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";

const choices: readonly { readonly id: keyof PacketOptions; readonly name: string }[] = [
  { id: "observerName", name: "With your name" },
  { id: "crewNames", name: "With the names of the crew" },
  { id: "measurements", name: "With what was measured: stakes and marks" },
  { id: "carries", name: "With how the camera moved (large)" },
];

/** The evaluation of a game as a packet for the assigner: what it holds is read before it leaves. */
export function PacketSlip({ gameId, onClose }: { readonly gameId: string; readonly onClose: () => void }) {
  const { client } = useService();
  const { attempt, notice } = useFailuresHere();
  const [options, setOptions] = useState<PacketOptions>({
    observerName: true,
    crewNames: true,
    measurements: true,
    carries: false,
  });
  const [preview, setPreview] = useState<Awaited<ReturnType<Client["packets"]["preview"]>> | null>(null);
  const [folder, setFolder] = useExportFolder();
  const [written, setWritten] = useState<Awaited<ReturnType<Client["packets"]["write"]>> | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    let isCurrent = true;
    void attempt(() => client.packets.preview({ gameId, options })).then((made) => {
      if (isCurrent) setPreview(made);
    });
    return () => {
      isCurrent = false;
    };
  }, [attempt, client, gameId, options]);
  const write = async () => {
    setBusy(true);
    setWritten(await attempt(() => client.packets.write({ gameId, folder: folder.trim(), options })));
    setBusy(false);
  };
  return (
    <Slip title="Packet for the assigner" onClose={onClose}>
      {choices.map(({ id, name }) => (
        <label key={id} className="check">
          <input
            type="checkbox"
            checked={options[id]}
            onChange={() => {
              setWritten(null);
              setOptions({ ...options, [id]: !options[id] });
            }}
          />
          {name}
        </label>
      ))}
      {preview ? (
        <section aria-label="What it holds">
          <ul>
            {preview.holds.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          <p className="soft">{(preview.sizeBytes / 1024).toFixed(0)} KB. Private notes are never in it.</p>
        </section>
      ) : null}
      <Labelled label="Into a new folder in">
        <input value={folder} spellCheck={false} onChange={(event) => setFolder(event.target.value)} />
      </Labelled>
      {notice}
      {written ? (
        <p role="status">
          {written.files.join(", ")} written to <b>{written.folder}</b>.{" "}
          <Button onPress={() => void attempt(() => client.exports.show({ exportId: written.exportId }))}>
            Open the folder
          </Button>
        </p>
      ) : null}
      <div className="end">
        <Button onPress={onClose}>Close</Button>
        <Button look="primary" disabled={busy || !preview || folder.trim() === ""} onPress={() => void write()}>
          Write the packet
        </Button>
      </div>
    </Slip>
  );
}
