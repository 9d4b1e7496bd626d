import { useEffect, useState } from "react";
import { isAmended } from "#core/grading/seal";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

type Version = Awaited<ReturnType<Client["games"]["versions"]>>[number];

/** Every version of one grade or ruling, with author and time; read when it is asked for. */
export function GradeHistory({ sheet, recordId }: { readonly sheet: GradeSheet; readonly recordId: string }) {
  const { client } = useService();
  const { attempt } = useFailures();
  const [isOpen, setOpen] = useState(false);
  const [versions, setVersions] = useState<readonly Version[]>([]);
  const { gameId } = sheet.cache;
  const { sequence } = sheet.state;
  useEffect(() => {
    if (!isOpen) return;
    void attempt(async () => {
      const all = await client.games.versions({ gameId });
      setVersions(all.filter((version) => version.recordId === recordId));
    });
  }, [isOpen, attempt, client, gameId, recordId, sequence]);
  const authorOf = sheet.whose.nameOf;
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>All versions</summary>
      <ol className="versions">
        {versions.map((version, index) => (
          <li key={index}>
            <b>{version.act === "taken back" ? "taken back" : version.said}</b>
            {isAmended(sheet.records, version) ? <em> amended</em> : null}{" "}
            <span className="soft">
              {new Date(version.at).toLocaleString()}, {authorOf(version.authorId)}
            </span>
            {version.reason === "" ? null : <>: {version.reason}</>}
          </li>
        ))}
      </ol>
    </details>
  );
}
