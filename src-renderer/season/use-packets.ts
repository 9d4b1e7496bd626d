import { useCallback, useEffect, useRef, useState } from "react";
import { isPacketName } from "#core/exchange/packet";
import { base64Of } from "#core/report/base64";
import type { Client } from "../app/client.ts";
import { readFailure, useFailures } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";

type Look = Awaited<ReturnType<Client["packets"]["look"]>>;

/** A packet on its way in: looked at first, and taken in when a person says so. */
export type Waiting = {
  readonly key: string;
  readonly name: string;
  readonly state:
    | { readonly kind: "looking" }
    | { readonly kind: "ready"; readonly path: string; readonly look: Look }
    | { readonly kind: "taking" }
    | { readonly kind: "taken"; readonly did: readonly string[] }
    | { readonly kind: "refused"; readonly message: string };
};

const pieceBytes = 2_400_000;
const watchMs = 5000;

/** Packets that wait to be taken in, by name of a file, a folder or a drop; how far it is; and what lies between two sides. */
export function usePackets(onTaken: () => void) {
  const { client, settings, set } = useService();
  const { attempt } = useFailures();
  const [waiting, setWaiting] = useState<readonly Waiting[]>([]);
  const [list, setList] = useState<Awaited<ReturnType<Client["packets"]["list"]>>>([]);
  const [conflicts, setConflicts] = useState<Awaited<ReturnType<Client["packets"]["conflicts"]>>>([]);
  const [progress, setProgress] = useState<{ readonly done: number; readonly total: number } | null>(null);
  const stop = useRef<AbortController | null>(null);
  const nextKey = useRef(1);

  const refresh = useCallback(
    () =>
      attempt(async () => {
        setList(await client.packets.list());
        setConflicts(await client.packets.conflicts());
      }),
    [attempt, client],
  );
  useEffect(() => void refresh(), [refresh]);

  const put = useCallback((key: string, state: Waiting["state"]) => {
    setWaiting((before) => before.map((one) => (one.key === key ? { ...one, state } : one)));
  }, []);
  const addOne = useCallback(
    async (name: string, pathOf: () => Promise<string>) => {
      const key = `packet ${nextKey.current++}`;
      setWaiting((before) => [...before, { key, name, state: { kind: "looking" } }]);
      try {
        const path = await pathOf();
        put(key, { kind: "ready", path, look: await client.packets.look({ path }) });
      } catch (error) {
        put(key, { kind: "refused", message: readFailure(error).message });
      }
    },
    [client, put],
  );
  const addPath = useCallback((path: string) => addOne(path.replace(/^.*[\\/]/u, ""), async () => path), [addOne]);
  const addFiles = useCallback(
    async (files: readonly File[]) => {
      for (const file of files) await addOne(file.name, () => sent(client, file));
    },
    [addOne, client],
  );
  const addFolder = useCallback(
    (folder: string) =>
      attempt(async () => {
        const { entries } = await client.files.browse({ folder, of: "packet" });
        for (const entry of entries) if (entry.kind === "packet") await addPath(entry.path);
      }),
    [addPath, attempt, client],
  );

  const takeAll = async () => {
    const ready = waiting.filter(({ state }) => state.kind === "ready");
    const control = new AbortController();
    stop.current = control;
    for (const [done, one] of ready.entries()) {
      if (control.signal.aborted || one.state.kind !== "ready") break;
      setProgress({ done, total: ready.length });
      const before = one.state;
      put(one.key, { kind: "taking" });
      try {
        const { did } = await client.packets.import({ path: before.path }, { signal: control.signal });
        put(one.key, { kind: "taken", did });
      } catch (error) {
        put(one.key, control.signal.aborted ? before : { kind: "refused", message: readFailure(error).message });
      }
    }
    stop.current = null;
    setProgress(null);
    await refresh();
    onTaken();
  };

  // A folder that is watched: what is new in it waits to be taken in, and is never taken in by itself.
  const seen = useRef(new Set<string>());
  const { watchedFolder } = settings.season;
  useEffect(() => {
    if (watchedFolder === "") return;
    const look = async () => {
      const listed = await client.files.browse({ folder: watchedFolder, of: "packet" }).catch(() => null);
      for (const entry of listed?.entries ?? []) {
        const mark = `${entry.path} ${entry.sizeBytes}`;
        if (entry.kind !== "packet" || seen.current.has(mark)) continue;
        seen.current.add(mark);
        await addPath(entry.path);
      }
    };
    void look();
    const timer = window.setInterval(() => void look(), watchMs);
    return () => window.clearInterval(timer);
  }, [watchedFolder, addPath, client]);

  return {
    waiting,
    list,
    conflicts,
    progress,
    addPath,
    addFiles,
    addFolder,
    takeAll,
    cancel: () => stop.current?.abort(),
    clear: () => setWaiting([]),
    watch: (folder: string) => void attempt(() => set({ season: { ...settings.season, watchedFolder: folder } })),
    watchedFolder,
    settle: (choice: Parameters<Client["packets"]["settle"]>[0]) =>
      attempt(async () => {
        setConflicts((await client.packets.settle(choice)).conflicts);
        onTaken();
      }),
  };
}

/** A dropped file's content, sent to the service, and the path it lies at there. */
async function sent(client: Client, file: File): Promise<string> {
  if (!isPacketName(file.name)) throw new Error(`${file.name} is no packet: packets end in .crewpacket.`);
  let id: string | null = null;
  let path = "";
  for (let at = 0; at < Math.max(1, file.size); at += pieceBytes) {
    const bytes = new Uint8Array(await file.slice(at, at + pieceBytes).arrayBuffer());
    const taken: { id: string; path: string } = await client.packets.drop({ id, base64: base64Of(bytes) });
    ({ id, path } = taken);
  }
  return path;
}
