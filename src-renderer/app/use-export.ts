import { useCallback, useEffect, useRef, useState } from "react";
import { base64Of } from "#core/report/base64";
import type { ReportAsset, ReportDocument } from "#core/report/document";
import type { Client } from "./client.ts";
import { readFailure, useFailures } from "./failures.tsx";
import { useService } from "./service.tsx";

/** Bytes of a message: a third more as text, and under what a line carries. */
const pieceBytes = 2_400_000;

export type ExportState =
  | { readonly kind: "idle" }
  | { readonly kind: "running"; readonly doing: string; readonly done: number; readonly total: number }
  | {
      readonly kind: "done";
      readonly exportId: string;
      readonly folder: string;
      readonly files: readonly string[];
      readonly missing: number;
      /** What did not come out as it was asked for, in sentences. */
      readonly notes: readonly string[];
    }
  | { readonly kind: "failed"; readonly message: string }
  | { readonly kind: "cancelled" };

/** What the work of an export writes with. Everything it throws ends the export with nothing left of it. */
export type ExportWork = {
  readonly signal: AbortSignal;
  readonly say: (doing: string, done: number, total: number) => void;
  readonly file: (name: string, content: string | Uint8Array) => Promise<void>;
  readonly keep: (key: string, asset: ReportAsset) => Promise<void>;
  readonly forget: () => Promise<void>;
  readonly report: (file: string, document: ReportDocument, forms: readonly ("html" | "pdf")[]) => Promise<void>;
  /** Pictures that could not be made, to be told at the end. */
  readonly missing: (count: number) => void;
  /** A sentence to be told at the end. */
  readonly note: (sentence: string) => void;
};

/**
 * One export at a time, with its progress, its cancelling and its end. One whose page is left goes on, and its end is told in
 * the window whatever is shown there then.
 */
export function useExport() {
  const { client } = useService();
  const { tell } = useFailures();
  const isShown = useRef(true);
  useEffect(() => {
    isShown.current = true;
    return () => void (isShown.current = false);
  }, []);
  const [state, setState] = useState<ExportState>({ kind: "idle" });
  const running = useRef<AbortController | null>(null);
  const start = useCallback(
    async (folder: string, name: string, work: (given: ExportWork) => Promise<void>) => {
      if (running.current) return;
      const control = new AbortController();
      running.current = control;
      setState({ kind: "running", doing: "Beginning", done: 0, total: 1 });
      let exportId: string | null = null;
      try {
        ({ exportId } = await client.exports.begin({ folder, name }));
        let missing = 0;
        const notes: string[] = [];
        const given = workOn(client, exportId, control.signal, setState, {
          missing: (count) => (missing += count),
          note: (sentence) => void notes.push(sentence),
        });
        await work(given);
        control.signal.throwIfAborted();
        const written = await client.exports.finish({ exportId });
        setState({ kind: "done", exportId, ...written, missing, notes });
        if (!isShown.current) tell([`${writtenWords(written, missing)}.`, ...notes].join(" "), "DONE");
      } catch (error) {
        if (exportId !== null) await client.exports.cancel({ exportId }).catch(() => undefined);
        const { message, code } = readFailure(error);
        setState(control.signal.aborted ? { kind: "cancelled" } : { kind: "failed", message });
        if (!isShown.current && !control.signal.aborted) tell(`Nothing was written. ${message}`, code);
      } finally {
        running.current = null;
      }
    },
    [client, tell],
  );
  const cancel = useCallback(() => running.current?.abort(), []);
  const show = useCallback(
    async (exportId: string) => {
      await client.exports.show({ exportId });
    },
    [client],
  );
  return { state, start, cancel, show };
}

/** How many files were written where, as a sentence without its end. */
export function writtenWords(
  { folder, files }: { readonly folder: string; readonly files: readonly string[] },
  missing: number,
): string {
  const lost =
    missing === 0
      ? ""
      : `; ${missing} ${missing === 1 ? "still could not be made and is" : "stills could not be made and are"} blank`;
  return `${files.length} ${files.length === 1 ? "file" : "files"} written to ${folder}${lost}`;
}

function workOn(
  client: Client,
  exportId: string,
  signal: AbortSignal,
  setState: (state: ExportState) => void,
  told: Pick<ExportWork, "missing" | "note">,
): ExportWork {
  const pieces = (bytes: Uint8Array) =>
    Array.from({ length: Math.max(1, Math.ceil(bytes.length / pieceBytes)) }, (_, index) =>
      base64Of(bytes.subarray(index * pieceBytes, (index + 1) * pieceBytes)),
    );
  return {
    signal,
    ...told,
    say: (doing, done, total) => {
      signal.throwIfAborted();
      setState({ kind: "running", doing, done, total });
    },
    file: async (name, content) => {
      const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
      for (const [index, base64] of pieces(bytes).entries())
        await client.exports.append({ exportId, file: name, base64, isFirst: index === 0 }, { signal });
    },
    keep: async (key, { type, bytes }) => {
      for (const base64 of pieces(bytes)) await client.exports.keep({ exportId, key, type, base64 }, { signal });
    },
    forget: async () => void (await client.exports.forget({ exportId })),
    report: async (file, document, forms) =>
      void (await client.exports.report(
        {
          exportId,
          file,
          document,
          forms: [...forms],
        },
        { signal },
      )),
  };
}
